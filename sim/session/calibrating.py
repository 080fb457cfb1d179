"""Calibrations done by the person: what each measures and what the controller then stores.

One that is begun puts what was stored before out of use; where it fails or is given up there is none.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.blank import untaught
from sim.aircraft.changes import with_value
from sim.aircraft.fields import CHANNELS, PLACES
from sim.aircraft.scatter import renewed
from sim.aircraft.setup import OWN_MEMORY, CompassCalibration
from sim.aircraft.world import World
from sim.bench.check import sticks as held
from sim.bench.checks.supply import METER_SHARE
from sim.bench.compass import FitError, fit_compass
from sim.bench.interlocks import field_strength_ut
from sim.bench.person import Subject, senses
from sim.bench.reading import Calibrated, Reading
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.errors import Refusal
from sim.kernel.frames import Vec3, apply
from sim.kernel.radio import Sticks
from sim.keys import Calibration
from sim.session.faces import TAKE_S, Faces, calibration_reading

START_UP_S = 2.6  # s; the controller's start-up and a little more
SHOWN = 300  # own: readings enough to see which directions are covered
COMPASS_EVERY = 10  # ms; own: between compass readings kept
SETTLE_S = 6.0  # s; own: the attitude settles on the plate
LOOK_S = 2.0  # s; own: long enough to average the noise away
REACH_S = 0.1  # s; own: time for a stick to reach the display
FRAMES = 8  # 1; own: frames averaged at each place of a stick
TARGET_US = {"low_us": 1000.0, "centre_us": 1500.0, "high_us": 2000.0}  # us; trade's convention

STORES: dict[str, Calibration] = {
    "compass-finish": "compass",
    "level": "level",
    "face-finish": "faces",
    "sticks": "sticks",
    "drives": "drives",
    "voltage": "voltage",
}  # what each step stores; the others store nothing yet

Stored = tuple[World, str, dict[str, float]]


def _at(channel: str, position: float) -> Sticks:
    if channel == "throttle":
        return held(throttle=0.5 * (position + 1.0))
    return held(**{channel: position})


def _pulse_us(rig: Rig, channel: str, position: float) -> float:
    """Return the mean pulse of a channel with its stick held at -1, 0 or 1."""
    i, frame_s = CHANNELS.index(channel), rig.world.airframe.link.frame_ms / 1000.0
    rig.run(_at(channel, position), REACH_S)
    seen = []
    for _ in range(FRAMES):
        rig.run(_at(channel, position), frame_s)
        seen.append(rig.value(f"radio.pulse_us.{i}"))
    return float(np.mean(seen))


def sticks(rig: Rig) -> Stored:
    """Take out the trims and set ends and centre of each stick until the display reads right."""
    world = rig.world
    if world.setup.transmitter.memory != OWN_MEMORY:
        raise Refusal(
            "The screen names another model: choose this aircraft's memory first.", "own_memory"
        )
    if rig.value("radio.linked") == 0.0:
        raise Refusal("Nothing moves on the display: there is no link.", "linked")
    values = {}
    for channel in CHANNELS:
        low, centre, high = sorted(_pulse_us(rig, channel, p) for p in (-1.0, 0.0, 1.0))
        was = getattr(world.setup.transmitter, channel)
        new = {"trim_us": 0.0}
        for name, read in (("low_us", low), ("centre_us", centre), ("high_us", high)):
            values[f"{channel}_{name.replace('_us', '_was_us')}"] = read
            new[name] = getattr(was, name) + was.trim_us + round(TARGET_US[name] - read)
        learnt = was.model_copy(update=new)
        world = with_value(world, f"setup.transmitter.{channel}", learnt)
    rig.run(HANDS_OFF, REACH_S)
    return world, "Trims out, ends and centres set.", values


def drives(rig: Rig) -> Stored:
    """Teach all four drives the same ends of the throttle at once."""
    if rig.world.conduct.props_fitted:
        raise Refusal("Take the propellers off first: the motors may start.", "props_off")
    learnt = {"start_extra": 0.0, "gain": 1.0}
    values = {f"build.rotors.{p}.motor.{k}": v for p in PLACES for k, v in learnt.items()}
    world = renewed(rig.world, values, senses(rig, Subject.DRIVES))
    return world, "All four drives have learnt the ends and answered with their tones.", {}


def voltage(rig: Rig) -> Stored:
    """Set the scale of the voltage reading until it shows what the meter does."""
    eye = senses(rig, Subject.METER)
    seen = rig.run(HANDS_OFF, 1.0)
    shown = float(seen["shown_pack_v"].mean())
    meter = float(seen["pack_v"].mean()) * (1.0 + METER_SHARE * float(eye.standard_normal()))
    scale = rig.world.setup.controller.volt_scale * meter / shown
    world = with_value(rig.world, "setup.controller.volt_scale", scale)
    return world, "Voltage reading set to the meter.", {"meter_v": meter, "was_shown_v": shown}


STEPS: dict[str, tuple[Callable[[Rig], Stored], Calibrated]] = {
    "sticks": (sticks, "sticks-calibration"),
    "drives": (drives, "drives-calibration"),
    "voltage": (voltage, "voltage-calibration"),
}


def compass_from(rig: Rig, rows_ut: NDArray[np.float64]) -> tuple[CompassCalibration, Reading]:
    """Return the compass calibration fitted to raw readings, and its numbers to read off.

    rows_ut : float64[n, 3], uT, instrument axes. Raises Refusal if they fix no ellipsoid.
    """
    mounting = rig.craft.estimator.mag_mounting
    turned = np.array([tuple(apply(mounting, Vec3(*row))) for row in rows_ut]).reshape(-1, 3)
    expected = field_strength_ut(rig)
    try:
        fit = fit_compass(turned, expected)
    except FitError as error:
        raise Refusal(f"No calibration was stored: {error}.", "no_fit") from None
    x, y, z = fit.offset_ut.tolist()
    a, b, c = (tuple(row) for row in fit.matrix.tolist())
    stored = CompassCalibration(
        offset_ut=(x, y, z),
        matrix=(a, b, c),
        residual_share=fit.residual_share,
        coverage=fit.coverage,
        place=rig.world.conduct.place,
    )
    values = {
        "fitted_field_ut": fit.fitted_ut,
        "site_field_ut": expected,
        "residual_share": fit.residual_share,
        "coverage_share": fit.coverage,
        "loosest_share": fit.loosest,
        "offset_x_ut": x,
        "offset_y_ut": y,
        "offset_z_ut": z,
        "readings": float(len(rows_ut)),
    }
    return stored, Reading("compass-calibration", values)


def levelled(rig: Rig) -> World:
    """Return the world with the attitude the aircraft stands in taken as level."""
    rig.run(HANDS_OFF, SETTLE_S)
    seen = rig.run(HANDS_OFF, LOOK_S)
    setup = rig.world.setup
    roll = setup.level_trim_roll_deg + float(np.degrees(seen["shown_roll_rad"].mean()))
    pitch = setup.level_trim_pitch_deg + float(np.degrees(seen["shown_pitch_rad"].mean()))
    world = with_value(rig.world, "setup.level_trim_roll_deg", roll)
    return with_value(world, "setup.level_trim_pitch_deg", pitch)


@dataclass
class Calibrations:
    """The calibrations under way; `step` takes the next one, `hear` collects meanwhile."""

    compass: list[NDArray[np.float64]] | None = None
    faces: Faces | None = None

    @property
    def under_way(self) -> bool:
        """Whether one has been begun and not finished, so that the hands are at work."""
        return self.compass is not None or self.faces is not None

    def hear(self, history: History) -> None:
        """Keep compass readings while they are wanted."""
        if self.compass is not None:
            heard = history.each(COMPASS_EVERY)
            self.compass.append(np.column_stack([heard[f"field_{axis}_ut"] for axis in "xyz"]))

    def collected_ut(self) -> tuple[tuple[float, float, float], ...]:
        """Return compass readings collected so far, at most about SHOWN of them."""
        if not self.compass:
            return ()
        rows = np.vstack(self.compass)
        thinned = rows[:: max(1, len(rows) // SHOWN)]
        return tuple((x, y, z) for x, y, z in thinned.tolist())

    def faces_taken(self) -> tuple[str, ...]:
        """Return the names of the faces taken so far."""
        return self.faces.names() if self.faces is not None else ()

    def step(self, rig: Rig, what: str) -> tuple[str, Reading | None]:
        """Do one step on the rig; return what is said, and a reading if there are numbers."""
        if what in STEPS:
            learns, name = STEPS[what]
            world, words, values = learns(rig)
            rig.change(world)
            return words, Reading(name, values)
        steps = {
            "compass-start": self._start_compass,
            "compass-finish": self._finish_compass,
            "level": self._take_level,
            "face-start": self._start_faces,
            "face-take": self._take_face,
            "face-finish": self._finish_faces,
        }
        return steps[what](rig)

    def _start_compass(self, rig: Rig) -> tuple[str, None]:
        if rig.world.conduct.hold != "hands":
            raise Refusal("Take the aircraft in your hands first.", "in_hands")
        self.compass = []
        rig.change(untaught(rig.world, "compass"))
        return "Turn it about every axis; the controller is collecting.", None

    def _finish_compass(self, rig: Rig) -> tuple[str, Reading]:
        if self.compass is None:
            raise Refusal("No compass calibration is under way.", "begun")
        rows = np.vstack([np.empty((0, 3)), *self.compass])
        self.compass = None
        stored, reading = compass_from(rig, rows)
        rig.change(with_value(rig.world, "setup.compass", stored))
        rig.put("powered_ticks", 0.0)  # the controller starts its attitude afresh
        rig.run(HANDS_OFF, START_UP_S)
        return "Compass calibration stored.", reading

    def _take_level(self, rig: Rig) -> tuple[str, None]:
        if rig.world.conduct.hold != "standing":
            raise Refusal("Stand it on the levelled plate first.", "standing")
        rig.change(levelled(rig))
        return "Level stored.", None

    def _start_faces(self, rig: Rig) -> tuple[str, None]:
        self.faces = Faces()
        rig.change(untaught(rig.world, "accelerometer"))
        return "Six faces to take: level, both sides, nose down, nose up, on its back.", None

    def _take_face(self, rig: Rig) -> tuple[str, None]:
        if self.faces is None:
            raise Refusal("No calibration of the faces is under way.", "begun")
        window = rig.run(HANDS_OFF, TAKE_S)
        face = self.faces.take(window, rig.craft.estimator.mounting)
        return f"Taken: {face}; {6 - len(self.faces.taken)} to go.", None

    def _finish_faces(self, rig: Rig) -> tuple[str, Reading]:
        if self.faces is None:
            raise Refusal("No calibration of the faces is under way.", "begun")
        stored, residual = self.faces.solved()
        self.faces = None
        rig.change(with_value(rig.world, "setup.accelerometer", stored))
        words = f"Stored; the six faces fit to {residual:.2f} m/s²."
        return words, calibration_reading(stored, residual)
