"""The study of symptoms: hops with every fault that may show in one, at several severities.

Each severity has builds of its own, so that all places and directions are drawn. A fault that is so
or not gets the builds of all severities.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np

from sim import __version__
from sim.aircraft.changes import differing
from sim.aircraft.fields import PLACES
from sim.diagnosis.flown import Asked, flights
from sim.diagnosis.pool import Mapper
from sim.diagnosis.readings import drill
from sim.diagnosis.study import graded
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.reproduce.words.observed import Observed, observed
from sim.reproduce.words.table import SOUND, Row, in_order

SEVERITIES = (0.2, 0.4, 0.7, 1.0)  # design: from just past the limit to the worst
BUILDS = 6  # own: of each severity; all places and directions come over four of them
PLAIN_BUILDS = 16  # own: of a fault without degrees; all places come
SOUND_BUILDS = 120  # own: what one sound aircraft in a hundred does is known
BUILDS_APART = 1000  # own: more than the builds of one severity
AXES = ("roll", "pitch", "yaw")


@dataclass(frozen=True)
class Hop:
    """Both flights of one aircraft in words, and where the fault was in it."""

    asked: Asked
    place: str
    seen: tuple[Observed, ...]


def shows_in_a_hop(fault: FaultId) -> bool:
    """Tell whether a fault is of the aircraft or of the place; what people do changes no flight."""
    return CATALOGUE[fault].family != "conduct"


def faults() -> tuple[FaultId, ...]:
    """Return the faults the study is about."""
    return tuple(fault for fault in CATALOGUE if shows_in_a_hop(fault))


def place_of(fault: FaultId, severity: float, seed: int, airframe: str) -> str:
    """Return in words where a fault sits: its corners, or the one axis it is about; else nothing."""
    sound, faulty = (
        drill(one, severity, airframe).world(np.random.default_rng(seed)) for one in (None, fault)
    )
    keys = [
        part for key in differing(sound, faulty) for part in key.replace("_sense", "").split(".")
    ]
    corners = [place.replace("_", " ") for place in PLACES if place in keys]
    axes = [axis for axis in AXES if axis in keys]
    return " and ".join(corners) or (axes[0] if len(axes) == 1 else "")


def hop(asked: Asked) -> Hop:
    """Fly one aircraft, both ways, and put what it showed in words."""
    fault = asked.fault
    place = "" if fault is None else place_of(fault, asked.severity, asked.seed, asked.airframe)
    return Hop(asked, place, tuple(observed(flight) for flight in flights(asked)))


def planned(
    airframe: str, builds: int, only: Iterable[FaultId] = (), sound: bool = True
) -> list[Asked]:
    """Return the hops of a study. builds : of each severity, and others in proportion."""
    chosen = tuple(only) or faults()
    plain, quiet = (round(n * builds / BUILDS) for n in (PLAIN_BUILDS, SOUND_BUILDS))
    jobs = [Asked(None, 0.0, seed, airframe) for seed in range(quiet)] if sound else []
    for fault in chosen:
        if not graded(fault, airframe):
            jobs += [Asked(fault, SEVERITIES[-1], seed, airframe) for seed in range(plain)]
            continue
        for n, severity in enumerate(SEVERITIES):
            first = BUILDS_APART * n
            seeds = range(first, first + builds)
            jobs += [Asked(fault, severity, seed, airframe) for seed in seeds]
    return jobs


def counted(hops: Iterable[Hop]) -> list[Row]:
    """Return hops as the lines of the table: those alike in all their words are counted."""
    found: dict[tuple[str, float, str, str, str, str], Row] = {}
    for one in hops:
        asked = one.asked
        for seen in one.seen:
            symptoms = in_order(seen.symptoms)
            name, severity = asked.fault or SOUND, asked.severity
            key = (name, severity, seen.hands, seen.when or "", symptoms, one.place)
            row = found.get(key)
            if row is None:
                found[key] = Row(*key[:5], 1, one.place, asked.seed, __version__)
            else:
                found[key] = replace(row, hops=row.hops + 1)
    return list(found.values())


def measured(
    spread: Mapper,
    jobs: list[Asked],
    begins: Callable[[str, int], None] = lambda name, hops: None,
    done: Callable[[], None] = lambda: None,
) -> list[Row]:
    """Fly all the hops; return the table."""
    begins("Hops", len(jobs))
    return counted(spread(hop, jobs, done))


def renewed(kept: Iterable[Row], rows: Iterable[Row]) -> list[Row]:
    """Return lines kept and new, in the order of the catalogue; a fault measured anew loses its old ones."""
    new = tuple(rows)
    names = {row.fault for row in new}
    order: dict[str, int] = {name: place for place, name in enumerate([SOUND, *CATALOGUE])}
    lines = [*new, *(row for row in kept if row.fault not in names and row.fault in order)]
    return sorted(lines, key=lambda row: (order[row.fault], row.severity, row.hands, row.variation))
