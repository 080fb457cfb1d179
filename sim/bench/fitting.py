"""Propellers go on four corners: which on which motor, which face up, how tight.

A piece is one of the aircraft's own, named by the corner it lies ready for, or comes from the shelf,
where both hands lie beside look-alikes an inch smaller. What is fitted wrongly is a fault like any
other, told from how the aircraft is.
"""

from typing import Literal, cast, get_args

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import Propeller
from sim.aircraft.changes import with_value, with_values
from sim.aircraft.conduct import Conduct
from sim.aircraft.design import hover
from sim.aircraft.fields import PLACES, Place
from sim.aircraft.world import World
from sim.bench.rig import Rig
from sim.bench.spoilt import spoilt
from sim.errors import Refusal
from sim.keys import PartKey

Spare = Literal[
    "spare-right-hand", "spare-left-hand", "smaller-right-hand", "smaller-left-hand"
]  # right hand: its high edge goes first clockwise, seen from above
Piece = Place | Spare
Face = Literal["marks-up", "marks-down"]
Tightness = Literal["finger-tight", "firm", "forced"]
SPARES: tuple[Spare, ...] = get_args(Spare)
MOULDED = ("extra_unbalance_g_mm", "nicked", "diameter_ratio", "pitch_ratio")
SMALLER = 0.9  # of the span; own: nine inches among tens, easily mixed up in one drawer
FINGERS_HOLD = (0.75, 1.25)  # of the hover's torque; own: less than a punch takes
CRACKED = 0.5  # 1; own: how often a hub that is forced cracks
CRACKED_HOLDS = (
    0.83,
    1.42,
)  # of the same; own: a split hub grips little better than by the fingers


def told(place: Place) -> str:
    """Return a corner as one says it."""
    return place.replace("_", " ")


def sense(airframe: Airframe, place: Place) -> bool:
    """Tell whether the motor of a corner is planned to turn clockwise, seen from above."""
    return place in airframe.clockwise


def is_right_handed(world: World, place: Place) -> bool:
    """Tell whether the piece at a corner is one for turning clockwise."""
    prop: Propeller = getattr(world.build.rotors, place).propeller
    return prop.right_hand == sense(world.airframe, place)


def on_hubs(conduct: Conduct, on: frozenset[Place]) -> Conduct:
    """Return the conduct with propellers on these hubs and no others."""
    bare = tuple(place for place in PLACES if place not in on) if on else ()
    return conduct.model_copy(update={"props_fitted": bool(on), "bare": bare})


def refuse_fitting(conduct: Conduct, place: Place, piece: Piece) -> None:
    """Refuse a corner that has a propeller on, and a piece that is on another."""
    on = conduct.propellers_on
    if place in on:
        raise Refusal(f"There is one on at the {told(place)}: take it off first.", "already")
    if piece in on:
        raise Refusal(f"That one is on, at the {told(piece)}.", "already")


def exchange(rig: Rig, place: Place, other: Place) -> None:
    """Take the piece that lies ready for another corner; the one of this corner lies there then."""
    world, parts = rig.world, rig.world.build.rotors
    hands = {place: is_right_handed(world, other), other: is_right_handed(world, place)}
    pieces = {place: getattr(parts, other).propeller, other: getattr(parts, place).propeller}
    values = {}
    for where, piece in pieces.items():
        fits = hands[where] == sense(world.airframe, where)
        key = f"build.rotors.{where}.propeller"
        values[key] = with_value(piece, "right_hand", fits)
    rig.change(with_values(world, values))
    a, b = (f"rotors.{PLACES.index(where)}.broken" for where in (place, other))
    broken = rig.value(a), rig.value(b)
    rig.put(a, broken[1])
    rig.put(b, broken[0])


def take_from_shelf(
    rig: Rig, place: Place, spare: Spare, rng: np.random.Generator, bad: float
) -> None:
    """Make a good propeller just put ready for a corner into the one really taken.

    bad : chance that it is badly moulded or has been dropped, 0..1.
    """
    world = rig.world
    if bad > 0.0 and rng.random() < bad:
        part = cast(PartKey, f"propeller-{place.replace('_', '-')}")
        moulded = tuple(f"rotors.{place}.propeller.{key}" for key in MOULDED)
        world = spoilt(world, part, moulded, rng)
    prop: Propeller = getattr(world.build.rotors, place).propeller
    small = spare.startswith("smaller")
    right_hand = spare.endswith("right-hand") == sense(world.airframe, place)
    values = {
        "right_hand": right_hand,
        "diameter_ratio": prop.diameter_ratio * (SMALLER if small else 1.0),
    }
    keys = {f"build.rotors.{place}.propeller.{key}": value for key, value in values.items()}
    rig.change(with_values(world, keys))


def holds_n_m(tightness: Tightness, airframe: Airframe, rng: np.random.Generator) -> float | None:
    """Return the torque at which a hub lets go, N m; None: it holds whatever comes."""
    if tightness == "finger-tight":
        return float(rng.uniform(*FINGERS_HOLD)) * hover(airframe).torque_n_m
    if tightness == "forced" and rng.random() < CRACKED:
        return float(rng.uniform(*CRACKED_HOLDS)) * hover(airframe).torque_n_m
    return None


def tighten(
    rig: Rig, place: Place, face: Face, tightness: Tightness, rng: np.random.Generator
) -> None:
    """Put the piece that is ready for a corner on its hub."""
    key = f"build.rotors.{place}.propeller"
    world = with_values(
        rig.world,
        {
            f"{key}.right_way_up": face == "marks-up",
            f"{key}.slip_n_m": holds_n_m(tightness, rig.world.airframe, rng),
        },
    )
    conduct = on_hubs(world.conduct, world.conduct.propellers_on | {place})
    rig.change(world.model_copy(update={"conduct": conduct}))
