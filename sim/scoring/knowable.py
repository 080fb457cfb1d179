"""What could be known of each fault before takeoff, from when on, and what was made of it. Pure.

A fault could be seen from the first reading on in which a line lay outside its band, on a side to
which the fault moves it, while the fault was there. Whether it was looked at is not known; whether
it was named, changed and proved is.
"""

from dataclasses import dataclass

from sim.bench.bands import Band, Side
from sim.bench.checklist import CHECKS
from sim.bench.lines import measures
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.scoring.case import Case, belongs
from sim.scoring.claims import right_claims

WORTH_TELLING = 0.3  # 1; own: a check that shows a fault more seldom is no advice


@dataclass(frozen=True)
class Cue:
    """A line that spoke for a fault.

    at : the event that read it, and its minute; value : as it is compared, of one place against the
    middle of the four if `off_four`; band : what sound aircraft show of it; plain : outside the
    outer edge as well, where hardly any sound aircraft is.
    """

    at: int
    minutes: float
    check: CheckKey
    line: str
    value: float
    off_four: bool
    band: Band
    side: Side
    plain: bool


@dataclass(frozen=True)
class Chance:
    """A check that could have shown a fault: its power and its minutes."""

    check: CheckKey
    power: float
    minutes: float

    @property
    def a_minute(self) -> float:
        """Power for each minute it takes."""
        return self.power / self.minutes


@dataclass(frozen=True)
class Known:
    """The story of one fault: when it could be seen, when it was named, changed, and what was not read.

    first : the first line that spoke for it; None if none did; named_min, changed_min : None if it
    never was; chances : the checks that show it, the best first; read : those read while it was
    there; in_sight : it moves no line, and is seen by who stands there.
    """

    fault: FaultId
    first: Cue | None
    named_min: float | None
    changed_min: float | None
    chances: tuple[Chance, ...]
    read: frozenset[CheckKey]
    in_sight: bool

    @property
    def unread(self) -> tuple[Chance, ...]:
        """The checks that show it and were not read while it was there, the best first."""
        return tuple(one for one in self.chances if one.check not in self.read)

    @property
    def looked(self) -> bool:
        """Whether a check that shows it was read while it was there."""
        return any(one.check in self.read for one in self.chances)

    @property
    def passed_over(self) -> bool:
        """Whether a line showed it, and it was never named."""
        return self.first is not None and self.named_min is None


def _cues(fault: FaultId, at: int, case: Case) -> list[Cue]:
    check, values = case.readings[at]
    minutes = case.events[at].minutes
    found = []
    for line in values:
        outer = case.measured.outside(check, values, line, "outer")
        for measure, side, move in case.measured.spoken(check, values, line):
            if move.fault == fault:
                value = measures(values, line)[measure]
                off_four = measure.endswith("_off_four")
                band = case.measured.bands[check, measure]
                plain = measure in outer
                found.append(Cue(at, minutes, check, line, value, off_four, band, side, plain))
    return found


def first_cue(fault: FaultId, case: Case) -> Cue | None:
    """Return the first line that spoke for a fault while it was there, of one reading the plainest."""
    at = case.first_shown(fault)
    if at is None:
        return None
    return max(_cues(fault, at, case), key=lambda cue: cue.band.half_widths(cue.value))


def chances(fault: FaultId, case: Case) -> tuple[Chance, ...]:
    """Return the checks that can show a fault, the one with the most power a minute first."""
    best: dict[CheckKey, float] = {}
    for (check, _), moves in case.measured.moves.items():
        for move in moves:
            if move.fault == fault:
                best[check] = max(best.get(check, 0.0), move.power)
    found = [
        Chance(check, power, CHECKS[check].minutes)
        for check, power in best.items()
        if power >= WORTH_TELLING
    ]
    return tuple(sorted(found, key=lambda one: (-one.a_minute, one.check)))


def known(fault: FaultId, case: Case) -> Known:
    """Return the story of one fault."""
    named = [case.events[claim.at].minutes for claim in right_claims(CATALOGUE[fault], case)]
    changed = [
        event.minutes
        for event, was in zip(case.events, case.present_before, strict=False)
        if belongs(event, fault) and fault in was
    ]
    read = {check for at, (check, _) in case.readings.items() if fault in case.events[at].present}
    return Known(
        fault,
        first_cue(fault, case),
        min(named, default=None),
        min(changed, default=None),
        chances(fault, case),
        frozenset(read),
        fault not in case.measured.moving,
    )


def best_made(stories: list[Known]) -> CheckKey | None:
    """Return the check whose reading was the first to show the most faults; None if none did."""
    shown: dict[CheckKey, int] = {}
    for one in stories:
        if one.first is not None:
            shown[one.first.check] = shown.get(one.first.check, 0) + 1
    return max(sorted(shown), key=lambda check: shown[check], default=None)


def would_have_paid(stories: list[Known]) -> Chance | None:
    """Return the check that would have shown most, a minute, of what no line had shown."""
    power: dict[CheckKey, float] = {}
    for one in stories:
        if one.first is None:
            for chance in one.unread:
                power[chance.check] = power.get(chance.check, 0.0) + chance.power
    each = [Chance(check, p, CHECKS[check].minutes) for check, p in sorted(power.items())]
    return max(each, key=lambda one: one.a_minute, default=None)
