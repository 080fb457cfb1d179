"""A shout's slip stays in the picture, points at the mouth and leaves the aircraft in sight."""

import pygame
import pytest

from sim.window.canvas import Rect
from sim.window.pictures.balloon import balloon
from sim.window.pixels.canvas import PixelCanvas

SCENE = Rect(0.0, 0.0, 935.0, 526.0)
WORDS = ("Cut!", "Somebody in the ring: cut!", "Hey! Off, down ... stop it!")


@pytest.mark.parametrize("words", WORDS)
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("mouth", [(760.0, 80.0), (120.0, 60.0), (1200.0, -300.0), (900.0, 520.0)])
def test_it_lies_in_the_picture(words, scale, mouth):
    canvas = PixelCanvas(pygame.Surface((1280, 720)), scale)
    box = balloon(canvas, SCENE, mouth, words)
    assert box.x >= SCENE.x
    assert box.right <= SCENE.right
    assert box.y >= SCENE.y
    assert box.bottom <= SCENE.bottom


def test_it_lies_at_the_outer_side_where_there_is_room():
    canvas = PixelCanvas(pygame.Surface((1280, 720)))
    assert balloon(canvas, SCENE, (700.0, 80.0), "Cut!").x > 700.0
    assert balloon(canvas, SCENE, (890.0, 80.0), "Cut!").right < 890.0
