"""What leaves the transmitter's aerial: sticks and switches as they are sent, while its pack lasts."""

from sim.aircraft.world import World
from sim.kernel.radio import Sticks

TIRED_V = 7.0  # V; own: 3.5 V a cell, where a lithium cell's discharge turns steep
FADE_V_MIN = 0.005  # V/min; own: above that 8.4 V last four to five hours
TIRED_FADE_V_MIN = 0.02  # V/min; own: below it they are gone within the hour
DEAD_V = 6.2  # V; own: it switches itself off at 3.1 V a cell


def pack_v(world: World, on_s: float) -> float:
    """Return the voltage of the transmitter's own pack after being on for a time, V."""
    fresh_v, minutes = world.build.radio.transmitter_pack_v, on_s / 60.0
    good = min(minutes, max(0.0, fresh_v - TIRED_V) / FADE_V_MIN)
    return fresh_v - FADE_V_MIN * good - TIRED_FADE_V_MIN * (minutes - good)


def transmitted(sticks: Sticks, world: World, on_s: float) -> Sticks:
    """Return the sticks as sent: nothing without power, the mode as the switch is mapped.

    A controller that was told of no mode switch keeps to self-level.
    """
    conduct = world.conduct
    alive = conduct.transmitter_on and pack_v(world, on_s) > DEAD_V
    setup = world.setup
    assigned = "mode-switch" not in setup.unset  # a switch that nothing is assigned to is ignored
    self_level = not assigned or conduct.self_level == setup.transmitter.mode_switch_right
    return sticks._replace(
        transmitter_on=sticks.transmitter_on if alive else 0.0,
        self_level=1.0 if self_level else 0.0,
    )
