"""Objective tests: published values against what the flight model and the bench tools compute.

Every published number is read from a file with a source note beside it, which also states the
tolerance and its reason; every number of ours comes out of a function the simulation itself runs.
"""

from collections.abc import Callable

from sim.qualify import air_and_rotor, instruments, loops, motion, power
from sim.qualify.row import Row

__all__ = ["Row", "rows"]

ITEMS: tuple[Callable[[], list[Row]], ...] = (
    air_and_rotor.atmosphere,
    air_and_rotor.hover_momentum,
    air_and_rotor.propeller,
    air_and_rotor.propeller_loads,
    air_and_rotor.hover_point,
    air_and_rotor.side_wind,
    air_and_rotor.ground_effect,
    power.motor_example,
    power.motor_lag,
    power.pack_rows,
    motion.rotation,
    motion.spinning_tops,
    motion.bifilar,
    motion.level_error,
    instruments.compass,
    instruments.steel,
    instruments.compass_fit,
    instruments.six_positions,
    instruments.estimates,
    instruments.instrument_noise,
    instruments.random_numbers,
    motion.sound_and_shake,
    loops.radio_pulses,
    loops.loop_margins,
)


def rows() -> list[Row]:
    """Run every objective test."""
    return [row for item in ITEMS for row in item()]
