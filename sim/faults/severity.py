"""How bad a fault is: from a deviation that is not one yet, past its limit, to the worst.

A fault's `inject` says what it changes and how far at the worst. Here severity is put on the way
there: at 0 the aircraft is four fifths of the way to where the fault's own predicate turns true, at
0.1 just past that, at 1 at the worst. Where the predicate turns is found on the very aircraft, with
all that is a little off on it already. Faults that are so or not are put in as they are.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.aircraft import library
from sim.aircraft.assemble import assemble
from sim.aircraft.changes import differing, with_values
from sim.aircraft.powertrain import pack_at_rest
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel.frames import UPRIGHT

LIMIT_AT = 0.1  # severity; own: from here on it is a fault
NEARLY = 0.8  # of the way to the limit; own: where severity 0 lies
FLAGS_FROM = 0.3  # severity; own: what is to be seen beside a number, such as a nick, comes here
HOP_S = 75.0  # s; design: the hop planned
HALVINGS = 14  # own: finds the limit to 1/16,000 of the way to the worst
STIFF = {"loose_arm_hz": -0.5, "loose_mount_hz": -0.5, "slip_n_m": -1.0}
# power of the share; physics: a joint's frequency goes with the root of its stiffness, and the
# looseness of joints and hubs is the inverse of stiffness and grip; sound they are 0 or None: tight
WHOLE = "_us"  # ends keys of pulses, which transmitters and drives set in whole microseconds
SETTINGS = "setup.controller."
SQUARE = "_turn_deg"  # ends keys of mounts, which sit square to the frame or are turned
PEOPLE = "conduct."
LASTS = "gap_s"  # ends keys of how long a gap lasts: a bad joint is mild by opening seldom


def truth_of(world: World, hop_s: float = HOP_S) -> Truth:
    """Return what predicates look at, of an aircraft upright, propellers on, its pack rested."""
    whole = with_values(world, {"conduct.props_fitted": True, "conduct.bare": ()})
    craft = assemble(whole, UPRIGHT)
    tables = library.tables(world.airframe.propeller.table)
    return Truth(world, craft, tables, pack_at_rest(world.build.pack), hop_s)


@dataclass(frozen=True)
class Way:
    """The way from a world without a fault to the same with the fault at its worst.

    Numbers go a share of it; flags of the build come together, later; what is whole, such as what
    people do, is there from the start.
    """

    world: World
    numbers: dict[str, tuple[Any, Any]]
    flags: dict[str, Any]
    whole: dict[str, Any]

    def at(self, share: float, flagged: bool = False) -> World:
        """Return the world a share (0..1) of the way along."""
        values = {key: between(key, *ends, share) for key, ends in self.numbers.items()}
        return with_values(self.world, values | self.whole | (self.flags if flagged else {}))


def between(key: str, sound: Any, worst: Any, share: float) -> Any:
    """Return the value a share of the way from sound to worst; vectors number by number."""
    if isinstance(worst, tuple):
        return tuple(between(key, a, b, share) for a, b in zip(sound, worst, strict=True))
    power = STIFF.get(key.rpartition(".")[2])
    if power is not None and not sound:
        return worst * share**power if share > 0.0 else sound
    value = sound + share * (worst - sound)
    return float(np.round(value)) if key.endswith(WHOLE) else value


def _numeric(value: Any) -> bool:
    if isinstance(value, tuple):
        return all(_numeric(part) for part in value)
    return isinstance(value, float)


def way(fault: Fault, world: World, worst: World, hop_s: float = HOP_S) -> Way | None:
    """Return the way to a fault's worst if it can be gone by degrees, else None.

    It can if the fault consists of numbers of build, site or calibrations: no word, count or
    setting, and not of flags alone.
    """
    changed = differing(world, worst)
    whole = {k: ends for k, ends in changed.items() if k.startswith(PEOPLE) or k.endswith(LASTS)}
    flags = {key: ends for key, ends in changed.items() if isinstance(ends[1], bool)}
    numbers = {key: ends for key, ends in changed.items() if key not in whole | flags}
    for key, (sound, most) in numbers.items():
        tight = sound is None and key.rpartition(".")[2] in STIFF
        if key.startswith(SETTINGS) or key.endswith(SQUARE):
            return None
        if not _numeric(most) or not (tight or _numeric(sound)):
            return None
    found = Way(
        world,
        numbers,
        {key: ends[1] for key, ends in flags.items() if key not in whole},
        {key: ends[1] for key, ends in whole.items()},
    )
    return found if numbers and fault.present(truth_of(found.at(1.0), hop_s)) else None


def limit_share(fault: Fault, way: Way, hop_s: float = HOP_S) -> float:
    """Return the share of the way from which the fault is there (0 if it was there before)."""
    without, there = 0.0, 1.0
    if fault.present(truth_of(way.at(without), hop_s)):
        return 0.0
    for _ in range(HALVINGS):
        middle = 0.5 * (without + there)
        if fault.present(truth_of(way.at(middle), hop_s)):
            there = middle
        else:
            without = middle
    return there


def share_of_way(severity: float, limit: float) -> float:
    """Return how far along the way a severity lies, if the fault's limit lies at `limit`."""
    if severity < LIMIT_AT:
        return limit * (NEARLY + (1.0 - NEARLY) * severity / LIMIT_AT)
    return limit + (severity - LIMIT_AT) / (1.0 - LIMIT_AT) * (1.0 - limit)


def put_in(
    fault: Fault, world: World, severity: float, rng: np.random.Generator, hop_s: float = HOP_S
) -> World:
    """Return the world with a fault, as bad as severity (0..1) says for a hop of `hop_s` seconds."""
    before = rng.bit_generator.state
    gone = way(fault, world, fault.inject(world, 1.0, rng), hop_s)
    if gone is None:
        rng.bit_generator.state = before
        return fault.inject(world, severity, rng)
    limit = limit_share(fault, gone, hop_s)
    return gone.at(share_of_way(severity, limit), severity >= FLAGS_FROM)
