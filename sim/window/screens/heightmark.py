"""The stick beside the pad with its band of tape: level with it, the legs are as high as planned."""

from sim.session.view import View
from sim.window.hopsteps import HopSteps

BESIDE_M = 0.9  # m; own: clear of the propellers, near enough to compare


def height_mark(view: View, steps: HopSteps) -> tuple[float, float, float] | None:
    """Return north, east and height of the tape on the stick, west of where the aircraft stood, m."""
    if steps.pad_m is None or view.conduct.place != "pad":
        return None
    (north_m, east_m), tape_m = steps.pad_m, steps.plan.height_m - steps.rest_m
    side_m = -BESIDE_M if east_m - BESIDE_M > view.room.west_m else BESIDE_M
    return round(north_m, 2), round(east_m + side_m, 2), round(tape_m, 2)
