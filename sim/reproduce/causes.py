"""What one source, a recording or words, says of what was wrong: causes with their evidence.

Sources are joined by adding evidence. What is compared is always a whole explanation: no fault at
all (*none*), one fault, or two at once.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp, log
from typing import NamedTuple

import numpy as np

from sim.keys import FaultId

Faults = tuple[FaultId, ...]
"""Sorted; () is *none*; at most two."""

NONE: Faults = ()
SOUND_SHARE = 0.25  # 1; own: of what is brought, as much is handling or chance as this
PAIR_SHARE = 0.15  # 1; own: of faulty aircraft, those with two faults at once
APART_NATS = 3.0  # nats; own: twenty to one; causes closer than that are not told apart
MOSTLY = 0.6  # severity; design: half way from 0.2, from where faults must be found, to 1
SILENT_NATS = 0.5  # nats; own: so little says nothing of a fault
ALIKE_NATS = 8.0  # nats; own: so far a stated look-alike may lie behind and still be one
LOOK_ALIKES: tuple[frozenset[FaultId], ...] = (
    frozenset({"level-trim-off", "stick-centre-off", "accel-cal-bad", "gyro-bias-moved"}),
    frozenset({"gyro-bias-moved", "gyro-warmup-drift"}),
    frozenset({"motor-weak-or-shorted", "prop-size-mismatch", "throttle-ends-unmatched", "drive-thermal-limit", "motor-bearing-rough"}),
    frozenset({"prop-wrong-hand", "prop-upside-down", "motor-spin-reversed", "prop-hub-slip"}),
    frozenset({"prop-nick-imbalance", "motor-shaft-bent", "sensor-mount-stiff"}),
    frozenset({"pack-high-resistance", "pack-swollen-or-dented", "connector-high-resistance", "pack-cold"}),
    frozenset({"phase-joint-bad", "wire-in-disc", "drive-desync", "prop-hub-slip", "signal-ground-missing"}),
    frozenset({"arm-joint-loose", "sensor-mount-loose"}),
)  # fmt: skip
"""What does the same to a flight: physics; which of them a recording tells apart all the same, it does."""


class Cause(NamedTuple):
    """One explanation.

    log_evidence : nats, over place, direction, severity and what differs among sound aircraft;
    relative to the other causes of one source. place : the likeliest place or direction in words,
    if the fault has any. severity : 5 %, 50 % and 95 % of what it may be, 0..1; zeros for none, all the
    same for what has no degrees. variation : the seed with which `sim.faults.severity.put_in` puts it
    there, if there is a choice.
    """

    faults: Faults
    log_evidence: float
    place: str | None = None
    severity: tuple[float, float, float] = (0.0, 0.0, 0.0)
    variation: int | None = None


@dataclass(frozen=True)
class Causes:
    """What one source says: one cause for each set of faults, *none* among them.

    fit : how well the best explains what was brought, 0..1, None where that is not measured; `fits`
    tells whether that is well enough. hidden : the severity up to which single faults may be there
    beside the likeliest cause and not show, where that is worked out.
    """

    causes: tuple[Cause, ...]
    fit: float | None = None
    fits: bool = True
    hidden: Mapping[FaultId, float] | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be ranked."""
        sets = [cause.faults for cause in self.causes]
        if NONE not in sets or len(set(sets)) != len(sets):
            raise ValueError("causes need *none* and each set of faults once")
        if any(list(faults) != sorted(set(faults)) or len(faults) > 2 for faults in sets):
            raise ValueError("faults of a cause are sorted, different, and at most two")

    def of(self, faults: Faults) -> Cause | None:
        """Return the cause with these faults, None if it is not among them."""
        return next((cause for cause in self.causes if cause.faults == faults), None)

    def posterior(self) -> list[tuple[Cause, float]]:
        """Return all causes with their probabilities, likeliest first.

        Before: *none* `SOUND_SHARE`; single faults and pairs share the rest, each kind equally among all it
        could be, whether weighed here or not.
        """
        singles = {fault for cause in self.causes for fault in cause.faults}
        evidence = np.array([c.log_evidence + _log_prior(c, len(singles)) for c in self.causes])
        share = np.exp(evidence - evidence.max())
        ranked = zip(self.causes, (share / share.sum()).tolist(), strict=True)
        return sorted(ranked, key=lambda pair: (-pair[1], pair[0].faults))


