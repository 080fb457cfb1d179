"""The parts bin: what can be swapped, tightened or moved, and what that puts right.

Each part is a list of keys of the build that go back to the design's value, and a sound part
scatters about it as any other does.
"""

from typing import cast

import numpy as np

from sim.aircraft.build import Build, Pack
from sim.aircraft.changes import value_at
from sim.aircraft.fields import PLACES
from sim.aircraft.scatter import renewed
from sim.aircraft.world import World
from sim.bench.rig import Rig
from sim.bench.spoilt import spoilt
from sim.keys import PartKey

AIRCRAFT: dict[PartKey, tuple[str, ...]] = {
    "pack": ("pack",),
    "lead-polarity": ("leads.polarity_right",),
    "connector": ("leads.connector_ohm",),
    "regulator": ("leads.regulator_extra_v", "leads.avionics_extra_a"),
    "frame-screws": ("frame.loose_arm_hz",),
    "pack-strap": ("frame.strap_shift_m",),
    "pack-place": ("frame.cg_offset_m",),
    "ballast": ("frame.mass_factor",),
    "legs": ("frame.leg_lift_m",),
    "sensor-mount": ("sensors.loose_mount_hz", "sensors.shake_gain"),
    "compass-lead": ("sensors.mag_per_amp_ut_a",),
    "barometer-cover": ("sensors.baro_uncovered",),
    "aerial": ("radio.loss_at_range", "radio.loss_near"),
    "transmitter-pack": ("radio.transmitter_pack_v",),
}
AT_A_PLACE: dict[PartKey, tuple[str, ...]] = {
    cast(PartKey, f"{part}-{place.replace('_', '-')}"): tuple(
        key.format(place=place) for key in keys
    )
    for place in PLACES
    for part, keys in {
        "propeller": ("rotors.{place}.propeller",),
        "motor": ("rotors.{place}.motor",),
        "signal-lead": ("rotors.{place}.output", "rotors.{place}.motor.command_noise"),
        "phase-leads": ("rotors.{place}.motor.spin_right", "rotors.{place}.motor.gap_rate_per_s"),
        "wire-tie": ("rotors.{place}.motor.wire_in_disc",),
    }.items()
}
PARTS = AIRCRAFT | AT_A_PLACE
MOTORS = {f"motor-{place.replace('_', '-')}": place for place in PLACES}  # place by part
PROPELLERS = {f"propeller-{place.replace('_', '-')}": place for place in PLACES}
STRAPPED = ("pack", "pack-strap", "pack-place")  # after which the pack sits where it belongs


def swapped(world: World, part: PartKey, pack_charge: float, rng: np.random.Generator) -> World:
    """Return the world with a part put right; rng : chance of the spare part's own scatter."""
    design = Build(pack=Pack(charge=pack_charge))
    return renewed(world, {f"build.{key}": value_at(design, key) for key in PARTS[part]}, rng)


def swap(
    rig: Rig, part: PartKey, pack_charge: float, rng: np.random.Generator, bad: float = 0.0
) -> None:
    """Put a part of the rig right; what was drawn from the old one or warmed it goes with it.

    bad : chance that the spare or the work is bad itself, 0..1.
    """
    world = swapped(rig.world, part, pack_charge, rng)
    if bad > 0.0 and rng.random() < bad:
        world = spoilt(world, part, PARTS[part], rng)
    rig.change(world)
    if part in STRAPPED:
        rig.strap_pack()
    if part == "pack":
        rig.swap_pack()
    elif part == "transmitter-pack":
        rig.swap_transmitter_pack()
    elif part in PROPELLERS:
        rig.swap_propeller(PROPELLERS[part])
    elif part in MOTORS:
        rig.swap_motor(MOTORS[part])
