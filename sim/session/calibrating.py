"""Calibrations done by the person: what each measures and what the controller then stores."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.changes import with_value
from sim.aircraft.fields import CHANNELS, PLACES
from sim.aircraft.setup import OWN_MEMORY, CompassCalibration
from sim.aircraft.world import World
from sim.bench.check import sticks as held
from sim.bench.compass import FitError, fit_compass
from sim.bench.interlocks import field_strength_ut
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Refusal
from sim.kernel.frames import Vec3, apply
from sim.kernel.radio import Sticks

SETTLE_S = 6.0  # s; own: the attitude settles on the plate
LOOK_S = 2.0  # s; own: long enough to average the noise away
REACH_S = 0.1  # s; own: time for a stick to reach the display
FRAMES = 8  # own: frames averaged at each place of a stick
TARGET_US = {"low_us": 1000.0, "centre_us": 1500.0, "high_us": 2000.0}  # us; trade's convention
METER_SHARE = 0.001  # share; own: a hand-held meter

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
        raise Refusal("The screen names another model: choose this aircraft's memory first.")
    if rig.value("radio.linked") == 0.0:
        raise Refusal("Nothing moves on the display: there is no link.")
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
        raise Refusal("Take the propellers off first: the motors may start.")
    world = rig.world
    for place in PLACES:
        world = with_value(world, f"build.rotors.{place}.motor.start_extra", 0.0)
        world = with_value(world, f"build.rotors.{place}.motor.gain", 1.0)
    return world, "All four drives have learnt the ends and answered with their tones.", {}


def voltage(rig: Rig) -> Stored:
    """Set the scale of the voltage reading until it shows what the meter does."""
    eye = np.random.default_rng(rig.tick)
    seen = rig.run(HANDS_OFF, 1.0)
    shown = float(seen["shown_pack_v"].mean())
    meter = float(seen["pack_v"].mean()) * (1.0 + METER_SHARE * float(eye.standard_normal()))
    scale = rig.world.setup.controller.volt_scale * meter / shown
    world = with_value(rig.world, "setup.controller.volt_scale", scale)
    return world, "Voltage reading set to the meter.", {"meter_v": meter, "was_shown_v": shown}


STEPS: dict[str, Callable[[Rig], Stored]] = {
    "sticks": sticks,
    "drives": drives,
    "voltage": voltage,
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
        raise Refusal(f"No calibration was stored: {error}.") from None
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
