"""A stretch of time with the hands as they are: what they may do."""

from math import isfinite

from sim.aircraft.fields import PLACES
from sim.bench.inputs import ALL, Inputs
from sim.kernel.clock import TICK_S
from sim.kernel.radio import Sticks

LONGEST_S = 60.0  # s; own: sticks that long without a look are no hand's


def inputs_of(given: Sticks | Inputs) -> Inputs:
    """Return what the hands do; sticks alone are that and nothing else."""
    return given if isinstance(given, Inputs) else Inputs(given)


def require(inputs: Inputs, seconds: float) -> None:
    """Raise ValueError unless hands can be so and the time is whole ticks."""
    sticks, turning, motor = inputs
    axes = (sticks.roll, sticks.pitch, sticks.yaw)
    whole = seconds / TICK_S
    if not all(isfinite(x) and -1.0 <= x <= 1.0 for x in axes):
        raise ValueError(f"stick positions must lie in -1..1, got {axes}")
    if not 0.0 <= sticks.throttle <= 1.0:
        raise ValueError(f"throttle must lie in 0..1, got {sticks.throttle}")
    if not all(switch in (0.0, 1.0) for switch in sticks[4:]):
        raise ValueError(f"a switch is 0 or 1, got {sticks[4:]}")
    if turning is not None and not all(isfinite(x) and -1.0 <= x <= 1.0 for x in turning):
        raise ValueError(f"hands turn at -1..1 of their fastest, got {tuple(turning)}")
    if motor is not None and not 0.0 <= motor.command <= 1.0:
        raise ValueError(f"a motor's command must lie in 0..1, got {motor.command}")
    if motor is not None and motor.output not in (*PLACES, ALL):
        raise ValueError(f"an output is one of {', '.join((*PLACES, ALL))}, got {motor.output!r}")
    if not abs(seconds) <= LONGEST_S:
        raise ValueError(f"one stretch of time lasts at most {LONGEST_S:g} s, got {seconds} s")
    if abs(whole - round(whole)) > 1e-6 or round(whole) < 1:
        raise ValueError(f"time goes in whole ticks of {TICK_S} s, got {seconds} s")
