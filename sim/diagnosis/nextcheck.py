"""Which check to do next: what each is expected to tell of the causes left, a minute.

Works on the measured detection table. A check shows nothing out of its bands, or one line of it out:
a fault shows by its strongest line with the power measured at its severity, and otherwise the check
is as on a sound aircraft, where each line has the false alarms measured. So two faults that move the
same line of a check are not parted by it. Of two faults at once either may show.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sim.bench.check import NEEDS, Check, Need
from sim.bench.checklist import CHECKS
from sim.diagnosis.table import Table
from sim.keys import CheckKey, FaultId
from sim.reproduce.causes import Cause, Causes, Faults
from sim.scoring.information import WORTH_BITS, Chances, afterwards, any_of, gain_bits
from sim.scoring.way import AT_THE_BENCH, way_min

NOTHING = "nothing"  # all lines within their bands
REFUSAL = "refusal"  # the controller does not arm for the check
SEVERITY_WEIGHTS = (
    0.185,
    0.63,
    0.185,
)  # 1; Keefer and Bodily 1983: 5, 50, 95 % points (from memory)
TELLING = 0.05  # share; own: an outcome rarer than that is not worth a sentence


@dataclass(frozen=True)
class Outcome:
    """What may come of a check: a line out of its band, and the causes then.

    line : a measure of the check with the side (`roll_deg above`), NOTHING or REFUSAL; chance : of
    it now; causes : with their probability afterwards, the likeliest first.
    """

    line: str
    chance: float
    causes: tuple[tuple[Faults, float], ...]


SAFELY: tuple[Need, ...] = (
    "unplugged", "props_off", "props_on", "in_hands", "standing", "clamped", "linked", "powered",
)  # fmt: skip
"""What has to be so first, in the order in which it is safe: hands near propellers before there is power,
the transmitter before the pack; common practice, no source."""


class NextCheck(NamedTuple):
    """A check that may be done next. minutes : with getting there; needs : what has to be so first."""

    check: CheckKey
    gain_bits: float
    minutes: float
    needs: tuple[str, ...]
    caution: str
    propellers_on: bool
    outcomes: tuple[Outcome, ...]

    @property
    def bits_a_minute(self) -> float:
        """What it is expected to tell a minute, bit."""
        return self.gain_bits / self.minutes


def minutes_of(check: Check) -> float:
    """Return the minutes of a check and of getting there, min.

    Begun at the bench, propellers off and pack unplugged, as is every search for what went wrong; a
    check that looks back on another has it done before.
    """
    before = [CHECKS[key] for key in check.follows[-1:]]
    return sum(one.minutes + way_min(one, AT_THE_BENCH) for one in (check, *before))


class _Shows(NamedTuple):
    """By which line a fault shows at a check, and how often beyond a sound aircraft."""

    line: str
    power: float


def _shows(table: Table, check: CheckKey, fault: FaultId, severities: Sequence[float]) -> _Shows:
    """Return how a fault shows; severities : its 5, 50 and 95 % points."""
    row = table.row(fault, check)
    if row is None:
        return _Shows(NOTHING, 0.0)
    line = row.best_line or REFUSAL
    weighed = zip(SEVERITY_WEIGHTS, severities, strict=True)
    power = sum(weight * table.power(fault, check, severity) for weight, severity in weighed)
    return _Shows(line, max(0.0, power - row.false_alarm) / (1.0 - row.false_alarm))


def chances(table: Table, check: CheckKey, causes: Sequence[Cause]) -> tuple[list[str], Chances]:
    """Return the outcomes of a check, and the chance of each with each cause.

    The array has shape (causes, outcomes), and each row a sum of 1.
    """
    shown = [[_shows(table, check, fault, c.severity) for fault in c.faults] for c in causes]
    lines = [NOTHING, *sorted({one.line for each in shown for one in each if one.power > 0.0})]
    false = {line: _false_alarm(table, check, line) for line in lines[1:]}
    found = np.zeros((len(causes), len(lines)))
    for row, each in zip(found, shown, strict=True):
        row[1:] = [
            any_of([one.power for one in each if one.line == line], false[line])
            for line in lines[1:]
        ]
        row /= max(1.0, row.sum())
        row[0] = 1.0 - row.sum()
    return lines, found


def _false_alarm(table: Table, check: CheckKey, line: str) -> float:
    """Return how often a sound aircraft shows a line so, as measured for the faults it tells."""
    wanted = "" if line == REFUSAL else line
    known = [row.false_alarm for row in table.of_check(check) if row.best_line == wanted]
    return max(known, default=0.0)


def worth(table: Table, key: CheckKey, causes: Causes) -> NextCheck:
    """Return what a check is worth now, and what would follow from what it shows."""
    ranked = causes.posterior()
    prior = np.array([chance for _, chance in ranked])
    lines, likely = chances(table, key, [cause for cause, _ in ranked])
    check = CHECKS[key]
    names = [cause.faults for cause, _ in ranked]
    return NextCheck(
        key,
        gain_bits(prior, likely),
        minutes_of(check),
        tuple(NEEDS[need][2] for need in sorted(check.needs, key=SAFELY.index)),
        check.caution,
        check.stance.props,
        tuple(_outcomes(lines, prior, likely, names)),
    )


def _outcomes(
    lines: Sequence[str], prior: Chances, likely: Chances, names: Sequence[Faults]
) -> Iterable[Outcome]:
    """Yield the outcomes that may well come, the likeliest first."""
    found = prior @ likely
    for n in sorted(range(len(lines)), key=lambda n: -found[n]):
        if found[n] >= TELLING:
            after = afterwards(prior, likely[:, n])
            order = np.argsort(-after, kind="stable")
            yield Outcome(
                lines[n], float(found[n]), tuple((names[i], float(after[i])) for i in order)
            )


def next_checks(table: Table, causes: Causes) -> list[NextCheck]:
    """Return the checks worth doing, the best first: those without propellers before all others.

    Within both, what is expected to tell most a minute. Empty where nothing is worth its minutes.
    """
    found = [worth(table, key, causes) for key in CHECKS]
    worthwhile = [one for one in found if one.gain_bits >= WORTH_BITS]
    return sorted(worthwhile, key=lambda one: (one.propellers_on, -one.bits_a_minute))
