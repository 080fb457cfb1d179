"""What differs among sound aircraft and what no sheet knows well: fitted to each recording.

Each is a column of derivatives, from one pass of the sound aircraft with the value moved, in units of
its standard deviation. What a person built or set scatters more in the world than in the table of
sound builds of one kind (`sim.aircraft.scatter`), so most are wider here.
"""

from collections.abc import Iterator
from math import exp
from typing import Any, Literal, NamedTuple

import numpy as np

from sim.aircraft.changes import value_at, with_values
from sim.aircraft.fields import PLACES
from sim.aircraft.world import World
from sim.reproduce.recorded.flight import Flight, Lateness
from sim.reproduce.recorded.passes import Vehicle, vehicle_of
from sim.reproduce.recording import Values

Way = Literal["factor", "offset", "other"]
Late = Literal["drives", "sticks"]


class Nuisance(NamedTuple):
    """One value that is not known: its keys, moved together; how; by how much (one sigma).

    way : times or plus so much, or the other of two; between those everything goes straight.

    part : which of a value that has several numbers; late : what of the recording is moved instead, s;
    quick : whether it shows between the rows of a slow log, so that such a log blurs it.
    """

    name: str
    keys: tuple[str, ...]
    way: Way
    sigma: float
    part: tuple[int, ...] = ()
    late: Late | None = None
    quick: bool = False


BLADES = 0.010  # of the pitch of one rotor's blades; scatter
BLURRED_S = 0.02  # s; own: rows so far apart double what is not known of what shows between them


LIFTING = frozenset({"mass", "thrust"})
WINDS = frozenset({"wind north", "wind east"})
TOLD = 0.4  # of a sigma; own: what a hover leaves open of how much is lifted by how much
DRIFT_M_S = 0.3  # m/s; own: as fast a hover drifts, which is a wind to who kept no positions


def open_sigmas(flight: Flight, hovers: bool) -> Values:
    """Return how much of each value a recording leaves open, in sigmas of its own, (NUISANCES,).

    hovers : whether its own hover tells its mass. Drives that jitter between the rows of a slow log
    are logged by chance, which makes an aircraft look sluggish: it leaves more open of the quick ones.
    """
    placed = bool(np.isfinite(flight.recording["north_m"]).any())

    def left(nuisance: Nuisance) -> float:
        if nuisance.quick:
            return 1.0 + flight.step_s / BLURRED_S
        if nuisance.name in LIFTING and hovers:
            return TOLD
        if nuisance.name in WINDS and not placed:
            return DRIFT_M_S / nuisance.sigma
        return 1.0

    return np.array([left(nuisance) for nuisance in NUISANCES])


ROTOR = "build.rotors.{}."
CONTROL = "setup.controller."


