"""Every screen's picture against the one kept: two sizes, two text scales, seen and approved by eye.

To approve a change: look at the pictures, then run with DRYHOP_GOLD=1 in the environment.
"""

import os
from pathlib import Path

import numpy as np
import pygame
import pytest

from sim.window.app import App
from sim.window.inputs import Inputs
from sim.window.pixels.canvas import PixelCanvas
from sim.window.pixels.scene import ScenePainter
from tools.samples import SAMPLES

GOLD = Path(__file__).parent / "gold"
SIZES = ((1280, 720), (1920, 1080))
SCALES = (1.0, 1.5)
STATES = {
    "home": (0,),
    "own": (1, 2, 6),
    "told": (1,),
    "reported": (1, 3, 5),
    "made": (1, 2, 5, 9),
    "walk": (0, 3),
    "settings": (0,),
    "keys": (0,),
    "pads": (1,),
    "pause": (0,),
    "own-words": (1,),
    "debrief": (0, 1, 6, 7),
    "classroom": (1, 4, 5, 7),
    "bench": (1, 3, 4, 5, 9, 10, 11, 12, 13, 17, 21, 22, 23, 24, 25),
    "hop": (0, 1, 2, 3),
    "watch": (1,),
}  # which states of each screen are kept
HALF = 2  # the pictures kept are half as large each way: layout and colour, not every edge
FAR = 40  # of 255; own: other font and image libraries blur an edge by less
FEW = 0.004  # share of pixels; own: a moved word or line is more, another rasteriser's edges less


@pytest.fixture(scope="module")
def painter():
    return ScenePainter()


def pictures(name, painter):
    """Yield (state, size, text scale, surface) of a screen's kept states."""
    app = App(Path("window.json"))  # a path that is shown, so it must always be the same
    app.settings = app.settings.model_copy(update={"shown_round": True})

    def paint(target, craft, room):
        painter.prepare(target.get_size(), craft, room)
        painter.paint(target, craft, room)

    app.paint = paint
    for state, screen in enumerate(SAMPLES[name](app)):
        if state not in STATES[name]:
            continue
        for size in SIZES:
            for scale in SCALES:
                yield state, size, scale, drawn(app, screen, size, scale)


def pixels(path):
    return pygame.surfarray.array3d(pygame.image.load(path)).astype(int)


def drawn(app, screen, size, scale):
    surface = pygame.Surface(size)
    canvas = PixelCanvas(surface, scale)
    app.settings = app.settings.model_copy(update={"text_scale": scale})
    app.go(screen)
    for _ in range(2):
        app.frame(canvas, Inputs(), 0.0)
    return pygame.transform.smoothscale(surface, (size[0] // HALF, size[1] // HALF))


@pytest.mark.parametrize("name", STATES)
def test_pictures_are_those_approved(name, tmp_path, painter, monkeypatch):
    monkeypatch.chdir(tmp_path)
    wrong = []
    for state, size, scale, surface in pictures(name, painter):
        path = GOLD / f"{name}-{state}-{size[1]}-{round(100 * scale)}.jpg"
        if os.environ.get("DRYHOP_GOLD"):
            path.parent.mkdir(exist_ok=True)
            pygame.image.save(surface, path)
            continue
        seen = tmp_path / path.name
        pygame.image.save(surface, seen)  # the same loss on both sides
        far = np.abs(pixels(path) - pixels(seen)).max(axis=2) > FAR
        if far.mean() > FEW:
            wrong.append(f"{path.name}: {far.mean():.4f} of the pixels; see {tmp_path}")
    assert not wrong
