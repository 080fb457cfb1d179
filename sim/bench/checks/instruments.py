"""Checks of single instruments: the board on its mount, barometer, warm gyro, motor current."""

from math import pi

import numpy as np

from sim.bench.check import Check, Line, armed, disarmed, sticks
from sim.bench.person import Subject, read_off, senses
from sim.bench.reading import Reading, Series
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.kernel import estimator
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.clock import ticks
from sim.kernel.frames import Vec3, apply

BOARD_KG = 0.03  # kg; own: controller board with its case
PUSH_N = 1.0  # N; own: a light finger
SOFT_GIVE_MM = 1.2  # mm; own: what good foam gives under that
EYE_SHARE = 0.15  # 1; own: how well an eye judges a give of a millimetre
EYE_MM = 0.05  # mm; own
BREATH = 1.0 / 3.0  # of the hover's wash; own: what a breath on the board is worth
LOOK_S = 3.0  # s; own
WARM_S = 180.0  # s; own: three minutes show most of what five would
GYRO_S = 4.0  # s; own: mean of the gyro at either end
RAMP = 0.85  # share; own: propellers off, as much current as the motors draw without load
IDLE_S, RAMP_S = 2.0, 6.0  # s; own: how long it idles first, then how long the ramp is held
HEIGHT_M = 0.01  # m; own: last digit of the height, which flickers by one
SHOWN_A = 0.1  # A; own: last digit of the current, which flickers by one


def board_touch(rig: Rig) -> Reading:
    """Press the controller board with a finger and see how far it gives."""
    eye = senses(rig, Subject.BOARD)
    sensors = rig.craft.sensors
    give_m = SOFT_GIVE_MM / 1000.0 / sensors.shake_gain
    if sensors.mount_rad_s > 0.0:
        give_m += PUSH_N / (BOARD_KG * sensors.mount_rad_s**2)
    seen = 1000.0 * give_m * (1.0 + EYE_SHARE * eye.standard_normal())
    give_mm = max(0.0, seen + EYE_MM * eye.standard_normal())
    return Reading("board-touch", {"give_mm": round(give_mm, 1), "foam_mm": SOFT_GIVE_MM})


def breath_and_torch(rig: Rig) -> Reading:
    """Read the height, then breathe on the barometer and shine a torch at it."""
    before = rig.run(sticks(), LOOK_S)
    weight_n = rig.world.airframe.mass_kg * STANDARD_GRAVITY_M_S2
    breath_m = rig.craft.sensors.baro_wash_m_n * BREATH * weight_n
    breathed = rig.run(sticks(), LOOK_S)["baro_m"] + breath_m
    change = float(breathed.mean() - before["baro_m"].mean())
    shown = read_off(senses(rig, Subject.BREATH), change, HEIGHT_M, HEIGHT_M)
    return Reading("breath-and-torch", {"height_change_m": shown})


def _gyro_deg_s(history: History) -> np.ndarray:
    rows = [history[f"gyro_{axis}_rad_s"].mean() for axis in "xyz"]
    return np.array(rows) * 180.0 / pi


def warm_creep(rig: Rig) -> Reading:
    """Leave it powered and still for three minutes and see how far the gyro's zero has moved."""
    cold = _gyro_deg_s(rig.run(sticks(), GYRO_S))
    rig.run(sticks(), WARM_S, every=ticks(0.1))
    change = _gyro_deg_s(rig.run(sticks(), GYRO_S)) - cold
    return Reading(
        "warm-creep",
        {"change_deg_s": float(np.linalg.norm(change)), "waited_s": WARM_S},
        notes=("Powered and untouched for three minutes.",),
    )


def _field_ut(rig: Rig, history: History) -> np.ndarray:
    """Return the mean calibrated compass reading, body axes, uT."""
    held = rig.craft.estimator
    raw = Vec3(*(float(history[f"field_{axis}_ut"].mean()) for axis in "xyz"))
    turned = apply(held.mag_mounting, raw)
    return np.array(estimator.calibrated(turned, held.mag_offset_ut, held.mag_matrix))


def compass_ramp(rig: Rig) -> Reading:
    """Run the motors up in the clamp, propellers off, and watch field and current."""
    armed(rig)
    idle = rig.run(sticks(), IDLE_S)
    for k in range(1, 11):
        rig.run(sticks(RAMP * k / 10), 0.1)
    ramped = rig.run(sticks(RAMP), RAMP_S)
    disarmed(rig)
    rig.run(HANDS_OFF, 1.0)
    return ramp_reading(rig, idle, ramped)


def ramp_reading(rig: Rig, idle: History, ramped: History) -> Reading:
    """Return how the field changes with the current between idle and run-up."""
    eye = senses(rig, Subject.RAMP)
    amps = read_off(
        eye, float(ramped["shown_pack_a"].mean() - idle["shown_pack_a"].mean()), SHOWN_A, SHOWN_A
    )
    change = (_field_ut(rig, ramped) - _field_ut(rig, idle)) / max(amps, 0.1)
    sideways = float(np.hypot(change[0], change[1]))
    site = rig.world.site.earth_field
    hover = rig.world.airframe.sheet.hover_current_a
    share = sideways * hover / float(np.hypot(site.north_ut, site.east_ut))
    return Reading(
        "compass-ramp",
        {
            "current_a": amps,
            "field_per_amp_ut_a": float(np.linalg.norm(change)),
            "level_field_per_amp_ut_a": sideways,
            "hover_heading_deg": float(np.degrees(np.arcsin(min(1.0, share)))),
        },
        series={
            "field ahead under current": Series(
                "time_s",
                "field_x_ut",
                tuple(ramped["time_s"].tolist()),
                tuple(ramped["field_x_ut"].tolist()),
            )
        },
    )


CHECKS = (
    Check(
        "board-touch",
        "C01",
        "Press the controller board with a finger",
        0.5,
        (),
        board_touch,
        "How far does it give, beside good foam?",
        lines=(Line("before-power", 60, "board", "Press the board: say how it gives"),),
        voided_by=("swap:sensor-mount", "crash"),
        touches=True,
    ),
    Check(
        "breath-and-torch",
        "C01",
        "Breathe on the barometer and shine a torch at it",
        0.5,
        ("powered", "props_off"),
        breath_and_torch,
        "How far does the height jump?",
        lines=(Line("control", 60, "barometer", "Breath and torch: say the jump"),),
        voided_by=("swap:barometer-cover",),
    ),
    Check(
        "warm-creep",
        "C11",
        "Leave it powered and still for three minutes, then look at the gyro again",
        4.0,
        ("powered", "props_off", "standing"),
        warm_creep,
        "How far has the gyro's zero moved?",
        lines=(Line("sensors", 40, "warm", "Three minutes under power: say the creep"),),
        voided_by=("wait",),
    ),
    Check(
        "compass-ramp",
        "C16",
        "Run the motors up in the clamp, propellers off, and watch the compass",
        2.0,
        ("powered", "linked", "props_off", "clamped"),
        compass_ramp,
        "Does the field change with the current?",
        lines=(Line("sensors", 70, "current", "Run up in the clamp: say the compass's swing"),),
        voided_by=("swap:compass-lead",),
        caution="Propellers off. Short bursts: without load the motors cool less.",
    ),
)
