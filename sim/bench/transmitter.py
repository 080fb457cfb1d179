"""What leaves the transmitter's aerial: sticks and switches as they are sent, while its pack lasts."""

from sim.aircraft.world import World
from sim.kernel.radio import Sticks

FADE_V_MIN = 0.02  # V/min; own: what a transmitter draws from a tired two-cell pack
DEAD_V = 6.2  # V; own: it switches itself off at 3.1 V a cell


def pack_v(world: World, time_s: float) -> float:
    """Return the voltage of the transmitter's own pack after a time switched on, V."""
    return world.build.radio.transmitter_pack_v - FADE_V_MIN * time_s / 60.0


def transmitted(sticks: Sticks, world: World, time_s: float) -> Sticks:
    """Return the sticks as sent: nothing without power, the mode as the switch is mapped."""
    conduct = world.conduct
    alive = conduct.transmitter_on and pack_v(world, time_s) > DEAD_V
    self_level = conduct.self_level == world.setup.transmitter.mode_switch_right
    return sticks._replace(
        transmitter_on=sticks.transmitter_on if alive else 0.0,
        self_level=1.0 if self_level else 0.0,
    )
