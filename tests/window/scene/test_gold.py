"""Both views against kept pictures. `DRYHOP_GOLD=1` writes them anew: look at them then.

Compared with a tolerance: at most 0.1 % of the pixels may differ by more than 3 of 255. On one
machine the pictures are equal to the bit; another decoder of WebP, or another rounding of the
smoothing, moves a value by one or two, and an edge by a pixel here and there. A lost shadow, a
lost blade or a figure in the wrong place changes far more.
"""

import os
from pathlib import Path

import numpy as np
import pygame
import pytest

from tests.window.scene import views
from tests.window.scene.views import painted

GOLD = Path(__file__).parent / "gold"
MOST = 3  # of 255
SHARE = 0.001  # of all pixels

CASES = {
    "pad-idle": (views.ON_PAD, views.PAD),
    "pad-hover": (views.HOVER, views.PAD),
    "pad-crash": (views.CRASH, views.STRAY),
    "bench-unplugged": (views.UNPLUGGED, views.BENCH),
    "bench-hands": (views.IN_HAND, views.BENCH),
    "bench-clamp": (views.CLAMPED, views.BENCH),
    "floor-hands": (views.IN_HAND, views.FLOOR),
    "cupboard-hands": (views.IN_HAND, views.CUPBOARD),
}


@pytest.mark.parametrize("name", CASES)
def test_view(painter, name):
    got = painted(painter, *CASES[name])
    path = GOLD / f"{name}.png"
    if os.environ.get("DRYHOP_GOLD"):
        pygame.image.save(pygame.surfarray.make_surface(got.swapaxes(0, 1)), path)
    kept = pygame.surfarray.array3d(pygame.image.load(path)).swapaxes(0, 1)
    assert kept.shape == got.shape
    apart = np.abs(kept.astype(int) - got.astype(int)).max(axis=2) > MOST
    assert apart.mean() <= SHARE, f"{apart.sum()} pixels of {apart.size} differ"