def _single() -> Iterator[Nuisance]:
    yield Nuisance(
        "mass", ("build.frame.mass_factor",), "factor", 0.07
    )  # 1; recipe 0.05, and what a hover tells of it
    for axis in ("roll", "pitch", "yaw"):
        yield Nuisance(
            f"{axis} inertia", (f"airframe.{axis}_inertia_kg_m2",), "factor", 0.10
        )  # 1; recipe
    every = tuple(ROTOR.format(place) for place in PLACES)
    yield Nuisance(
        "thrust", tuple(f"{k}propeller.pitch_ratio" for k in every), "factor", 0.05
    )  # 1; recipe
    yield Nuisance(
        "windings", tuple(f"{k}motor.resistance_factor" for k in every), "factor", 0.05
    )  # 1; own
    yield Nuisance(
        "rotor inertia", ("airframe.propeller.inertia_kg_m2",), "factor", 0.30
    )  # 1; own, from 40 sound recordings; recipe 0.15
    yield Nuisance("tilt limit", (f"{CONTROL}tilt_limit_deg",), "factor", 0.03)  # 1; own
    yield Nuisance("yaw limit", (f"{CONTROL}yaw_rate_limit_deg_s",), "factor", 0.15)  # 1; own
    yield Nuisance(
        "charge", ("build.pack.charge",), "offset", 0.10
    )  # share; own: packs of an evening
    yield Nuisance("pack", ("build.pack.resistance_factor",), "factor", 0.20)  # 1; recipe 0.25
    yield Nuisance("volts", ("build.sensors.volt_scale",), "factor", 0.01)  # 1; own
    yield Nuisance("amps", ("build.sensors.amp_scale",), "factor", 0.06)  # 1; own
    yield Nuisance("shake", ("build.sensors.shake_gain",), "factor", 0.30)  # 1; recipe 0.4
    yield Nuisance(
        "gyro noise", ("airframe.instruments.gyro_noise_rad_s",), "factor", 0.35
    )  # 1; recipe
    for axis in ("north", "east"):
        yield Nuisance(f"wind {axis}", (f"site.wind_{axis}_m_s",), "offset", 0.05)  # m/s; scatter
    yield Nuisance(
        "steel", ("site.pad_steel",), "offset", 0.03
    )  # of a plate; own: mesh in concrete
    yield Nuisance(
        "drives late", (), "offset", 0.006, late="drives", quick=True
    )  # s; own, from the same; recipe: 3 ms add 8 %
    yield Nuisance(
        "sticks late", (), "offset", 0.004, late="sticks", quick=True
    )  # s; own: a frame of a radio


def _controls() -> Iterator[Nuisance]:
    for axis in ("roll", "pitch"):
        yield Nuisance(
            f"{axis} gain", (f"{CONTROL}{axis}.p",), "factor", 0.20, quick=True
        )  # 1; own: sheets are kept to
        yield Nuisance(
            f"{axis} damping", (f"{CONTROL}{axis}.d",), "factor", 0.25, quick=True
        )  # 1; own: the same
    yield Nuisance(
        "yaw gain", (f"{CONTROL}yaw.p",), "factor", 0.35, quick=True
    )  # 1; own: yaw is tuned less
    yield Nuisance(
        "attitude gain", (f"{CONTROL}attitude_gain_per_s",), "factor", 0.10
    )  # 1; recipe 0.15
    yield Nuisance(
        "heading gain", (f"{CONTROL}heading_gain_per_s",), "factor", 0.60
    )  # 1; own: some hold no heading
    yield Nuisance(
        "gyro filter", (f"{CONTROL}gyro_cutoff_hz",), "factor", 0.25, quick=True
    )  # 1; recipe
    yield Nuisance(
        "damping filter", (f"{CONTROL}damping_cutoff_hz",), "factor", 0.20, quick=True
    )  # 1; own
    yield Nuisance(
        "heading hold", (f"{CONTROL}heading_hold",), "other", 1.0
    )  # 1; own: between nudges controllers hold headings in ways of their own, or none
    yield Nuisance(
        "throttle", (f"{CONTROL}throttle_gain",), "factor", 0.005
    )  # 1; own: ends by a display


def _at_places() -> Iterator[Nuisance]:
    for place in PLACES:
        key = ROTOR.format(place)
        yield Nuisance(f"magnets {place}", (f"{key}motor.strength",), "factor", 0.015)  # 1; recipe
        yield Nuisance(
            f"drive {place}", (f"{key}motor.gain",), "factor", 0.008
        )  # 1; scatter: of what it learnt of its ends, both of them
        yield Nuisance(f"blades {place}", (f"{key}propeller.pitch_ratio",), "factor", BLADES)
        yield Nuisance(
            f"lean {place}", (f"{key}motor.axis_lean_deg",), "offset", 0.25
        )  # deg; scatter
        yield Nuisance(
            f"shake {place}", (f"{key}propeller.extra_unbalance_g_mm",), "offset", 0.05
        )  # g mm; own
    for i, place in enumerate(PLACES):
        yield Nuisance(
            f"leg {place}", ("build.frame.leg_lift_m",), "offset", 0.001, (i,)
        )  # m; own: a floor


