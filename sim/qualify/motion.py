"""Motion of a body, free and on strings; the tone and the shaking of a propeller."""

from collections.abc import Sequence
from math import atan2, ceil, pi, radians, sin
from typing import Any

import numpy as np
from numba import njit

from sim.kernel import body, motor, sensors
from sim.kernel.frames import UPRIGHT, ZERO, Vec3, from_angles, to_body, to_world
from sim.kernel.vehicle import TICK_S
from sim.qualify import row
from sim.qualify.parts import GRAVITY_M_S2, INSTRUMENTS, motor_params
from sim.units import RAD_S_PER_RPM


def _body_history(start: Any, force: Any, torque: Any, p: Any, dt_s: float, steps: int) -> Any:
    out = np.empty((steps + 1, 10))
    state = start
    for i in range(steps + 1):
        if i > 0:
            state = body.free_step(state, force, torque, 0.0, p, dt_s)
        x, q, w = state.position_m, state.attitude, state.rate_rad_s
        out[i] = (x.x, x.y, x.z, q.w, q.x, q.y, q.z, w.x, w.y, w.z)
    return out


body_history = njit(_body_history)
RATES, TURN = slice(7, 10), slice(3, 7)


def spun(inertia: Sequence[float], rate: Sequence[float], seconds: float) -> Any:
    """Return the history of a body left alone, at steps of at most one tick."""
    steps = ceil(seconds / TICK_S - 1e-9)
    p = body.BodyParams(1.0, Vec3(*map(float, inertia)), 0.0)
    start = body.BodyState(ZERO, UPRIGHT, ZERO, Vec3(*map(float, rate)))
    return body_history(start, ZERO, ZERO, p, seconds / steps, steps)


def rotation() -> list[row.Row]:
    """Torque-free rotation against elliptic functions and another engine."""
    exact, engine = row.table("torque_free_elliptic"), row.table("torque_free_mujoco")
    ends = []
    for line in exact.lines:
        inertia = [line[f"i{a}{a}_kg_m2"] for a in "xyz"]
        rate = [line[f"start_{a}_rad_s"] for a in "xyz"]
        ends.append(spun(inertia, rate, line["time_s"])[-1, RATES])
    history = spun((1.0, 2.0, 2.5), (0.3, 2.0, 0.5), 20.0)
    at = [history[round(t / TICK_S)] for t in engine.column("time_s")]
    rows = []
    for i, axis in enumerate("xyz"):
        column = f"rate_{axis}_rad_s"
        rows.append(exact.worst("free body, elliptic functions", column, [end[i] for end in ends]))
        rows.append(engine.worst("free body, other engine", column, [x[RATES][i] for x in at]))
    for i, part in enumerate("wxyz"):
        rows.append(
            engine.worst("free body, other engine", f"attitude_q{part}", [x[TURN][i] for x in at])
        )
    return rows


def spinning_tops() -> list[row.Row]:
    """Flips about the middle axis, and the precession of a symmetrical body."""
    flips, top = row.table("intermediate_axis_flips"), row.table("symmetric_precession")
    middle = spun((1.0, 2.0, 3.0), (1e-3, 1.0, 1e-3), 75.0)[:, RATES][:, 1]
    before = np.flatnonzero(middle[:-1] * middle[1:] < 0.0)
    part = middle[before] / (middle[before] - middle[before + 1])
    [line] = top.lines
    rates = spun(
        (line["ixx_kg_m2"], line["ixx_kg_m2"], line["izz_kg_m2"]),
        (0.1, 0.0, line["spin_rad_s"]),
        1.0,
    )[:, RATES]
    turned = float(np.unwrap(np.arctan2(rates[:, 1], rates[:, 0]))[-1])
    return [
        flips.worst("turning over about the middle axis", "time_s", TICK_S * (before + part)),
        top.worst("precession of a symmetrical body", "precession_rad_s", [turned]),
    ]


def bifilar() -> list[row.Row]:
    """Moment of inertia from the swing of a body of that inertia on two strings."""
    t = row.table("bifilar")
    [line] = t.lines
    arm = line["half_spacing_m"]
    stiffness = line["mass_kg"] * GRAVITY_M_S2 * arm * arm / line["length_m"]
    inertia = line["inertia_kg_m2"]
    p = body.BodyParams(line["mass_kg"], Vec3(inertia, inertia, inertia), 0.0)
    state = body.BodyState(ZERO, from_angles(0.0, 0.0, radians(2.0)), ZERO, ZERO)
    headings = []
    for _ in range(2000):
        q = state.attitude
        headings.append(2.0 * atan2(q.z, q.w))
        state = body.free_step(
            state, ZERO, Vec3(0.0, 0.0, -stiffness * sin(headings[-1])), 0.0, p, TICK_S
        )
    swing = np.array(headings)
    before = np.flatnonzero(swing[:-1] * swing[1:] < 0.0)[:2]
    part = swing[before] / (swing[before] - swing[before + 1])
    period = 2.0 * TICK_S * float(np.diff(before + part)[0])
    timed = line["duration_s"] / line["cycles"]
    found = inertia * (timed / period) ** 2
    return [t.worst("two-string pendulum", "inertia_kg_m2", [found])]


def level_error() -> list[row.Row]:
    """Side force read under a tilted level reference, and the drift of a hover."""
    t = row.table("tilt_drift")
    side, drift = [], []
    for degree in t.column("tilt_deg"):
        leaning = from_angles(radians(degree), 0.0, 0.0)
        still = to_body(leaning, Vec3(0.0, 0.0, -GRAVITY_M_S2))
        side.append(-sensors.accel_reading(still, ZERO, INSTRUMENTS).y)
        lift = to_world(leaning, Vec3(0.0, 0.0, -GRAVITY_M_S2))
        p = body.BodyParams(1.0, Vec3(0.01, 0.01, 0.02), GRAVITY_M_S2)
        start = body.BodyState(ZERO, leaning, ZERO, ZERO)
        drift.append(body_history(start, lift, ZERO, p, TICK_S, 3000)[-1, 1])
    return [
        t.worst("level reference tilted", "acceleration_m_s2", side),
        t.worst("level reference tilted", "drift_in_3_s_m", drift),
    ]


def turns_per_s(speed_rad_s: float) -> float:
    """Return the turns a motor counts in a second at a speed nothing can change."""
    p = motor_params(1000.0, 0.1, 0.0, 1e12)
    state = motor.MotorState(speed_rad_s, 0.0, 0.0, 293.0)
    turns = 0
    for _ in range(10000):
        before = state.phase_rad
        state = motor.turned(state, 0.0, 0.0, 0.0, p, 293.0, TICK_S)
        turns += state.phase_rad < before
    return (turns + float(state.phase_rad) / (2.0 * pi)) / 10.0


def sound_and_shake() -> list[row.Row]:
    """Blade passing frequency, and the shaking of an unbalanced propeller."""
    t, shake = row.table("rotor_sound"), row.table("imbalance")
    tones = [
        line["blades"] * turns_per_s(line["rotor_speed_rpm"] * RAD_S_PER_RPM) for line in t.lines
    ]
    [line] = shake.lines
    speed = line["rotor_speed_rpm"] * RAD_S_PER_RPM
    push = sensors.shake_m_s2(speed, 0.0, line["unbalance_kg_m"], line["mass_kg"])
    return [
        t.worst("tone of a propeller", "passing_hz", tones),
        shake.worst("unbalanced propeller", "vibration_m_s2", [push.x]),
        shake.worst("unbalanced propeller", "frequency_hz", [turns_per_s(speed)]),
    ]
