"""A drill made from a report: the likeliest cause put in just so, flown before it is handed over.

The failure shows when, in each of several flights with other chances, what was reported first shows
again, and at least half of all that was reported; only what the same aircraft without the fault does
not do counts. Where nothing was reported that can be told so, it shows when the fault does anything
that the sound aircraft does not.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from sim.aircraft import library
from sim.aircraft.textfile import dump_yaml
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.reproduce.answer.story import Told, gives_away
from sim.reproduce.causes import Cause
from sim.session.scenario import HiddenFault, Scenario

SEEDS = (1, 2, 3)  # own: three builds and airs; what shows in all of them shows in most
HALF = 0.5  # of what was reported; own: nobody tells all, and nobody errs in most of it
TITLE = "As it was reported"
PURPOSE = "Find what was behind a report, cure it, and prove it cured."
HEAD = (
    "Drill made from a report; a simulation, which proves nothing of the aircraft reported.",
    "Propellers come off before any bench check; your club's rules and local codes come first.",
)
CAREFUL_MIN = 90.0  # min; own: as shipped drills with one fault that is not plain

Symptoms = frozenset[str]
Flies = Callable[[Scenario, int], Symptoms]
"""Flies the hop of a drill with a seed and returns what shows, word by word."""


class Report(NamedTuple):
    """What a drill is to show: airframe, story, and words for what was seen, the plainest first."""

    airframe: str
    story: Told
    symptoms: tuple[str, ...] = ()


class Try(NamedTuple):
    """One severity that was flown: what showed with each seed, and whether that is the failure."""

    severity: float
    shown: tuple[Symptoms, ...]
    good: bool


@dataclass(frozen=True)
class Made:
    """A drill, or none, with all that was tried; `tries` has the good one last."""

    drill: Scenario | None
    tries: tuple[Try, ...]
    wanted: tuple[str, ...]


def scenario_of(cause: Cause, severity: float, report: Report) -> Scenario:
    """Return the drill with a cause put in just so."""
    hidden = tuple(
        HiddenFault(id=fault, severity=severity, variation=cause.variation or 0)
        for fault in cause.faults
    )
    return Scenario(
        title=TITLE,
        story=report.story.story,
        purpose=PURPOSE,
        origin="reported",
        faults=hidden,
        careful_min=CAREFUL_MIN,
    ).on(report.airframe)


def severities(cause: Cause) -> list[float]:
    """Return which severities to try, 0..1: the likeliest first, then to its ends, then to the worst."""
    low, middle, high = cause.severity
    further = [0.5 * (high + 1.0), 1.0]
    found = [round(s, 2) for s in (middle, high, low, *further)]
    return list(dict.fromkeys(found))


def agrees(wanted: Sequence[str], seen: Symptoms, sound: Symptoms) -> bool:
    """Tell whether a flight with the fault shows the failure. sound : what shows without it."""
    own = [word for word in wanted if word not in sound]
    if not own:
        return bool(seen - sound)
    return own[0] in seen and len(seen & set(own)) >= HALF * len(own)


def made(
    cause: Cause, report: Report, flies: Flies, tell: Callable[[str], None] = lambda _: None
) -> Made:
    """Return the drill that shows a failure, searching for the severity at which it does.

    flies : flies a drill with a seed; tell : is told what is being tried. Raises Refusal for a cause
    that is no fault, InputError for one that can't be on the airframe.
    """
    if not cause.faults:
        raise Refusal("There is no fault to put in: the answer is none.", "value")
    tries: list[Try] = []
    sound: tuple[Symptoms, ...] = ()
    for severity in severities(cause):
        tell(f"Flying it at severity {severity:g}")
        drill = scenario_of(cause, severity, report)
        if not sound:
            drill.require_possible()
            without = drill.model_copy(update={"faults": ()})
            sound = tuple(flies(without, seed) for seed in SEEDS)
        shown: list[Symptoms] = []
        good = True
        for seed, quiet in zip(SEEDS, sound, strict=True):
            shown.append(flies(drill, seed))
            good = agrees(report.symptoms, shown[-1], quiet)
            if not good:
                break
        tries.append(Try(severity, tuple(shown), good))
        if good:
            return Made(drill, tuple(tries), report.symptoms)
    return Made(None, tuple(tries), report.symptoms)


def told(found: Made, cause: Cause) -> list[str]:
    """Return in lines what was tried and what came of it."""
    wanted = " and ".join(found.wanted) or "anything that a sound one does not do"
    lines = [f"To be shown: {wanted}."]
    for one in found.tries:
        seen = [" and ".join(sorted(words)) or "nothing" for words in one.shown]
        flights = "; ".join(f"seed {s}: {w}" for s, w in zip(SEEDS, seen, strict=False))
        lines.append(
            f"Severity {one.severity:g}: {'it shows' if one.good else 'not so'} ({flights})."
        )
    if found.drill is None:
        lines.append("It does not show in the hop as drilled, so no drill was written.")
        lines += [lucky for f in cause.faults if (lucky := CATALOGUE[f].lucky)]
    return lines


def require_quiet(path: Path, faults: Iterable[str]) -> None:
    """Raise Refusal if the name of a drill's file gives its fault away."""
    words = path.stem.replace("-", " ").replace("_", " ")
    if gives_away(words, [fault for fault in CATALOGUE if fault in set(faults)]):
        raise Refusal(f"The name {path.name} gives the fault away: choose another.", "value")


def text(drill: Scenario, lines: Sequence[str]) -> str:
    """Return the drill's file. lines : what it was flown with, as remarks."""
    keys = ("title", "story", "purpose", "origin")
    document: dict[str, object] = {key: getattr(drill, key) for key in keys}
    if drill.airframe != library.TRAINER:
        document["airframe"] = drill.airframe
    document["faults"] = [fault.model_dump(exclude_none=True) for fault in drill.faults]
    document["careful_min"] = drill.careful_min
    head = "\n".join(f"# {line}" for line in (*HEAD, *lines))
    return f"{head}\n{dump_yaml(document)}"
