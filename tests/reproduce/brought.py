"""What an answerer is measured on: sets of recordings with known causes, each of them from its number.

`simulated` are ours, `disguised` the same as other loggers write them, read by the importer, with what
it asks answered truly; `pairs` have two faults; `twin` are of the independent model; `another` are of
an aircraft other than the one named, by both.
"""

import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from sim.aircraft import library
from sim.diagnosis.recordings import drawn, made
from sim.reproduce.causes import Faults
from sim.reproduce.importer.converting import recording
from sim.reproduce.importer.guessing import Guesses, guess, nothing_known
from sim.reproduce.importer.mapping import ASK
from sim.reproduce.importer.questions import absent, questions
from sim.reproduce.importer.reading import read_table
from sim.reproduce.recording import Recording
from tests.reproduce.importer.disguises import Disguise, disguised
from tests.reproduce.twin import recordings as twin

OTHERS = ("heavy-381mm", "large-330mm", "small-127mm", "middle-203mm")
LEAST_HZ = 100  # rows a second before a logger's disguise leaves some out


@dataclass(frozen=True)
class Brought:
    """A recording, its causes, and how it was made; `foreign` if no cause can fit it.

    recording : None where the importer could not go on; severity : of each fault of the truth.
    """

    truth: Faults
    recording: Recording | None
    how: str
    foreign: bool = False
    severity: tuple[float, ...] = ()


def simulated(number: int, faults: int | None = None) -> Brought:
    plan = drawn(number, faults)
    one = made(plan)
    return Brought(one.truth.faults, one.recording, _told(plan), severity=one.truth.severities)


def pairs(number: int) -> Brought:
    return simulated(number, 2)


def of_twin(number: int) -> Brought:
    case = twin.drawn(number)
    truth: Faults = (case.fault,) if case.fault else ()  # type: ignore[assignment]
    aboard = "aboard" if case.aboard else "outside"
    how = f"{case.fault} {case.severity:.2f} {case.manoeuvre} {case.rate_hz} Hz {aboard}"
    return Brought(truth, twin.fly(case).recording, how, severity=(case.severity,) * len(truth))


def of_another(number: int) -> Brought:
    """Return a sound recording of another aircraft, said to be of the trainer."""
    other = OTHERS[number // 2 % len(OTHERS)]
    if number % 2:
        case = replace(twin.drawn(number, ""), airframe=other, manoeuvre="nudges")
        return Brought((), twin.fly(case).recording, f"twin {other} {case.rate_hz} Hz", True)
    plan = replace(drawn(number, 0, airframe=other), manoeuvre="nudges")
    kept = replace(made(plan).recording, airframe=library.TRAINER)
    return Brought((), kept, f"ours {other} {plan.rate_hz} Hz", True)


def in_disguise(number: int) -> Brought:
    plan = drawn(number)
    plan = replace(plan, rate_hz=max(LEAST_HZ, plan.rate_hz), attitude="aboard")
    one = made(plan)
    disguise = disguised(one.flight, number)
    with tempfile.TemporaryDirectory() as folder:
        table = read_table(disguise.write(Path(folder) / "theirs.csv"))
    known = nothing_known(plan.airframe)
    guesses = guess(table, library.airframe(plan.airframe), known)
    settled = guess(table, library.airframe(plan.airframe), answered(guesses, disguise)).settled()
    settled = settled._replace(attitude="aboard")
    again = guess(table, library.airframe(plan.airframe), settled)
    if absent(again) or any(question.needed for question in questions(again)):
        return Brought(one.truth.faults, None, _told(plan), severity=one.truth.severities)
    left = {question.channel for question in questions(again)}
    sources = {n: None if n in left else s for n, s in again.settled().sources.items()}
    kept = recording(table, again.settled()._replace(sources=sources))
    return Brought(one.truth.faults, kept, _told(plan), severity=one.truth.severities)


def answered(guesses: Guesses, disguise: Disguise):
    """Return what is settled when all that is asked for is answered from the logger's manual."""
    for name, draft in guesses.drafts.items():
        if not draft.open or name not in disguise.truth:
            continue
        column, unit, sign = disguise.truth[name]
        draft.column = column if draft.column in (None, ASK) else draft.column
        if draft.column == column:
            draft.unit = unit if draft.unit == ASK else draft.unit
            draft.sign = sign if draft.sign == ASK else draft.sign
    return guesses.settled()._replace(attitude="aboard")


def _told(plan) -> str:
    faults = ", ".join(f"{name} {severity:.2f}" for name, severity in plan.faults) or "sound"
    kept = " ".join(k for k in plan.kept)
    return f"{faults}; {plan.manoeuvre} {plan.rate_hz} Hz {plan.attitude}; {kept}"


SETS: dict[str, Callable[[int], Brought]] = {
    "simulated": simulated,
    "disguised": in_disguise,
    "pairs": pairs,
    "twin": of_twin,
    "another": of_another,
}
