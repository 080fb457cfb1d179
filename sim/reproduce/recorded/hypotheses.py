"""Every fault that can stand in a recording, at every place, in every way and how bad: as aircraft.

Each way is what `sim.faults` itself puts in with a variation of its own. Where a fault's values are
among what is fitted anyway (balance, level, compass, gyro), its ways need no passes: they are shifts
along those columns.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import permutations
from typing import Any, NamedTuple

import numpy as np

from sim.aircraft.changes import differing, value_at, with_value, with_values
from sim.aircraft.world import World
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.faults.severity import Way, limit_share, put_in, share_of_way, way
from sim.keys import FaultId
from sim.reproduce.recorded.nuisance import NUISANCES
from sim.reproduce.recorded.places import place_of

MILD, MIDDLE, BAD = 0.3, 0.55, 0.85  # severity; own: from 0.2 to 1, each stands for a third of it
FINE = (0.2, 0.28, 0.36, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95)  # severity; own: for what rings
LEAST_SEEN = 0.2  # severity; design: from here on a fault must be found
HALF_CELL = 0.14  # severity; own: the third each stands for, as a standard deviation
TRIES = 48  # variations looked at; own: enough to meet each of two dozen places and ways
MOST_WAYS = 18  # ways kept; own: six pairs of motors, each way round of three sticks
ROUND = 16  # ways along columns; own: every 22 degrees
STRAY = 0.3  # of a shift; own: how far the true direction may lie beside the nearest way
QUARTER = 0.7  # of a shift; own: the same where ways are quarters of the circle

ALONG_COLUMNS: frozenset[FaultId] = frozenset(
    {
        "cg-offset",
        "gyro-bias-moved",
        "accel-cal-bad",
        "mag-hard-iron-offset",
        "mag-soft-iron",
        "mag-current-coupling",
        "draught-from-door",
    }
)
"""Faults whose values are among those fitted to sound aircraft too, only smaller there."""

BESIDE_COLUMNS: frozenset[FaultId] = frozenset({"level-trim-off"})
"""Faults with passes of their own whose direction is fitted along columns: far off they clip."""

ORDER: FaultId = "channel-order-mixed"
ENDS: FaultId = "stick-ends-short"
TRAVEL = {0.3: 0.09, 0.55: 0.17, 0.85: 0.26, 0.93: 0.40, 1.0: 0.55}
"""Share of a stick's way that is lost, by severity; own: as variations put it in, and beyond what they do."""
UNEQUAL: FaultId = "axis-gains-unequal"
ROLL_TIMES = (0.5, 2.0)  # of the sheet's gains; own: about as far as variations take pitch
IN_FINE_STEPS: frozenset[FaultId] = frozenset(
    {
        "sensor-mount-loose",
        "arm-joint-loose",
        "filter-cutoff-wrong",
        "rate-gain-high",
        "rate-gain-low",
        "damping-gain-high",
        "axis-gains-unequal",
    }
)
"""Faults that ring, or make it ring, at a frequency of their own: between it and another lie more steps."""

UNSEEN: dict[FaultId, str] = {
    "throttle-channel-reversed": "it never flies",
    "lead-polarity-reversed": "it never flies",
    "transmitter-pack-low": "the link holds as long as it is on",
    "failsafe-holds-last": "only a lost link shows it",
    "aerial-damaged": "frames lost are no column",
    "arm-lock-absent": "it concerns arming alone",
    "stop-switch-unset": "nothing had to be stopped",
    "gyro-warmup-drift": "a hop is over before the gyro is warm",
    "baro-uncovered": "the barometer is no column",
    "integral-windup-on-pad": "it shows only after long standing with motors turning",
    "regulator-brownout": "it restarts or does not; a hop that goes on shows nothing",
    "low-volt-alarm-unset": "the alarm is no column",
    "pack-strap-loose": "only a brisk move shifts the pack",
    "drive-desync": "only a brisk throttle upsets a drive",
    "loose-debris": "it is not of the aircraft",
    "position-hold-indoors": "nothing held a position",
    "nose-lost": "it is not of the aircraft",
    "pack-cold": "a cold pack and a worn one are the same to a recording",
}
"""Faults that no recording of a hop shows, and why; those of conduct neither."""


