"""Recordings of the model with known causes, all of one from its seed."""

from dataclasses import dataclass

import numpy as np

from sim.reproduce.recording import Recording
from tests.reproduce.twin.craft import aircraft, sheet
from tests.reproduce.twin.faults import FAULTS
from tests.reproduce.twin.flight import RATES_HZ, Log, flown

NAME = "trainer-254mm"
MANOEUVRES = ("hover", "nudges", "nudges", "nudges", "takeoff")


@dataclass(frozen=True)
class Case:
    """What is flown; `fault` "" is a sound aircraft. `airframe` is what flies, not what is claimed."""

    seed: int
    fault: str = ""
    severity: float = 0.5
    manoeuvre: str = "nudges"
    rate_hz: int = 100
    aboard: bool = False
    position: bool = True
    airframe: str = NAME


@dataclass(frozen=True)
class Flown:
    case: Case
    place: str
    recording: Recording


def drawn(seed: int, fault: str | None = None) -> Case:
    """Return a case by chance; one in four is sound unless a fault is given."""
    rng = np.random.default_rng([seed, 11])
    if fault is None:
        fault = "" if rng.random() < 0.25 else str(rng.choice(sorted(FAULTS)))
    return Case(
        seed,
        fault,
        float(rng.uniform(0.2, 1.0)),
        str(rng.choice(MANOEUVRES)),
        int(rng.choice(RATES_HZ)),
        bool(rng.random() < 0.4),
        bool(rng.random() < 0.7),
    )


def fly(case: Case) -> Flown:
    rng = np.random.default_rng([case.seed, 12])
    craft = aircraft(case.airframe, rng)
    place = FAULTS[case.fault](craft, case.severity, rng) if case.fault else ""
    hover = sheet(case.airframe)["sheet"]["hover_throttle"]
    log = Log(case.rate_hz, case.aboard, case.position)
    return Flown(case, place, flown(craft, NAME, hover, case.manoeuvre, log, rng))
