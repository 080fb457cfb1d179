"""A controller board that knows nothing yet: what it has to be told and taught, and what parts read raw."""

from typing import Literal, get_args

import numpy as np

from sim.aircraft.changes import with_values
from sim.aircraft.scatter import CHANNEL, MOTOR, Spread, drawn, spelled_out
from sim.aircraft.setup import Unset
from sim.aircraft.world import World
from sim.keys import FixKey

Blank = Literal["software"] | Unset
TOLD_BY: dict[FixKey, Unset] = {
    "setup.controller.layout": "layout",
    "setup.transmitter.mode_switch_right": "mode-switch",
    "calibrate:sticks": "sticks",
    "calibrate:drives": "drives",
    "calibrate:faces": "accelerometer",
    "calibrate:compass": "compass",
}  # which change tells or teaches what
RAW: dict[Unset, tuple[Spread, ...]] = {
    "sticks": tuple(
        Spread(f"{CHANNEL}{end}_us", size, "whole")
        for end, size in (
            ("low", 20.0),  # us; own: gimbals and gears before anything is adjusted
            ("centre", 10.0),  # us; own: the same
            ("high", 20.0),  # us; own: the same
        )
    ),
    "drives": (
        Spread(
            MOTOR + "start_extra", 0.006, "half"
        ),  # of command; own: 6 us, as they leave the box
        Spread(MOTOR + "gain", 0.03, "share"),  # 1; own: each with another idea of full throttle
    ),
    "accelerometer": (
        Spread("build.sensors.accel_bias_m_s2", 0.25, "offset"),  # m/s2; own: 25 mg of a cheap part
        Spread("build.sensors.accel_matrix", 0.01, "diagonal"),  # 1; own: 1 % of a cheap part
    ),
    "compass": (
        Spread("build.sensors.mag_hard_iron_ut", 6.0, "offset"),  # uT; own: screws, leads, battery
        Spread("build.sensors.mag_soft_iron", 0.02, "symmetric"),  # 1; own: the same
    ),
}  # how far a part never calibrated lies off, beyond what sound ones differ by


def blanked(world: World, blank: tuple[Blank, ...], rng: np.random.Generator) -> World:
    """Return the world with a board that lacks all this, and parts as they are before calibration.

    What a board was to be taught reads raw; the faults of parts stay as they are.
    """
    unset = tuple(what for what in get_args(Unset) if what in blank)
    values = {
        spread.key: drawn(spread, world, rng)
        for what in unset
        for spread in spelled_out(RAW.get(what, ()))
    }
    values |= {"build.board_blank": "software" in blank, "setup.unset": unset}
    return with_values(world, values)


def untaught(world: World, what: Unset) -> World:
    """Return the world with a calibration begun: until it is finished there is none."""
    left = {*world.setup.unset, what}
    return with_values(world, {"setup.unset": tuple(w for w in get_args(Unset) if w in left)})


def told(world: World, fix: FixKey | None) -> World:
    """Return the world after a change; what it tells or teaches the controller is wanted no more."""
    what = TOLD_BY.get(fix) if fix is not None else None
    if what not in world.setup.unset:
        return world
    left = tuple(w for w in world.setup.unset if w != what)
    return with_values(world, {"setup.unset": left})
