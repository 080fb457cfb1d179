"""Every screen in all its states: reached by keys, nothing cut, the labels listed."""

import os
from functools import cache
from itertools import product

import pygame
import pytest

from sim.window.app import App
from sim.window.canvas import TextCanvas
from sim.window.inputs import Inputs, Stroke
from sim.window.keys import ACTS, BY_NAME
from sim.window.pixels.canvas import PixelCanvas
from sim.window.theme import scale_of
from tools.labels import labels, shown
from tools.samples import SAMPLES
from tools.samples.sheets import bad_card, card_of

SIZES = [(1280, 720), (1920, 1080), (960, 540), (900, 1200), (2400, 800)]
TEXT_SCALES = (1.0, 1.25, 1.5, 2.0)
LINES = 2.0  # px; a guess of a line's height may be off by this


@cache
def fonts():
    return PixelCanvas(pygame.Surface((8, 8)))


class RealLetters(TextCanvas):
    """The text back end with the widths of the real fonts."""

    def measure(self, words, style):
        real = fonts()
        real.scale, real.text_scale = self.scale, self.text_scale
        return real.measure(words, style)


def all_states(app):
    for name, draws in SAMPLES.items():
        for i, screen in enumerate(draws(app)):
            yield f"{name} {i}", screen


def told_elsewhere(line, nodes):
    """Tell whether a cut line is one of a list, whose whole words are told when it is picked."""
    stem = line.words.removesuffix("…").rstrip()
    return any(n.role == "row" and stem in f"{n.name}\0{n.value}" for n in nodes)


def strays(canvas, nodes):
    """Return lines that leave the window or were cut."""
    for line in canvas.written:
        high = canvas.measure(line.words, line.style)[1]
        inside = line.at[0] >= 0 and line.at[0] + line.width <= canvas.width + 1
        upright = line.at[1] >= -high and line.at[1] + high <= canvas.height + LINES
        cut = line.words.endswith("…") and not told_elsewhere(line, nodes)
        if not (inside and upright) or cut:
            yield line.words


@pytest.mark.parametrize("letters", [TextCanvas, RealLetters])
def test_no_line_leaves_its_window_or_is_cut(app, letters):
    wrong = []
    for name, screen in all_states(app):
        for size, text_scale in product(SIZES, TEXT_SCALES):
            app.settings = app.settings.model_copy(update={"text_scale": text_scale})
            canvas = shown(app, screen, letters(*size, scale_of(*size)))
            found = strays(canvas, app.ui.tree)
            wrong += [f"{name}, {size}, {text_scale}: {words}" for words in found]
    assert not wrong


@pytest.mark.parametrize("text_scale", [1.0, 2.0])
def test_keys_alone_reach_everything(app, text_scale):
    missed = []
    for name, screen in all_states(app):
        if name.startswith("keys 1"):
            continue  # waits for a key
        app.settings = app.settings.model_copy(update={"text_scale": text_scale})
        shown(app, screen, TextCanvas(1280, 720))
        before = {n.id for n in app.ui.tree if n.enabled}
        seen = set()
        for _ in range(2 * len(before) + 4):
            seen.add(app.ui.focus)
            app.frame(TextCanvas(1280, 720), Inputs(strokes=[Stroke("tab")]), 0.02)
        rows = {i for i in before if i.rpartition(":")[2].isdigit()}
        lists = {i.rpartition(":")[0] for i in rows}
        assert all(any((s or "").startswith(p + ":") for s in seen) for p in lists), name
        missed += [f"{name}: {i}" for i in before - rows - seen]
    assert not missed


def test_a_press_of_esc_leads_out_of_every_sheet(app):
    for name, screen in all_states(app):
        if name.split()[0] not in ("walk", "settings", "keys", "pads", "pause") or name == "keys 1":
            continue
        shown(app, screen, TextCanvas(1280, 720))
        helped = getattr(screen, "helper", None) or getattr(screen, "feel", None)
        app.frame(TextCanvas(1280, 720), Inputs(strokes=[Stroke("escape")]), 0.02)
        left = app.screen is not screen
        assert left or (helped and not (screen.helper or screen.feel)), name


def test_every_button_of_the_sheets_is_an_act_with_its_cap_beside_it(app):
    for name, screen in all_states(app):
        if name.split()[0] in ("bench", "hop"):
            continue
        canvas = shown(app, screen, TextCanvas(1920, 1080))
        for node in app.ui.tree:
            if node.role != "button":
                continue
            assert node.id in BY_NAME, (name, node.id)
            inside = [line.words for line in canvas.written if node.rect.holds(line.at)]
            assert app.ui.keys.cap(node.id) in inside, (name, node.id, inside)


def test_labels_are_listed_once_each_and_always_the_same():
    first, second = labels(), labels()
    assert first == second
    assert len(set(first)) == len(first)
    assert {line.split(": ")[0] for line in first} >= set(SAMPLES)
    assert not [line for line in first if os.sep + "tmp" in line]
    for act in ACTS:
        assert f"keys: {act.words}" in first
    for words in (
        "pause: Really give up?",
        "debrief: stay on the bench",
        "home: 5 drawn at random",
    ):
        assert words in first


def test_the_samples_do_not_depend_on_the_app_they_are_drawn_in(tmp_path):
    app = App(tmp_path / "window.json")
    names = [name for name, _ in all_states(app)]
    assert len(names) == len(set(names)) > 50
    assert card_of() != bad_card()
