"""A drill made from a report: the likeliest cause put in just so, flown before it is handed over.

A flight shows the failure when at least half of what was reported shows again; only what the same
aircraft without the fault does not do counts. Where nothing was reported that can be told so, it is
enough that it does anything that the sound aircraft does not. A drill is handed over if most of
several flights, each of another build in other air, show it, and one of them shows what was reported
first: its seed is that one's, so that with this seed the failure shows for certain.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from sim.aircraft import library
from sim.aircraft.textfile import dump_yaml
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.faults.secrecy import gives_away
from sim.reproduce.answer.story import Told
from sim.reproduce.answer.symptoms import WORDS, plainest_first
from sim.reproduce.causes import Cause
from sim.session.scenario import HiddenFault, Scenario

SEEDS = (1, 2, 3, 4, 5)  # own: five builds and airs
MOST = 3  # flights; own: more than half of them
HALF = 0.5  # of what was reported; own: nobody tells all, and nobody errs in most of it
TITLE = "As it was reported"
PURPOSE = "Find what was behind a report, cure it, and prove it cured."
HEAD = (
    "Drill made from a report; a simulation, which proves nothing of the aircraft reported.",
    "Propellers come off before any bench check; your club's rules and local codes come first.",
)
CAREFUL_MIN = 90.0  # min; own: as shipped drills with one fault that is not plain

Symptoms = frozenset[str]
Tell = Callable[[str, float], None]
Flies = Callable[[Scenario, int], Symptoms]
"""Flies the hop of a drill with a seed and returns what shows, word by word."""


class Wanted(NamedTuple):
    """What a drill is to show: airframe, story, and words for what was seen, the plainest first."""

    airframe: str
    story: Told
    symptoms: tuple[str, ...] = ()


class Try(NamedTuple):
    """One severity that was flown: what showed with each seed, and with which ones the failure did."""

    severity: float
    shown: tuple[Symptoms, ...]
    good: tuple[int, ...]

    @property
    def shows(self) -> bool:
        """Whether most flights show the failure."""
        return len(self.good) >= MOST


@dataclass(frozen=True)
class Made:
    """A drill, or none, with all that was tried; `tries` has the good one last.

    left_out : sentences that are not in its story, as they name the cause.
    """

    drill: Scenario | None
    tries: tuple[Try, ...]
    wanted: tuple[str, ...]
    left_out: tuple[str, ...] = ()


def scenario_of(cause: Cause, severity: float, wanted: Wanted) -> Scenario:
    """Return the drill with a cause put in just so."""
    hidden = tuple(
        HiddenFault(id=fault, severity=severity, variation=cause.variation or 0)
        for fault in cause.faults
    )
    return Scenario(
        title=TITLE,
        story=wanted.story.story,
        purpose=PURPOSE,
        origin="reported",
        faults=hidden,
        careful_min=CAREFUL_MIN,
    ).on(wanted.airframe)


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
    return len(seen & set(own)) >= HALF * len(own)


def plainly(wanted: Sequence[str], seen: Symptoms, sound: Symptoms) -> bool:
    """Tell whether a flight shows the failure, and what was reported first among it."""
    own = [word for word in wanted if word not in sound]
    return agrees(wanted, seen, sound) and (not own or own[0] in seen)


def made(
    cause: Cause, wanted: Wanted, flies: Flies, tell: Tell = lambda words, share: None
) -> Made:
    """Return the drill that shows a failure, searching for the severity at which it does.

    flies : flies a drill with a seed; tell : is told what is being flown, and how much of all that
    may have to be flown is done. Raises Refusal for a cause that is no fault, InputError for one that
    can't be on the airframe.
    """
    if not cause.faults:
        raise Refusal("There is no fault to put in: the answer is none.", "value")
    tries: list[Try] = []
    sound: tuple[Symptoms, ...] = ()
    every = severities(cause)
    for n, severity in enumerate(every):
        tell(f"Flying it at severity {severity:g}", n / len(every))
        drill = scenario_of(cause, severity, wanted)
        if not sound:
            drill.require_possible()
            without = drill.model_copy(update={"faults": ()})
            sound = tuple(flies(without, seed) for seed in SEEDS)
        shown = tuple(flies(drill, seed) for seed in SEEDS)
        flights = list(zip(SEEDS, shown, sound, strict=True))
        good = [seed for seed, a, b in flights if agrees(wanted.symptoms, a, b)]
        best = [seed for seed, a, b in flights if plainly(wanted.symptoms, a, b)]
        tries.append(Try(severity, shown, tuple(good)))
        if tries[-1].shows and best:
            seeded = drill.model_copy(update={"seed": best[0]})
            return Made(seeded, tuple(tries), wanted.symptoms, wanted.story.left_out)
    return Made(None, tuple(tries), wanted.symptoms, wanted.story.left_out)


def told(found: Made, cause: Cause) -> list[str]:
    """Return in lines what was tried and what came of it."""
    wanted = _listed(found.wanted) if found.wanted else "anything that a sound one does not do"
    lines = [f"To be shown: {wanted}."]
    for one in found.tries:
        often = f"in {len(one.good)} of {len(SEEDS)} flights"
        lines.append(f"Severity {one.severity:g}: it shows {often}.")
        if not one.shows:
            seen = frozenset.intersection(*one.shown)
            lines.append(f"  Seen in all of them: {_listed(seen)}.")
    if found.drill is None:
        lines.append("It does not show in the hop as drilled, so no drill was written.")
        lines += [lucky for f in cause.faults if (lucky := CATALOGUE[f].lucky)]
    return lines


def _listed(symptoms: Iterable[str]) -> str:
    """Return symptoms as they are told, the plainest first."""
    return ", ".join(WORDS[word] for word in plainest_first(symptoms)) or "nothing"


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
    document["seed"] = drill.seed
    document["careful_min"] = drill.careful_min
    head = "\n".join(f"# {line}" for line in (*HEAD, *lines))
    return f"{head}\n{dump_yaml(document)}"
