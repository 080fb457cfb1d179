"""Objective tests: values from outside against what the flight model and the bench tools compute.

Every value is read from a file with a source note beside it, which also states its kind, the
tolerance and its reason; every number of ours comes out of a function the simulation itself runs.
"""

from collections.abc import Callable

from sim.qualify import (
    air_and_floor,
    estimates,
    instruments,
    loops,
    motion,
    power,
    propellers,
    rotors,
)  # fmt: skip
from sim.qualify.row import KINDS, MEANING, Row, counts, sentence

__all__ = ["KINDS", "MEANING", "Row", "counts", "rows", "sentence"]

ITEMS: tuple[Callable[[], list[Row]], ...] = (
    air_and_floor.atmosphere,
    air_and_floor.side_wind,
    air_and_floor.fall,
    air_and_floor.ground_effect,
    air_and_floor.legs,
    air_and_floor.damping,
    propellers.other_runs,
    propellers.hover_point,
    propellers.blade_elements,
    propellers.definitions,
    propellers.shipped_table,
    propellers.every_propeller,
    power.motor_example,
    power.motor_run_up,
    power.pack_rows,
    motion.rotation,
    motion.spinning_tops,
    motion.pushed,
    motion.turned_axes,
    motion.two_strings,
    motion.level_error,
    motion.sound_and_shake,
    rotors.spinning_rotors,
    instruments.compass,
    instruments.fields,
    instruments.compass_fit,
    instruments.six_positions,
    estimates.estimates,
    estimates.noise_rows,
    estimates.shipped_noise,
    estimates.random_numbers,
    loops.radio_pulses,
    loops.link_age,
    loops.loop_margins,
)


def rows() -> list[Row]:
    """Run every objective test."""
    return [row for item in ITEMS for row in item()]
