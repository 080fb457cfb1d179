"""What a reading says of fault sets, by the measured tables: which lines are out, and what that is likely with. Pure.

A sight is a measure of a check with the side to which faults move it; it is inside its band, outside
the inner edge, or plainly so, outside the outer one. Of a check those sights are taken by which some
fault shows most often. What is inside speaks against a fault only on the line that shows it most
often, since the lines of one reading are not independent; what is outside is explained by any fault
that moves it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import PLACES
from sim.bench.bands import Edge
from sim.bench.checklist import CHECKS
from sim.bench.evidence import Measured
from sim.bench.lines import PLACE, every_measure
from sim.bench.moves import Move, Way
from sim.keys import CheckKey, FaultId
from sim.scoring.faultsets import FaultSets
from sim.scoring.information import Chances, entropy_bits
from sim.scoring.knowable import WORTH_TELLING

ONE_SIDE = 0.025  # 1; beyond one inner edge lies a fortieth of what sound aircraft show (sim/bench/bands.py)
SLIP = 0.002  # 1; own: a line on which sound aircraft do not differ is misread as seldom as this
PLAIN_OF_FAULTY = (
    0.87  # 1; assets/detection.csv, middling severity: of readings doubtful with a fault, plain
)
PLAIN_OF_SOUND = 0.0023  # 1; assets/detection.csv: the same of sound aircraft, 6.5e-5 of 0.028
SURELY = 0.9  # 1; own: lines that a fault moves as surely as this are out together
INSIDE, OUT, PLAIN = 0, 1, 2  # 1; how far out


@dataclass(frozen=True)
class Sight:
    """One way in which a check shows something.

    powers : how often each fault puts it out, shape (faults,); strongest : the same, 0 for faults that
    another sight of the check shows more often; false_alarm : how often a sound aircraft has it out.
    """

    measure: str
    side: Way
    false_alarm: float
    powers: Chances
    strongest: Chances

    def state(
        self, check: CheckKey, values: dict[str, list[float]], measured: Measured
    ) -> int | None:
        """Return how far out a reading has it; None if it was not read. values : by measure."""
        band = measured.bands.get((check, self.measure))
        if band is None or self.measure not in values:
            return None

        def beyond(value: float, edge: Edge) -> bool:
            side = band.side(value, edge)
            return side is not None and self.side in (side, "either")

        out = [value for value in values[self.measure] if beyond(value, "inner")]
        if not out:
            return INSIDE
        return PLAIN if any(beyond(value, "outer") for value in out) else OUT


Sights = dict[CheckKey, tuple[Sight, ...]]


def sights_of(measured: Measured, faults: tuple[FaultId, ...]) -> Sights:
    """Return the sights of every check that has any."""
    found: Sights = {}
    place = {fault: n for n, fault in enumerate(faults)}
    for check in CHECKS:
        moves = [m for (of, _), ms in measured.moves.items() if of == check for m in ms]
        moves = [move for move in moves if move.fault in place]
        if any(move.power >= WORTH_TELLING for move in moves):
            found[check] = tuple(_sights(check, moves, place, measured))
    return found


def _sights(
    check: CheckKey, moves: list[Move], place: dict[FaultId, int], measured: Measured
) -> Iterator[Sight]:
    best: dict[FaultId, Move] = {}
    for move in moves:
        if move.power >= WORTH_TELLING and move.power > getattr(best.get(move.fault), "power", 0.0):
            best[move.fault] = move
    ways: dict[str, set[Way]] = {}
    for move in best.values():
        ways.setdefault(move.measure, set()).add(move.side)
    sights = [(measure, side) for measure, sides in sorted(ways.items()) for side in _sides(sides)]
    powers = np.array([_powers(moves, measure, side, place) for measure, side in sights])
    top = powers.argmax(axis=0)
    for n, (measure, side) in enumerate(sights):
        strongest = np.where((top == n) | (powers[n] >= SURELY), powers[n], 0.0)
        yield Sight(
            measure, side, _false_alarm(check, measure, side, measured), powers[n], strongest
        )


def _sides(sides: set[Way]) -> tuple[Way, ...]:
    return (
        ("either",)
        if sides == {"either"}
        else ("above", "below")
        if "either" in sides
        else tuple(sorted(sides))
    )


def _powers(moves: list[Move], measure: str, side: Way, place: dict[FaultId, int]) -> Chances:
    """Return how often each fault puts a measure out on a side; a fault that goes either way, half each."""
    found = np.zeros(len(place))
    for move in moves:
        if move.measure == measure:
            same = side in ("either", move.side)
            share = 1.0 if same else 0.5 if move.side == "either" else 0.0
            at = place[move.fault]
            found[at] = max(found[at], share * move.power)
    return found


def _false_alarm(check: CheckKey, measure: str, side: Way, measured: Measured) -> float:
    one = ONE_SIDE * (2.0 if side == "either" else 1.0)
    if not measured.tells(check, measure):
        one = SLIP
    return 1.0 - (1.0 - one) ** (len(PLACES) if measure.startswith(PLACE) else 1)


def states(
    check: CheckKey, values: dict[str, float], sights: tuple[Sight, ...], measured: Measured
) -> tuple[int | None, ...]:
    """Return how far out a reading has each sight of its check."""
    by_measure = every_measure(values)
    return tuple(sight.state(check, by_measure, measured) for sight in sights)


def likelihood(sets: FaultSets, sight: Sight, state: int) -> Chances:
    """Return how likely a sight is so far out with each set."""
    if state == INSIDE:
        return (1.0 - sight.false_alarm) * sets.all_in(1.0 - sight.strongest)
    out = 1.0 - (1.0 - sight.false_alarm) * sets.all_in(1.0 - sight.powers)
    by_chance = 1.0 - sight.false_alarm * PLAIN_OF_SOUND
    plain = 1.0 - by_chance * sets.all_in(1.0 - PLAIN_OF_FAULTY * sight.powers)
    return plain if state == PLAIN else out - plain


def after(
    sets: FaultSets,
    sights: tuple[Sight, ...],
    before: tuple[int | None, ...] | None,
    now: tuple[int | None, ...],
) -> FaultSets:
    """Return the sets after a reading.

    before : how far out the same check had each sight, if nothing was changed since; then only what
    lies further out now says anything new.
    """
    earlier = before or (None,) * len(sights)
    quiet = np.ones(len(sets.faults))  # what is inside, together: each fault's shares multiply
    said = np.ones(1)
    for sight, was, state in zip(sights, earlier, now, strict=True):
        if state is None or (was is not None and state <= was):
            continue
        if state == INSIDE:
            quiet *= 1.0 - sight.strongest
        else:
            said = said * likelihood(sets, sight, state)
            said = said if was is None else said / likelihood(sets, sight, was)
    if (quiet < 1.0).any():
        said = said * sets.all_in(quiet)
    return sets.given(said)


class Outcomes:
    """What each check may show with some of the sets: one line out of its band, or nothing.

    Each fault shows by the line that shows it most often. sets : those to weigh it by; which : their
    places among them.
    """

    def __init__(self, sets: FaultSets, sights: Sights, which: NDArray[np.int64]) -> None:
        self.which = which
        self._checks = tuple(sights)
        each = [_shown(sets, sights[check], which) for check in self._checks]
        self._starts = np.cumsum([0, *(part.shape[1] for part in each)])
        every = [*each, np.stack([_row_entropy(part) for part in each], axis=1)]
        # a row for each outcome, and one for each check: a few hundred long rows are read fast
        self._rows = np.ascontiguousarray(np.concatenate(every, axis=1).T, dtype=np.float32)

    def share(self, sets: FaultSets) -> float:
        """Return the chance that one of the sets weighed is so."""
        return float(sets.chances[self.which].sum())

    def gains(self, sets: FaultSets) -> dict[CheckKey, float]:
        """Return what each check is expected to tell, bit."""
        prior = (sets.chances[self.which] / self.share(sets)).astype(np.float32)
        *parts, left = np.split(self._rows @ prior, self._starts[1:])
        bits = (max(0.0, entropy_bits(part) - gone) for part, gone in zip(parts, left, strict=True))
        return dict(zip(self._checks, map(float, bits), strict=True))


def _shown(sets: FaultSets, sights: tuple[Sight, ...], which: NDArray[np.int64]) -> Chances:
    """Return the chance of each outcome with each set, shape (sets, sights and nothing)."""
    quiet = sets.all_in(np.stack([1.0 - one.strongest for one in sights], axis=1), which)
    shown = 1.0 - (1.0 - np.array([one.false_alarm for one in sights])) * quiet
    shown = shown / np.maximum(1.0, shown.sum(axis=1, keepdims=True))
    return np.column_stack([shown, np.maximum(0.0, 1.0 - shown.sum(axis=1))])


def _row_entropy(chances: Chances) -> Chances:
    logs = np.log2(chances, where=chances > 0.0, out=np.zeros_like(chances))
    return np.asarray(-(chances * logs).sum(axis=1))
