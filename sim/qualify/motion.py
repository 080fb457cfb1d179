"""Motion of a body: free, pushed, on strings, carrying spinning rotors; turns of axes."""

from collections.abc import Sequence
from math import ceil, degrees, nan, pi, radians
from typing import Any

import numpy as np
from numba import njit

from sim.kernel import body, motor, sensors
from sim.kernel.clock import TICK_S
from sim.kernel.frames import (
    UPRIGHT,
    ZERO,
    Mat3,
    Quat,
    Vec3,
    add,
    add_scaled,
    cross,
    from_angles,
    norm,
    subtract,
    to_angles,
    to_body,
    to_world,
    turned_by,
)  # fmt: skip
from sim.kernel.jit import compiled
from sim.qualify import row
from sim.qualify.parts import GRAVITY_M_S2, INSTRUMENTS, ROOM_TEMPERATURE_K, motor_params
from sim.units import RAD_S_PER_RPM

RATES = ("rate_x_rad_s", "rate_y_rad_s", "rate_z_rad_s")
ATTITUDE = ("attitude_qw", "attitude_qx", "attitude_qy", "attitude_qz")
PLACE = ("north_m", "east_m", "down_m")
VELOCITY = ("velocity_north_m_s", "velocity_east_m_s", "velocity_down_m_s")
FORCE_N, TORQUE_N_M = Vec3(0.4, -0.3, -14.0), Vec3(0.01, -0.02, 0.015)  # N, N m; forced_body
ASKEW_DEG = (4.0, -7.0, 12.0)  # deg; roll, pitch, heading of that table's accelerometer


def _body_history(start: Any, force: Any, torque: Any, p: Any, dt_s: float, steps: int) -> Any:
    out = np.empty((steps + 1, 13))
    state = start
    for i in range(steps + 1):
        if i > 0:
            state = body.free_step(state, force, torque, 0.0, p, dt_s)
        x, v, q, w = state.position_m, state.velocity_m_s, state.attitude, state.rate_rad_s
        out[i] = (x.x, x.y, x.z, v.x, v.y, v.z, w.x, w.y, w.z, q.w, q.x, q.y, q.z)
    return out


body_history = njit(_body_history)
PLACE_AT, VELOCITY_AT, RATES_AT, TURN_AT = slice(0, 3), slice(3, 6), slice(6, 9), slice(9, 13)


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
        ends.append(spun(inertia, rate, line["time_s"])[-1, RATES_AT])
    history = spun((1.0, 2.0, 2.5), (0.3, 2.0, 0.5), 20.0)
    at = [history[round(t / TICK_S)] for t in engine.column("time_s")]
    return [
        exact.worst("free body, elliptic functions", RATES, ends),
        engine.worst("free body, other engine", RATES, [x[RATES_AT] for x in at]),
        engine.worst("free body, other engine's attitude", ATTITUDE, [x[TURN_AT] for x in at]),
    ]


def spinning_tops() -> list[row.Row]:
    """Flips about the middle axis, and the precession of a symmetrical body."""
    flips, top = row.table("intermediate_axis_flips"), row.table("symmetric_precession")
    middle = spun((1.0, 2.0, 3.0), (1e-3, 1.0, 1e-3), 75.0)[:, RATES_AT][:, 1]
    before = np.flatnonzero(middle[:-1] * middle[1:] < 0.0)
    part = middle[before] / (middle[before] - middle[before + 1])
    times = dict(enumerate(TICK_S * (before + part)))
    turned = []
    for line in top.lines:
        moments = (line["ixx_kg_m2"], line["ixx_kg_m2"], line["izz_kg_m2"])
        rates = spun(moments, (0.1, 0.0, line["spin_rad_s"]), 1.0)[:, RATES_AT]
        turned.append(float(np.unwrap(np.arctan2(rates[:, 1], rates[:, 0]))[-1]))
    return [
        flips.worst(
            "turning over about the middle axis",
            "time_s",
            [times.get(i, nan) for i in range(len(flips.lines))],
        ),
        top.worst("precession of a symmetrical body", "precession_rad_s", turned),
    ]


