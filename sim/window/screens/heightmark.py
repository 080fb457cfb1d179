"""A stick beside the pad with a band of tape: level with the legs, the hop is as high as planned."""

import numpy as np

from sim.session.view import View
from sim.window import theme
from sim.window.canvas import Canvas, Rect
from sim.window.hopsteps import HopSteps
from sim.window.scene.rooms import pad_camera

BESIDE_M = 0.9  # m; own: clear of the propellers, near enough to compare
ABOVE_M = 0.2  # m; own: how far the stick goes on above the tape
TAPE_M = 0.05  # m; own: broad enough to be seen from the pilot's place


def mark_height(canvas: Canvas, scene: Rect, view: View, steps: HopSteps) -> None:
    """Draw the stick over the picture of the pad, east of where the aircraft stood."""
    if steps.pad_m is None or view.conduct.place != "pad":
        return
    (north_m, east_m), tape_m = steps.pad_m, steps.plan.height_m - steps.rest_m
    side_m = BESIDE_M if east_m + BESIDE_M < view.room.east_m else -BESIDE_M
    ups_m = (0.0, tape_m - TAPE_M / 2, tape_m + TAPE_M / 2, tape_m + ABOVE_M)
    points_m = np.array([(north_m, east_m + side_m, up_m) for up_m in ups_m])
    lens = pad_camera(view.room).lens((round(scene.w), round(scene.h)))
    flat, _ = lens.project(points_m)
    foot, low, high, top = ((scene.x + x, scene.y + y) for x, y in flat.tolist())
    u = canvas.scale
    canvas.line((foot, top), theme.INK_SOFT, 3.0 * u)
    canvas.line((low, high), theme.PAPER, 9.0 * u)
    canvas.line((low, high), theme.PENCIL, 5.0 * u)
