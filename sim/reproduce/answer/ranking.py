"""The answer in order: causes with probability and severity, and what can't be told from what."""

from dataclasses import dataclass

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.reproduce.causes import (
    LOOK_ALIKES,
    NONE,
    Cause,
    Causes,
    Faults,
    groups,
    silent_of,
    stated_alike,
)

NONE_FITS: tuple[str, ...] = ("none-fits",)
LEAST = 0.005  # probability; own: what is less likely than one in two hundred is not listed
WORST = 0.95  # severity; own: what does not show up to here never does
FEWEST, MOST = 3, 12  # own: the first three always, and no more than are read
CAUTION = (
    "A simulation: it says which faults explain this, not what your aircraft has. Before any bench "
    "check the propellers come off. Local rules and your club's rules come first."
)

WHY_ALIKE: dict[frozenset[str], str] = {
    LOOK_ALIKES[
        0
    ]: "while the pilot holds the place, each is a constant between what the controller "
    "aims at and what there is; the shown attitude at rest on a level floor parts them, or sticks let go",
    LOOK_ALIKES[
        1
    ]: "both are a gyro's zero that is not zero; minutes later only one of them has moved",
    LOOK_ALIKES[2]: "each takes thrust from one corner for the same command",
    LOOK_ALIKES[3]: "each makes one rotor push the wrong way or hardly at all",
    LOOK_ALIKES[4]: "each shakes the board at the speed of a rotor",
    LOOK_ALIKES[5]: "each takes volts in proportion to the current",
    LOOK_ALIKES[6]: "each stops one rotor for a moment, now and then",
    LOOK_ALIKES[7]: "each lets the sensors move against the motors like a spring",
}
CENTRED = (
    "a stick that hardly moves asks for nothing, so its channel looks as sound either way round"
)
UNSHOWN = "in what was brought they would hardly show"
TOO_CLOSE = "what was brought speaks for one as well as for the other"


STICK_FAULTS: frozenset[FaultId] = frozenset(
    {"pitch-channel-reversed", "roll-channel-reversed", "yaw-channel-reversed",
     "channel-order-mixed", "stick-ends-short", "stick-rates-wild", "tilt-limit-wild"}
)  # fmt: skip
"""Faults that show only while a stick asks for something."""


@dataclass(frozen=True)
class Ranked:
    """One explanation with its probability, and those that can't be told from it.

    cause : None for *none fits*.
    """

    cause: Cause | None
    chance: float
    alike: tuple[Faults, ...] = ()

    @property
    def faults(self) -> tuple[str, ...]:
        """Its faults; () for none, ("none-fits",) where nothing explains it."""
        return NONE_FITS if self.cause is None else self.cause.faults


def ranked(causes: Causes) -> list[Ranked]:
    """Return the explanations, likeliest first; *none fits* before them all where that is so.

    How well the best one fits is then the probability left to all of them together.
    """
    alike = {faults: group for group in groups(causes) for faults in group}
    left = 1.0 if causes.fits else (causes.fit or 0.0)
    found = [] if causes.fits else [Ranked(None, 1.0 - left)]
    for n, (cause, chance) in enumerate(causes.posterior()[:MOST]):
        if n < FEWEST or chance >= LEAST:
            others = tuple(faults for faults in alike[cause.faults] if faults != cause.faults)
            found.append(Ranked(cause, left * chance, others))
    return found


def name(faults: tuple[str, ...]) -> str:
    """Return a set of faults as it is called."""
    if faults == NONE_FITS:
        return "none fits"
    return " and ".join(faults) if faults else "none"


def why_alike(a: Faults, b: Faults) -> str:
    """Return in words why another cause can't be told apart from the first. a : the first."""
    if stated_alike(a, b):
        parted = set(a) ^ set(b)
        return next(why for alike, why in WHY_ALIKE.items() if parted <= alike)
    if NONE in (a, b) and STICK_FAULTS & {*a, *b}:
        return CENTRED
    if a == NONE:
        return UNSHOWN
    return TOO_CLOSE


def alike_told(first: Ranked) -> list[str]:
    """Return a sentence for each reason for which others can't be told from an explanation."""
    if first.cause is None:
        return []
    reasons: dict[str, list[str]] = {}
    for faults in first.alike:
        reasons.setdefault(why_alike(first.cause.faults, faults), []).append(name(faults))
    return [f"Not told apart from {', '.join(names)}: {why}." for why, names in reasons.items()]


def silent_told(causes: Causes) -> tuple[str, ...]:
    """Return sentences that name the faults of which a recording says nothing, and those it can't see while mild."""
    silent = silent_of(causes)
    whole = ", ".join(sorted(fault for fault, upto in silent.items() if upto >= WORST))
    mild = ", ".join(f"{f} {upto:.1f}" for f, upto in sorted(silent.items()) if upto < WORST)
    told = (
        ("It says nothing of these, which may be there all the same", whole),
        ("These may be there while they are mild, up to the severity given", mild),
    )
    return tuple(f"{words}: {names}." for words, names in told if names)


def severity_told(cause: Cause) -> str:
    """Return the severity with its interval, 0..1; nothing for none, nor for what has no degrees."""
    low, middle, high = cause.severity
    return f"{middle:.2f} ({low:.2f} to {high:.2f})" if low < high else ""


def verdict(causes: Causes) -> str:
    """Return in a sentence or two what the answer is."""
    first = ranked(causes)[0]
    if first.cause is None:
        return (
            "None fits: no fault of the catalogue, and no sound aircraft, explains what was brought. "
            "Is it another aircraft, or are columns mixed up? What follows is the least bad."
        )
    percent = f"{100.0 * first.chance:.0f} in 100"
    if not first.cause.faults:
        return f"None: it flew as a sound aircraft does ({percent})."
    where = f", {first.cause.place}" if first.cause.place else ""
    told = "; ".join(CATALOGUE[fault].in_the_air for fault in first.cause.faults)
    return f"Likeliest: {name(first.faults)}{where} ({percent}). {told}"


def as_document(found: Ranked) -> dict[str, object]:
    """Return an explanation as JSON has it."""
    low, middle, high = (0.0, 0.0, 0.0) if found.cause is None else found.cause.severity
    own = set(found.faults)
    return {
        "faults": list(found.faults),
        "likelihood": round(found.chance, 6),
        "place": None if found.cause is None else found.cause.place,
        "severity": middle,
        "severity_low": low,
        "severity_high": high,
        "look_alikes": [
            f for f in dict.fromkeys(f for a in found.alike for f in a) if f not in own
        ],
    }