def pushed() -> list[row.Row]:
    """Course of a body under weight, force and torque, and its accelerometer, by another engine."""
    t = row.table("forced_body")
    p = body.BodyParams(1.5, Vec3(0.018, 0.0195, 0.032), GRAVITY_M_S2)
    start = body.BodyState(ZERO, UPRIGHT, Vec3(0.1, 0.2, -0.3), Vec3(0.5, -1.0, 2.0))
    history = body_history(start, FORCE_N, TORQUE_N_M, p, TICK_S, 2000)
    at = [history[round(time / TICK_S)] for time in t.column("time_s")]
    chip = from_angles(*(radians(angle) for angle in ASKEW_DEG))
    columns = (to_body(chip, Vec3(*unit)) for unit in np.eye(3).tolist())
    mounting = Mat3._make(np.array(list(columns)).T.ravel().tolist())
    readings = []
    for x in at:
        felt = to_body(Quat(*x[TURN_AT]), Vec3(*(np.array(FORCE_N) / p.mass_kg)))
        readings.append(sensors.accel_reading(felt, ZERO, INSTRUMENTS._replace(mounting=mounting)))
    accel = ("accel_x_m_s2", "accel_y_m_s2", "accel_z_m_s2")
    return [
        t.worst("pushed body, place", PLACE, [x[PLACE_AT] for x in at]),
        t.worst("pushed body, velocity", VELOCITY, [x[VELOCITY_AT] for x in at]),
        t.worst("pushed body, rate", RATES, [x[RATES_AT] for x in at]),
        t.worst("pushed body, attitude", ATTITUDE, [x[TURN_AT] for x in at]),
        t.worst("pushed body, accelerometer built in askew", accel, readings),
    ]


def turned_axes() -> list[row.Row]:
    """Vectors through heading, pitch and roll, and one more turn, against a library."""
    t, out, back, after = row.table("turned_vectors"), [], [], []
    for line in t.lines:
        q = from_angles(*(radians(line[f"{name}_deg"]) for name in ("roll", "pitch", "heading")))
        out.append(to_world(q, Vec3(1.0, -2.0, 3.0)))
        back.append(to_body(q, Vec3(1.0, -2.0, 3.0)))
        angles = to_angles(turned_by(q, Vec3(0.3, -0.5, 0.9)))
        after.append([degrees(angle) for angle in angles])
    angles_deg = ("after_roll_deg", "after_pitch_deg", "after_heading_deg")
    return [
        t.worst("body axes to world axes", ("world_x_m", "world_y_m", "world_z_m"), out),
        t.worst("world axes to body axes", ("body_x_m", "body_y_m", "body_z_m"), back),
        t.worst("angles after one more turn", angles_deg, after),
    ]


@compiled
def _strings(state: Any, context: Any) -> Any:
    """Return force and torque of two elastic strings tied to a body at +-arm along its right."""
    arm_m, length_m, free_m, stiffness_n_m = context
    force, torque = ZERO, ZERO
    for side in (-1.0, 1.0):
        lever = Vec3(0.0, side * arm_m, 0.0)
        tie = add(state.position_m, to_world(state.attitude, lever))
        away = subtract(Vec3(0.0, side * arm_m, -length_m), tie)
        pull = add_scaled(ZERO, away, stiffness_n_m * (1.0 - free_m / norm(away)))
        force = add(force, pull)
        torque = add(torque, cross(lever, to_body(state.attitude, pull)))
    return force, torque


_hung_step = body.stepper(_strings)


def _hung_turns(start: Any, context: Any, p: Any, dt_s: float, steps: int) -> Any:
    out = np.empty(steps)
    state = start
    for i in range(steps):
        state = _hung_step(state, context, 0.0, p, dt_s)
        out[i] = state.attitude.z
    return out


