"""What is drawn more cheaply is the same to the last pixel, and what is kept never goes all at once."""

import gc
from types import SimpleNamespace

import numpy as np
import pygame
import pytest

from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Rect
from sim.window.pictures.paper import SHADOWS, sheet
from sim.window.pixels import canvas as pixel_canvas
from sim.window.pixels.canvas import PixelCanvas, Recent
from sim.window.pixels.loop import Window

SIZE = (300, 200)


def key(i):
    return str(i), theme.BODY, 15.0


def test_what_is_asked_for_stays_and_what_is_not_goes(monkeypatch):
    monkeypatch.setattr(pixel_canvas, "KEPT", 10)
    kept: Recent[int] = Recent()
    for i in range(100):
        kept.put(key(i), i)
        assert kept.get(key(0)) == 0  # asked for each time
        assert [kept.get(key(j)) for j in range(max(0, i - 4), i + 1)] == [
            *range(max(0, i - 4), i + 1)
        ]
    assert kept.get(key(50)) is None
    assert kept.get(key(100)) is None


def whole_sheet(canvas, rect):
    """Draw a sheet and all of its shadow, the sheet's part over it."""
    u = canvas.scale
    for away, darker in SHADOWS:
        red, green, blue = (max(0, part - darker) for part in theme.BENCH)
        moved = Rect(rect.x + 0.4 * away * u, rect.y + away * u, rect.w + 0.6 * away * u, rect.h)
        canvas.fill(moved, (red, green, blue), 3 * u)
    canvas.fill(rect, theme.PAPER, 2 * u)


@pytest.mark.parametrize("scale", [0.5, 1.0, 1.37, 2.0])
@pytest.mark.parametrize("rect", [Rect(20, 15, 200, 120), Rect(11.3, 8.7, 31.6, 24.4)])
def test_a_sheet_is_drawn_as_if_all_its_shadow_were(rect, scale):
    found = []
    for draw in (sheet, whole_sheet):
        surface = pygame.Surface(SIZE, depth=32)
        surface.fill(theme.BENCH)
        canvas = PixelCanvas(surface)
        canvas.scale = scale
        draw(canvas, rect)
        found.append(pygame.surfarray.array3d(surface))
    assert np.array_equal(found[0], found[1])
    assert (found[0] != theme.PAPER).any()


def test_the_collector_is_spared_what_a_drill_brought_once_it_is_there(tmp_path, monkeypatch):
    window = Window(App(tmp_path / "window.json"))
    drill = SimpleNamespace(ready=False)
    try:
        window.settle()
        before = gc.get_freeze_count()
        assert before > 0
        monkeypatch.setattr(window.app, "drill", drill)
        brought = [[i] for i in range(6000)]
        window.settle()
        assert gc.get_freeze_count() == before  # it is being opened still
        drill.ready = True
        window.settle()
        after = gc.get_freeze_count()
        assert after > before + 5000  # what it brought, less what went meanwhile
        brought += [[i] for i in range(6000)]
        window.settle()
        assert gc.get_freeze_count() <= after  # once a drill: it takes longer than a frame
        assert len(brought) == 12000
    finally:
        gc.unfreeze()
        monkeypatch.undo()
        window.close()


def test_while_a_window_is_open_the_collector_looks_through_all_only_seldom(tmp_path):
    """What lives on from frame to frame must not be gone through every few seconds."""
    window, whole = Window(App(tmp_path / "window.json")), []

    def noted(phase, about):
        if phase == "start" and about["generation"] == 2:
            whole.append(phase)

    gc.callbacks.append(noted)
    try:
        kept = [[i] for i in range(400_000)]  # a minute of frames; by default three looks
        assert len(kept) == 400_000
        assert not whole
    finally:
        gc.callbacks.remove(noted)
        window.close()