class Hypothesis(NamedTuple):
    """One way a fault can be, to be compared with a recording.

    world : to be taken through it; None if it is a shift. shift : in sigmas, along the columns of
    what is fitted, (column, sigmas); beside a world, how far it is off along them. chain : the number of
    what it is one severity of; steps of a chain go up in severity. degrees : whether it has any.
    """

    fault: FaultId
    severity: float
    variation: int
    place: str | None
    world: World | None
    shift: tuple[tuple[int, float], ...] = ()
    chain: int = 0
    degrees: bool = True


def by_fault(every: Sequence[Hypothesis], some: Iterable[int]) -> dict[FaultId, list[int]]:
    """Return the numbers of some hypotheses by their fault, in the order in which they come."""
    found: dict[FaultId, list[int]] = {}
    for i in some:
        found.setdefault(every[i].fault, []).append(i)
    return found


def seen_faults(world: World) -> tuple[FaultId, ...]:
    """Return the faults that can stand in a recording of this aircraft."""
    return tuple(
        name
        for name, fault in CATALOGUE.items()
        if fault.family != "conduct" and name not in UNSEEN and not fault.cannot(world)
    )


def _signature(changed: dict[str, tuple[Any, Any]], rough: bool) -> tuple[Any, ...]:
    """Return what tells one way from another: what is changed and to which side."""

    def side(ends: tuple[Any, Any]) -> Any:
        old, new = ends
        if not rough or not isinstance(new, float | int) or isinstance(new, bool):
            return new
        return bool(new > (old or 0.0))

    return tuple(sorted((key, str(side(ends))) for key, ends in changed.items()))


def _ways(
    fault: Fault, world: World, most: int
) -> Iterator[tuple[int, dict[str, tuple[Any, Any]]]]:
    """Yield (variation, what is changed at the worst) of each way that differs from those before.

    Of what has degrees, ways to the same side are one; of what has none, each value is one.
    """
    seen: set[tuple[Any, ...]] = set()
    for variation in range(TRIES):
        worst = fault.inject(world, 1.0, np.random.default_rng(variation))
        changed = differing(world, worst)
        mild = fault.inject(world, MILD, np.random.default_rng(variation))
        rough = mild != worst
        key = _signature(changed, rough), _signature(differing(world, mild), rough)
        if key in seen:
            continue
        seen.add(key)
        yield variation, changed
        if len(seen) == most:
            return


class _Put:
    """Puts one way of a fault in, as bad as asked for; the limit is looked for once."""

    def __init__(self, fault: Fault, world: World, variation: int) -> None:
        self.fault, self.world, self.variation = fault, world, variation
        worst = fault.inject(world, 1.0, np.random.default_rng(variation))
        self.way: Way | None = way(fault, world, worst)
        self.limit = limit_share(fault, self.way) if self.way is not None else 0.0

    def at(self, severity: float) -> World:
        """Return the world with it."""
        if self.way is None:
            return put_in(self.fault, self.world, severity, np.random.default_rng(self.variation))
        return self.way.at(share_of_way(severity, self.limit), flagged=severity >= 0.3)


def _columns() -> dict[tuple[str, tuple[int, ...]], int]:
    return {(n.keys[0], n.part): i for i, n in enumerate(NUISANCES) if n.way == "offset" and n.keys}


def _parts(value: Any, at: tuple[int, ...] = ()) -> Iterator[tuple[tuple[int, ...], float]]:
    if isinstance(value, tuple):
        for i, part in enumerate(value):
            yield from _parts(part, (*at, i))
    else:
        yield at, float(value)


def shift_of(before: World, after: World) -> tuple[tuple[int, float], ...]:
    """Return what differs between two worlds in sigmas along the columns of what is fitted."""
    columns, found = _columns(), []
    for key, (old, new) in differing(before, after).items():
        for (part, a), (_, b) in zip(_parts(old), _parts(new), strict=True):
            if a != b and (key, part) in columns:
                i = columns[key, part]
                found.append((i, (b - a) / NUISANCES[i].sigma))
    return tuple(found)


