"""A stretch of time with the sticks held: what it may be."""

from math import isfinite

from sim.kernel.clock import TICK_S
from sim.kernel.radio import Sticks

LONGEST_S = 60.0  # s; own: sticks that long without a look are no hand's


def require(sticks: Sticks, seconds: float) -> None:
    """Raise ValueError unless the sticks can stand so and the time is whole ticks."""
    numbers = (sticks.roll, sticks.pitch, sticks.yaw)
    whole = seconds / TICK_S
    if not all(isfinite(x) and -1.0 <= x <= 1.0 for x in numbers):
        raise ValueError(f"stick positions must lie in -1..1, got {numbers}")
    if not 0.0 <= sticks.throttle <= 1.0:
        raise ValueError(f"throttle must lie in 0..1, got {sticks.throttle}")
    if not all(switch in (0.0, 1.0) for switch in sticks[4:]):
        raise ValueError(f"a switch is 0 or 1, got {sticks[4:]}")
    if not abs(seconds) <= LONGEST_S:
        raise ValueError(f"one stretch of time lasts at most {LONGEST_S:g} s, got {seconds} s")
    if abs(whole - round(whole)) > 1e-6 or round(whole) < 1:
        raise ValueError(f"time goes in whole ticks of {TICK_S} s, got {seconds} s")