def _log_prior(cause: Cause, faults: int) -> float:
    """Return the logarithm of the prior of one cause where `faults` single ones are weighed."""
    if not cause.faults:
        return log(SOUND_SHARE)
    if len(cause.faults) == 1:
        return log((1.0 - SOUND_SHARE) * (1.0 - PAIR_SHARE) / faults)
    return log((1.0 - SOUND_SHARE) * PAIR_SHARE / (faults * (faults - 1) / 2.0))


def _of(causes: Mapping[Faults, Cause], faults: Faults) -> Cause:
    """Return a cause; one the source does not know is as likely to it as its likeliest part.

    A source that cannot see a fault finds the aircraft as it would be without.
    """
    if faults in causes:
        return causes[faults]
    parts = [causes.get((fault,), causes[NONE]) for fault in faults]
    return max(parts, key=lambda cause: cause.log_evidence)


def together(a: Causes, b: Causes) -> Causes:
    """Return what two sources say together: their evidence adds; place and severity by the surer.

    Surer is the source that lifts or lowers the cause further from *none*.
    """
    ours, theirs = ({c.faults: c for c in source.causes} for source in (a, b))
    joined = []
    for faults in dict.fromkeys([*ours, *theirs]):
        one, other = _of(ours, faults), _of(theirs, faults)
        says = abs(one.log_evidence - ours[NONE].log_evidence)
        told = abs(other.log_evidence - theirs[NONE].log_evidence)
        surer, lesser = (one, other) if says >= told else (other, one)
        if surer.faults != faults and lesser.faults == faults:
            surer = lesser
        total = one.log_evidence + other.log_evidence
        joined.append(surer._replace(faults=faults, log_evidence=total))
    fits = [source.fit for source in (a, b) if source.fit is not None]
    hidden = a.hidden if b.hidden is None else b.hidden
    return Causes(tuple(joined), min(fits) if fits else None, a.fits and b.fits, hidden)


def stated_alike(a: Faults, b: Faults) -> bool:
    """Tell whether two causes are stated look-alikes: single faults of one set, or pairs of such."""
    if len(a) != len(b) or not a:
        return False
    left = sorted(set(a) - set(b)), sorted(set(b) - set(a))
    return len(left[0]) == 1 and any({*left[0], *left[1]} <= alike for alike in LOOK_ALIKES)


def groups(causes: Causes) -> list[tuple[Faults, ...]]:
    """Return the causes in groups that this source cannot tell apart, likeliest group first.

    With the likeliest cause left go all that are not twenty times less likely, and its stated
    look-alikes of which it says as much less as 8 nats; with *none*, if it is the likeliest of all, those
    that would look sound more often than not.
    """
    left = causes.posterior()
    found: list[tuple[Faults, ...]] = []
    while left:
        first = left[0]
        looks = [] if found or first[0].faults else _look_sound(causes)
        members = [one for one in left if _close(first, one) or one[0].faults in looks]
        found.append(tuple(cause.faults for cause, _ in members))
        left = [one for one in left if one not in members]
    return found


def _close(first: tuple[Cause, float], other: tuple[Cause, float]) -> bool:
    if other[1] >= first[1] * exp(-APART_NATS):
        return True
    behind = first[0].log_evidence - other[0].log_evidence
    return stated_alike(first[0].faults, other[0].faults) and behind <= ALIKE_NATS


def _look_sound(causes: Causes) -> list[Faults]:
    """Return the single faults that would not show at more than half of their severities."""
    return [(fault,) for fault, upto in (causes.hidden or {}).items() if upto >= MOSTLY]


def hidden_of(causes: Causes) -> dict[FaultId, float]:
    """Return the faults that may be there beside the likeliest cause and not show, and up to how bad."""
    first = causes.posterior()[0][0].faults
    if causes.hidden is None:
        return silent_of(causes)
    return {fault: upto for fault, upto in causes.hidden.items() if fault not in first}


def silent_of(causes: Causes) -> dict[FaultId, float]:
    """Return those of `hidden_of` that are not in the likeliest group anyway.

    Where it is not worked out what may be hidden, it is those that look as *none* does.
    """
    if causes.hidden is not None:
        likely = groups(causes)[0]
        return {f: upto for f, upto in hidden_of(causes).items() if (f,) not in likely}
    sound = _of({cause.faults: cause for cause in causes.causes}, NONE).log_evidence
    likely = groups(causes)[0]
    return {
        cause.faults[0]: 1.0
        for cause in causes.causes
        if len(cause.faults) == 1
        and cause.faults not in likely
        and abs(cause.log_evidence - sound) < SILENT_NATS
    }


def sorted_faults(faults: Iterable[FaultId]) -> Faults:
    """Return faults as a cause has them."""
    return tuple(sorted(set(faults)))