def _vectors() -> Iterator[Nuisance]:
    body = "forward", "right", "down"
    for i, way in enumerate(body):
        yield Nuisance(
            f"balance {way}", ("build.frame.cg_offset_m",), "offset", 0.0015, (i,)
        )  # m; recipe
        yield Nuisance(
            f"gyro {way}", ("build.sensors.gyro_bias_deg_s",), "offset", 0.3, (i,)
        )  # deg/s; scatter
        yield Nuisance(
            f"gyro start {way}", ("build.sensors.gyro_moved_deg_s",), "offset", 0.12, (i,)
        )  # deg/s; recipe
        yield Nuisance(
            f"accelerometer {way}", ("build.sensors.accel_bias_m_s2",), "offset", 0.05, (i,)
        )  # m/s2; recipe .08
        yield Nuisance(
            f"accelerometer scale {way}", ("build.sensors.accel_matrix",), "offset", 0.004, (i, i)
        )  # 1; scatter
        yield Nuisance(
            f"accelerometer offset {way}",
            ("setup.accelerometer.offset_m_s2",),
            "offset",
            0.03,
            (i,),
        )  # m/s2; scatter
        yield Nuisance(
            f"accelerometer matrix {way}", ("setup.accelerometer.matrix",), "offset", 0.003, (i, i)
        )  # 1; scatter
        yield Nuisance(
            f"iron {way}", ("build.sensors.mag_hard_iron_ut",), "offset", 0.5, (i,)
        )  # uT; recipe
        yield Nuisance(
            f"lead field {way}", ("build.sensors.mag_per_amp_ut_a",), "offset", 0.02, (i,)
        )  # uT/A; recipe
        yield Nuisance(
            f"soft iron {way}", ("build.sensors.mag_soft_iron",), "offset", 0.006, (i, i)
        )  # 1; scatter
    yield Nuisance(
        "soft iron across", ("build.sensors.mag_soft_iron",), "offset", 0.006, (0, 1)
    )  # 1; scatter
    for axis in ("roll", "pitch"):
        yield Nuisance(
            f"level {axis}", (f"setup.level_trim_{axis}_deg",), "offset", 0.2
        )  # deg; recipe 0.4
    for axis in ("roll", "pitch", "yaw"):
        yield Nuisance(
            f"stick {axis}", (f"setup.transmitter.{axis}.trim_us",), "offset", 5.0
        )  # us; scatter


NUISANCES: tuple[Nuisance, ...] = (*_single(), *_controls(), *_at_places(), *_vectors())
COLUMN_OF = {nuisance.name: i for i, nuisance in enumerate(NUISANCES)}


def _moved(value: Any, nuisance: Nuisance, sigmas: float) -> Any:
    """Return a value, or the part of it that is meant, moved by so many sigmas."""
    if nuisance.way == "other":
        return not value
    if not isinstance(value, tuple):
        if nuisance.way == "factor":
            return value * exp(nuisance.sigma * sigmas)
        return value + nuisance.sigma * sigmas
    return _put(value, nuisance.part, nuisance.sigma * sigmas)


def _put(value: tuple[Any, ...], part: tuple[int, ...], more: float) -> tuple[Any, ...]:
    here, *deeper = part
    moved = _put(value[here], tuple(deeper), more) if deeper else value[here] + more
    return (*value[:here], moved, *value[here + 1 :])


def changes(world: World, nuisance: Nuisance, sigmas: float) -> dict[str, Any]:
    """Return what a value moved by so many sigmas changes in a world, by key."""
    return {key: _moved(value_at(world, key), nuisance, sigmas) for key in nuisance.keys}


def moved(world: World, nuisance: Nuisance, sigmas: float, aboard: bool) -> Vehicle:
    """Return the vehicle of a world with one value moved by so many sigmas."""
    if nuisance.late:
        late = Lateness(**{nuisance.late: nuisance.sigma * sigmas})
        return vehicle_of(world, aboard)._replace(late_s=late)
    return vehicle_of(with_values(world, changes(world, nuisance, sigmas)), aboard)
