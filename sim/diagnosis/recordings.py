"""Simulated recordings with known causes: what an answerer is measured on, and tuned on with other seeds.

Each has a scattered sound build of its own, faults put in at a stated severity, a manoeuvre, and what
its logger kept: how many rows a second, which columns, with what noise. All of it follows from the
seed.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.aircraft import library
from sim.aircraft.build import Build, Pack
from sim.aircraft.changes import differing
from sim.aircraft.design import world_of
from sim.aircraft.fields import PLACES, Place
from sim.aircraft.scatter import scattered
from sim.aircraft.world import World
from sim.diagnosis.logged import Manoeuvre, logged
from sim.diagnosis.strangers import strange
from sim.faults.catalogue import CATALOGUE
from sim.faults.severity import put_in
from sim.kernel.history import HISTORY
from sim.keys import FaultId
from sim.reproduce.causes import Faults
from sim.reproduce.channels import AXES, BODY, CHANNELS, COLUMNS, INDEX
from sim.reproduce.importer.converting import DIGITS
from sim.reproduce.recording import Attitude, Recording, Stretch, Values

SHOWS_YET: tuple[FaultId, ...] = (
    "mag-hard-iron-offset",
    "mag-soft-iron",
    "gyro-bias-moved",
    "pack-cell-weak",
    "throttle-ends-unmatched",
    "idle-too-low",
    "idle-too-high",
)
"""Faults that a drill's hop lets pass, but that stand in what a logger keeps of it."""
NO_FLIGHT: tuple[FaultId, ...] = ("throttle-channel-reversed", "lead-polarity-reversed")
"""Faults with which no aircraft gets as far as a flight."""
NO_COLUMN: tuple[FaultId, ...] = ("baro-uncovered", "position-hold-indoors")
"""Faults of what has no column among ours."""

RATES_HZ = (
    20,
    25,
    40,
    50,
    100,
    125,
    200,
)  # Hz; design: 20 to 200, divisors of the ticks in a second
MANOEUVRES: tuple[Manoeuvre, ...] = ("hover", "nudges", "takeoff")
LEAST_SEVERITY = 0.2  # design: from here on a fault must be found
HOVERS_S = (8.0, 16.0)  # s; own: from a short look to a long one
CHARGES = (0.75, 1.0)  # share; own: packs of an evening that one takes off with
# how often a logger keeps what is not needed; own, from what loggers of the trade tend to have
KEPT = {
    "heading": 0.9,
    "volts": 0.9,
    "amps": 0.7,
    "accelerometer": 0.85,
    "compass": 0.7,
    "position": 0.3,
    "height": 0.5,
    "speeds": 0.15,
}
COLUMNS_OF: dict[str, tuple[str, ...]] = {
    "heading": ("heading_rad",),
    "volts": ("pack_v",),
    "amps": ("pack_a",),
    "accelerometer": tuple(f"accel_{a}_m_s2" for a in BODY),
    "compass": tuple(f"field_{a}_ut" for a in BODY),
    "position": ("north_m", "east_m"),
    "height": ("height_m",),
    "speeds": tuple(f"speed_{place}_rad_s" for place in PLACES),
}
# standard deviations of what a logger adds, and its steps; own: digits and conversions of loggers
NOISE = {"angle": 0.0005, "rate": 0.002, "position": 0.002, "accel": 0.02, "field": 0.1, "volt": 0.005, "amp": 0.05}  # fmt: skip
STEPS = {"stick": 0.002, "drive": 0.001, "angle": 0.0002, "rate": 0.001, "volt": 0.01, "amp": 0.01}


@dataclass(frozen=True)
class Plan:
    """A recording to be made; `faults` with their severities, none for a sound aircraft.

    noise : how much of the logger's own noise and steps it has, 0 none, 1 all; kept : which of
    `KEPT` it holds; attitude : as worked out aboard with gyro readings, or true; strange : whether
    somebody else built and tuned it.
    """

    seed: int
    faults: tuple[tuple[FaultId, float], ...] = ()
    manoeuvre: Manoeuvre = "nudges"
    rate_hz: int = 100
    hover_s: float = 12.0
    noise: float = 0.0
    kept: tuple[str, ...] = tuple(KEPT)
    attitude: Attitude = "outside"
    airframe: str = library.TRAINER
    strange: bool = False


@dataclass(frozen=True)
class Truth:
    """What is true of a recording: causes, how bad each is, corners at which something was changed."""

    faults: Faults
    severities: tuple[float, ...]
    places: tuple[Place, ...]


@dataclass(frozen=True)
class Made:
    """A recording, what it was made of, and the flight it was taken from (rows of HISTORY)."""

    plan: Plan
    truth: Truth
    recording: Recording
    flight: Values