hung_turns = njit(_hung_turns)
FRAME_POINTS = (  # kg, m forward, m right; the points of string_swing.csv
    *((0.06, x, y) for x in (0.16, -0.16) for y in (0.16, -0.16)),
    *((0.04, x, y) for x in (0.08, -0.08) for y in (0.08, -0.08)),
    (0.3, 0.0, 0.06), (0.3, 0.0, -0.06),
)  # fmt: skip
STRING_STIFF_N_M = 20000.0  # N/m; of the same table
LITTLE_DEG = 4.0  # deg; own: how far somebody turns it who does not say
HALF_TICK_S = 0.0005  # s; own: the strings swing up and down within a few ticks


def swing_s(line: dict[str, float], inertia_z_kg_m2: float) -> float:
    """Return the time of one swing of a body on two strings, mean of two; nan if it stops."""
    arm, length, stiff = line["half_spacing_m"], line["length_m"], STRING_STIFF_N_M
    mass = line["mass_kg"]
    p = body.BodyParams(
        mass, Vec3(0.5 * inertia_z_kg_m2, 0.5 * inertia_z_kg_m2, inertia_z_kg_m2), GRAVITY_M_S2
    )
    turn = radians(line.get("start_deg", LITTLE_DEG))
    rise_m = length - (length**2 - (2.0 * arm * np.sin(0.5 * turn)) ** 2) ** 0.5
    start = body.BodyState(Vec3(0.0, 0.0, -rise_m), from_angles(0.0, 0.0, turn), ZERO, ZERO)
    context = (arm, length, length - 0.5 * mass * GRAVITY_M_S2 / stiff, stiff)
    steps = round(3.0 * 2.5 / HALF_TICK_S)
    half = hung_turns(start, context, p, HALF_TICK_S, steps)
    before = np.flatnonzero(half[:-1] * half[1:] < 0.0)[:5]
    if before.size < 5:
        return nan
    part = half[before] / (half[before] - half[before + 1])
    crossings = (before + part) * HALF_TICK_S
    return float(crossings[4] - crossings[0]) / 2.0


def two_strings() -> list[row.Row]:
    """Swing of a body on two strings: timed by somebody, and by another engine."""
    timed, engine = row.table("bifilar"), row.table("string_swing")
    [line] = timed.lines
    seconds = line["cycles"] * swing_s(line, line["inertia_kg_m2"])
    about_down = sum(m * (x * x + y * y) for m, x, y in FRAME_POINTS)
    swings = [swing_s(x, about_down) for x in engine.lines]
    return [
        timed.worst("two-string pendulum, timed", "duration_s", [seconds]),
        engine.worst("two-string pendulum, frame of points", "swing_s", swings),
    ]


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
    state = motor.MotorState(speed_rad_s, 0.0, 0.0, ROOM_TEMPERATURE_K)
    turns = 0
    for _ in range(10000):
        before = state.phase_rad
        state = motor.turned(state, 0.0, 0.0, 0.0, p, ROOM_TEMPERATURE_K, TICK_S)
        turns += state.phase_rad < before
    return (turns + float(state.phase_rad) / (2.0 * pi)) / 10.0


def sound_and_shake() -> list[row.Row]:
    """Blade passing frequency, and the shaking of an unbalanced propeller."""
    t, shake = row.table("rotor_sound"), row.table("imbalance")
    tones = [
        line["blades"] * turns_per_s(line["rotor_speed_rpm"] * RAD_S_PER_RPM) for line in t.lines
    ]
    speeds = [line["rotor_speed_rpm"] * RAD_S_PER_RPM for line in shake.lines]
    pushes = [
        sensors.shake_m_s2(speed, 0.0, line["unbalance_kg_m"], line["mass_kg"]).x
        for speed, line in zip(speeds, shake.lines, strict=True)
    ]
    return [
        t.worst("tone of a propeller", "passing_hz", tones),
        shake.worst("unbalanced propeller", "vibration_m_s2", pushes),
        shake.worst("unbalanced propeller", "frequency_hz", map(turns_per_s, speeds)),
    ]