def _of(fault: Fault, world: World, chain: int) -> list[Hypothesis]:
    """Return all hypotheses of one fault."""
    along = fault.id in ALONG_COLUMNS
    found: list[Hypothesis] = []
    ways: Sequence[int] = (
        range(ROUND) if along else [variation for variation, _ in _ways(fault, world, MOST_WAYS)]
    )
    for variation in ways:
        put = _Put(fault, world, variation)
        steps = [
            (s, put.at(s)) for s in (FINE if fault.id in IN_FINE_STEPS else (MILD, MIDDLE, BAD))
        ]
        degrees = _by_degrees(steps[0][1], steps[-1][1])
        if not degrees:
            steps = list({made.model_dump_json(): (s, made) for s, made in steps}.values())
        for severity, made in steps:
            place = place_of(differing(world, made))
            shift = shift_of(world, made) if along or fault.id in BESIDE_COLUMNS else ()
            aircraft = None if along else made
            found.append(
                Hypothesis(fault.id, severity, variation, place, aircraft, shift, chain, degrees)
            )
            chain += not degrees
        chain += degrees
    if fault.id == ORDER:
        found += _orders(fault, world, found, chain)
    if fault.id == ENDS:
        found += _sticks_alone(fault, world, chain)
    if fault.id == UNEQUAL:
        found += _roll_gains(fault, world, chain)
    return found


def _orders(
    fault: Fault, world: World, there: Sequence[Hypothesis], chain: int
) -> Iterator[Hypothesis]:
    """Yield the orders of three sticks that are not there yet: all a transmitter can be set to and still arm."""
    seen = [h.world for h in there]
    roll, pitch, throttle, yaw = world.setup.transmitter.order
    for one, two, three in permutations((roll, pitch, yaw)):
        made = with_value(world, "setup.transmitter.order", (one, two, throttle, three))
        if made not in (world, *seen):
            yield Hypothesis(fault.id, MIDDLE, 0, None, made, (), chain, degrees=False)
            chain += 1


def _sticks_alone(fault: Fault, world: World, chain: int) -> Iterator[Hypothesis]:
    """Yield short ends of three sticks whose throttle was set right, to where a stick does half of what it should."""
    for severity, share in TRAVEL.items():
        values: dict[str, Any] = {}
        for stick in ("roll", "pitch", "yaw"):
            key = f"setup.transmitter.{stick}."
            low, high = value_at(world, key + "low_us"), value_at(world, key + "high_us")
            short = round(0.5 * share * (high - low))
            values |= {key + "low_us": low + short, key + "high_us": high - short}
        made = with_values(world, values)
        yield Hypothesis(fault.id, severity, 0, "roll and pitch and yaw", made, (), chain)


def _roll_gains(fault: Fault, world: World, chain: int) -> Iterator[Hypothesis]:
    """Yield gains that are unequal by those of roll: variations have those of pitch alone."""
    for n, times in enumerate(ROLL_TIMES):
        keys = [f"setup.controller.roll.{gain}" for gain in "pid"]
        made = with_values(world, {key: times * value_at(world, key) for key in keys})
        yield Hypothesis(fault.id, MIDDLE, 0, "roll", made, (), chain + n, degrees=False)


def _by_degrees(mild: World, bad: World) -> bool:
    """Tell whether a fault differs by numbers alone from mild to bad: not by nothing, nor by kind."""
    changed = differing(mild, bad)
    return bool(changed) and all(_numeric(x) for ends in changed.values() for x in ends)


def _numeric(value: Any) -> bool:
    if isinstance(value, tuple):
        return all(_numeric(part) for part in value)
    return value is None or isinstance(value, float | int)


@lru_cache(maxsize=4)
def _all(_: str, world: "_Uncompared") -> tuple[Hypothesis, ...]:
    found: list[Hypothesis] = []
    for name in seen_faults(world.world):
        chain = found[-1].chain + 1 if found else 0
        found += _of(CATALOGUE[name], world.world, chain)
    return tuple(found)


class _Uncompared:
    """Carries a world past the cache, which goes by its text."""

    def __init__(self, world: World) -> None:
        self.world = world

    def __hash__(self) -> int:
        return 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Uncompared)


def hypotheses(world: World) -> tuple[Hypothesis, ...]:
    """Return every way in which every fault can stand in a recording of this aircraft."""
    return _all(world.model_dump_json(), _Uncompared(world))
