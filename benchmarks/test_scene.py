"""Time to paint the views. Run with `--benchmark-enable`."""

from dataclasses import replace
from itertools import cycle

import numpy as np
import pygame
import pytest

from sim.window.pixels.scene import ScenePainter
from sim.window.scene.bake import QUICK, bake
from sim.window.scene.rooms import pad_camera, pad_stage
from tests.window.scene import views

pytestmark = pytest.mark.bench

FRAME_MS = 1000 / 60  # ms; one frame at 60 frames/s
ROUNDS = 400


def moving(craft):
    """The same picture with the aircraft moved a little each time, so that nothing is kept."""
    north, east, down = craft.position_m
    steps = np.linspace(-0.02, 0.02, 37)
    q = [views.attitude(3.0 * np.sin(k), 2.0 * np.cos(k), k) for k in range(37)]
    return cycle(
        [
            replace(craft, position_m=(north + s, east, down), attitude=a)
            for s, a in zip(steps, q, strict=True)
        ]
    )


@pytest.mark.parametrize("size", [(935, 526), (1400, 790)])
@pytest.mark.parametrize(
    ("craft", "room"),
    [
        (views.HOVER, views.PAD),
        (views.UNPLUGGED, views.BENCH),
        (views.IN_HAND, views.BENCH),
        (views.CLAMPED, views.BENCH),
    ],
    ids=["pad-hover", "bench-standing", "bench-hands", "bench-clamp"],
)
def test_paint(benchmark, craft, room, size):
    painter, target = ScenePainter(), pygame.Surface(size, depth=32)
    painter.prepare(size, craft, room)
    pictures = moving(craft)
    benchmark.pedantic(
        lambda: painter.paint(target, next(pictures), room), rounds=ROUNDS, warmup_rounds=20
    )
    times_ms = np.sort(benchmark.stats.stats.data) * 1e3
    benchmark.extra_info.update(p99_ms=float(np.quantile(times_ms, 0.99)))
    assert times_ms[0] <= 0.5 * FRAME_MS  # the best of many, as other work may be under way


def test_prepare_shipped(benchmark):
    def once():
        ScenePainter().prepare((935, 526), views.HOVER, views.PAD)

    benchmark.pedantic(once, rounds=5)
    assert benchmark.stats.stats.min <= 0.5  # s; own: within the first frame's 2 s


def test_quick_bake(benchmark):
    room = views.SITE.room
    benchmark.pedantic(bake, args=(pad_stage(room), pad_camera(room), QUICK), rounds=3)
    assert benchmark.stats.stats.min <= 1.5 * 2  # s; target 1.5 s, twice that on a busy machine