def recordable(airframe: str = library.TRAINER) -> Faults:
    """Return the faults that can stand in a recording of a hop of an airframe."""
    world = world_of(library.airframe(airframe), library.roomy_site(airframe))
    return tuple(
        name
        for name, fault in CATALOGUE.items()
        if fault.family != "conduct"
        and (not fault.lucky or name in SHOWS_YET)
        and name not in (*NO_FLIGHT, *NO_COLUMN)
        and not fault.cannot(world)
    )


def drawn(
    seed: int, faults: int | None = None, among: Faults = (), airframe: str = library.TRAINER
) -> Plan:
    """Return a plan by chance.

    faults : how many it has; by default one in four is sound, the rest have one. among : those that
    may be chosen, by default all that can be recorded.
    """
    rng = np.random.default_rng([seed, 1])
    count = int(rng.random() > 0.25) if faults is None else faults  # own: enough of both
    pool = among or recordable(airframe)
    chosen = [pool[int(i)] for i in rng.choice(len(pool), count, replace=False)]
    attitude: Attitude = "aboard" if rng.random() < 0.5 else "outside"
    return Plan(
        seed=seed,
        faults=tuple((name, float(rng.uniform(LEAST_SEVERITY, 1.0))) for name in chosen),
        manoeuvre=MANOEUVRES[int(rng.choice(3, p=(0.3, 0.5, 0.2)))],  # own: most tell something
        rate_hz=int(rng.choice(RATES_HZ)),
        hover_s=float(rng.uniform(*HOVERS_S)),
        noise=float(rng.uniform(0.0, 1.0)),
        kept=tuple(name for name, share in KEPT.items() if rng.random() < share),
        attitude=attitude,
        airframe=airframe,
    )


def world(plan: Plan) -> tuple[World, Truth]:
    """Return the aircraft of a plan on the pad, ready, and what is true of it."""
    rng = np.random.default_rng([plan.seed, 2])
    build = Build(pack=Pack(charge=float(rng.uniform(*CHARGES))))
    where = library.roomy_site(plan.airframe)
    ready: dict[str, Any] = {"props_fitted": True, "pack_plugged": True, "transmitter_on": True}
    designed = world_of(
        library.airframe(plan.airframe), where, build, place="pad", hold="standing", **ready
    )
    sound = scattered(designed, rng.spawn(1)[0])
    if plan.strange:
        sound = strange(sound, rng.spawn(1)[0])
    faulty = sound
    for name, severity in plan.faults:
        faulty = put_in(CATALOGUE[name], faulty, severity, rng)
    changed = " ".join(differing(sound, faulty))
    order = sorted(plan.faults)
    truth = Truth(
        tuple(name for name, _ in order),
        tuple(severity for _, severity in order),
        tuple(place for place in PLACES if f".{place}." in changed),
    )
    return faulty, truth


def made(plan: Plan) -> Made:
    """Return the recording of a plan."""
    where, truth = world(plan)
    flight = logged(where, plan.seed, plan.manoeuvre, plan.rate_hz, plan.hover_s)
    return Made(plan, truth, taken(flight, plan), flight)


def taken(flight: Values, plan: Plan) -> Recording:
    """Return what a plan's logger kept of a flight."""
    rng = np.random.default_rng([plan.seed, 3])
    source = dict.fromkeys(COLUMNS, "")
    source |= {name: name for name in COLUMNS if name in HISTORY}
    source |= {"pack_v": "shown_pack_v", "pack_a": "shown_pack_a"}
    if plan.attitude == "aboard":
        for axis, body, angle in zip(AXES, BODY, ("roll", "pitch", "heading"), strict=True):
            source[f"{axis}_rate_rad_s"] = f"gyro_{body}_rad_s"
            source[f"{angle}_rad"] = f"shown_{angle}_rad"
    for group, columns in COLUMNS_OF.items():
        if group not in plan.kept:
            source |= dict.fromkeys(columns, "")
    rows = np.full((len(flight), len(COLUMNS)), np.nan)
    for name, theirs in source.items():
        if theirs:
            x = flight[:, HISTORY.index(theirs)]
            rows[:, INDEX[name]] = x if name == "time_s" else _as_logged(name, x, plan.noise, rng)
    t = rows[:, INDEX["time_s"]]
    rows[:, INDEX["time_s"]] = t - t[0]
    rows = np.round(rows, DIGITS) + 0.0  # no negative zeros
    whole = Stretch(np.arange(len(rows)), 0, 0, 0, 0, 0.0)
    return Recording(rows, plan.attitude, plan.airframe, whole)


def _as_logged(name: str, x: Values, share: float, rng: np.random.Generator) -> Values:
    """Return a column with a share of the logger's noise, in its steps if there is any."""
    kind = CHANNELS[name].kind
    kind = "stick" if kind == "throttle" else kind
    x = x + share * NOISE.get(kind, 0.0) * rng.standard_normal(len(x))
    step = STEPS.get(kind)
    return np.round(x / step) * step if step and share > 0.0 else x
