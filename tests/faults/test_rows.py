"""Every predicate a hundredth below and a hundredth above its limit, limits written out here.

A row puts one quantity into a sound aircraft. `worse` is the side on which the fault lies: +1 if
too much is wrong, -1 if too little is. Limits that come from a computation are worked out beside
their row from the design's own numbers, not by the functions under test.
"""

from collections.abc import Callable
from math import cos, pi, radians, sin, sqrt
from typing import Any, NamedTuple

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault

GRAVITY = 9.80665  # m/s2, ISO 80000-3
HOVER_N_M = 0.05999  # N m; torque of one shaft in hover: 3.677 N from the propeller's table
HOVER_RAD_S = 489.95  # rad/s; the same
HOVER_A = 12.306  # A; pack current of that hover on a charged pack with 4 mohm in the connector
TORQUE_N_M_A = 60.0 / (2.0 * pi * 890.0)  # N m/A; of the design's 890 rpm/V
LEVEL_UT = 19.553  # uT; horizontal part of the garage's field
REACH_M = 0.150  # m; half the mean way between neighbouring rotors: 0.28 m and 0.32 m
ENTRY: dict[str, Fault] = {fault.id: fault for fault in CATALOGUE.values()}
STEP = 0.01  # 1; own: limits are pinned to a hundredth


class Row(NamedTuple):
    fault: str
    what: str
    limit: float
    worse: int
    put: Any  # (world, quantity) to world


def setting(key: str, of: Any = float) -> Callable[[World, float], World]:
    return lambda world, x: with_value(world, key, of(x))


def changed(world: World, **values: object) -> World:
    for key, value in values.items():
        world = with_value(world, key.replace("__", "."), value)
    return world


def gains(world: World, factor: float, axes: str = "roll pitch", parts: str = "pid") -> World:
    for axis in axes.split():
        for part in parts:
            key = f"setup.controller.{axis}.{part}"
            before = getattr(getattr(world.setup.controller, axis), part)
            world = with_value(world, key, before * factor)
    return world


def stretched(size: float, turn: float) -> tuple[tuple[float, ...], ...]:
    c, s = size * cos(turn), size * sin(turn)
    return ((1.0 + c, s, 0.0), (s, 1.0 - c, 0.0), (0.0, 0.0, 1.0))


def scaled(axis: int) -> Callable[[float], object]:
    def matrix(x: float) -> object:
        lines = np.eye(3)
        lines[axis, axis] = x
        return tuple(tuple(float(v) for v in line) for line in lines)

    return matrix


MOTOR, PROP = "build.rotors.rear_left.motor.", "build.rotors.front_right.propeller."
CONTROL, SENSORS, FRAME, PACK = "setup.controller.", "build.sensors.", "build.frame.", "build.pack."
DIAGONAL = {"forward": (1.0, 0.0), "left": (0.0, -1.0), "askew": (-0.6, 0.8)}
# the fast RC pair of the pack, the slow one, and both resistors matter for the three found so:
# charge left over after 75 s of hover at 12.3 A, 2.2 Ah: 0.97 - 0.116 = 0.854, OCV 4.037 V
WEAK_OHM = 2.483  # 1; resistance of one cell that puts it 0.15 V below its sisters there
WEAK_AH = 0.4446  # 1; capacity of one cell that does
# 12.491 V behind 19.5 mohm, 0.35 A aboard, four windings of 0.115 ohm with 7 % of it in back-EMF
PUNCH_V = (12.4911 - 0.0195 * (0.35 - 4 * 0.07 * 12.4911 / 0.115)) / (1.0 + 0.0195 * 4 / 0.115)

ROWS = [
    # airframe
    *(
        Row("cg-offset", way, 0.025 * REACH_M, 1, setting(FRAME + "cg_offset_m", lambda x, a=a: (a[0] * x, a[1] * x, 0.02)))
        for way, a in DIAGONAL.items()
    ),
    *(
        Row("pack-strap-loose", way, 0.0314 * REACH_M, 1, setting(FRAME + "strap_shift_m", lambda x, a=a: (a[0] * x, a[1] * x, 0.0)))
        for way, a in DIAGONAL.items()
    ),
    Row("arm-joint-loose", "Hz", 60.0, -1, setting(FRAME + "loose_arm_hz")),
    Row("motor-mount-tilted", "deg", 0.8, 1, setting(MOTOR + "axis_lean_deg")),
    Row("motor-mount-tilted", "deg the other way", 0.8, 1, setting(MOTOR + "axis_lean_deg", lambda x: -x)),
    Row("over-mass", "share", 1.06, 1, setting(FRAME + "mass_factor")),
    Row("leg-snag-or-bent", "m, one", 0.004, 1, setting(FRAME + "leg_lift_m", lambda x: (0.0, x, 0.0, 0.0))),
    Row("leg-snag-or-bent", "m, three", 0.004, 1, setting(FRAME + "leg_lift_m", lambda x: (x, x, 0.0, x))),
    # propellers; 0.25 g mm is what the design's balancing leaves; thrust goes with D^4
    Row("prop-nick-imbalance", "g mm", 0.6, 1, setting(PROP + "extra_unbalance_g_mm", lambda x: x - 0.25)),
    Row("prop-hub-slip", "N m", 1.6 * HOVER_N_M, -1, setting(PROP + "slip_n_m")),
    Row("prop-size-mismatch", "larger", 1.06, 1, setting(PROP + "diameter_ratio", lambda x: x**0.25)),
    Row("prop-size-mismatch", "smaller", 1.06, 1, setting(PROP + "diameter_ratio", lambda x: x**-0.25)),
    Row("prop-size-mismatch", "steeper", 1.06, 1, setting(PROP + "pitch_ratio")),
    # motors and drives
    Row("motor-bearing-rough", "N m", 0.58 * 0.5 * TORQUE_N_M_A, 1, setting(MOTOR + "friction_n_m")),
    Row("motor-shaft-bent", "g mm", 0.15, 1, setting(MOTOR + "bell_unbalance_g_mm")),
    Row("phase-joint-bad", "1/s", 0.02, 1, lambda w, x: changed(w, build__rotors__rear_left__motor__gap_s=0.1, build__rotors__rear_left__motor__gap_rate_per_s=x)),
    # a share x of shorted turns takes x Kt w/R beside the 0.5 A, at 500 rad/s
    Row("motor-weak-or-shorted", "no-load current", 1.3, 1, setting(MOTOR + "shorted_share", lambda x: (x - 1.0) * 0.5 * 0.115 / (TORQUE_N_M_A * 500.0))),
    Row("motor-weak-or-shorted", "torque", 1.08, 1, setting(MOTOR + "strength", lambda x: 1.0 / x)),
    Row("throttle-ends-unmatched", "start", 0.015, 1, setting(MOTOR + "start_extra")),
    Row("throttle-ends-unmatched", "stronger", 1.04, 1, setting(MOTOR + "gain")),
    Row("throttle-ends-unmatched", "weaker", 1.04, 1, setting(MOTOR + "gain", lambda x: 1.0 / x)),
    Row("idle-too-low", "idle", 0.045, -1, setting(CONTROL + "idle")),  # 0.040 starts, 0.005 room
    Row("idle-too-low", "start", 0.065, 1, setting(MOTOR + "start_extra", lambda x: x - 0.04)),
    # thrust with command squared: a fifth of the weight at sqrt(0.2) of the hover's 0.4967
    Row("idle-too-high", "idle", 0.4967 * sqrt(0.20), 1, setting(CONTROL + "idle")),
    Row("drive-desync", "chance", 0.02, 1, setting(MOTOR + "desync_chance")),
    # (Q / Kt + 0.5 A)^2 0.115 ohm heats 6 K/W over 18 degC; it must stay below 95 - 5 degC
    Row("drive-thermal-limit", "cooling", (HOVER_N_M / TORQUE_N_M_A + 0.5) ** 2 * 0.115 * 6.0 / 72.0, -1, setting(MOTOR + "cooling_factor")),
    # bearing friction is a load too
    Row("drive-thermal-limit", "cooling, rough", ((HOVER_N_M + 0.02) / TORQUE_N_M_A + 0.5) ** 2 * 0.115 * 6.0 / 72.0, -1, lambda w, x: changed(w, build__rotors__rear_left__motor__friction_n_m=0.02, build__rotors__rear_left__motor__cooling_factor=x)),
    Row("signal-ground-missing", "share", 0.01, 1, setting(MOTOR + "command_noise")),
    # pack; open-circuit table: 3.987 V at 0.8, 4.079 V at 0.9, 4.200 V at 1.0
    Row("pack-undercharged", "rest V", 4.0, -1, setting(PACK + "charge", lambda x: 0.8 + 0.1 * (x - 3.987) / (4.079 - 3.987))),
    Row("pack-cell-weak", "V at rest", 0.05, 1, setting(PACK + "weak_charge_gap", lambda x: 0.1 * x / (4.200 - 4.079))),
    Row("pack-cell-weak", "ohm under load", WEAK_OHM, 1, setting(PACK + "weak_resistance_ratio")),
    Row("pack-cell-weak", "Ah under load", WEAK_AH, -1, setting(PACK + "weak_capacity_ratio")),
    Row("pack-high-resistance", "ohm", 1.5, 1, setting(PACK + "resistance_factor")),
    Row("connector-high-resistance", "V", 0.050, 1, setting("build.leads.connector_ohm", lambda x: x / HOVER_A)),
    Row("regulator-brownout", "V", PUNCH_V, 1, setting("build.leads.regulator_extra_v", lambda x: x - 5.3)),
    Row("voltage-scale-wrong", "high", 1.02, 1, setting(SENSORS + "volt_scale")),
    Row("voltage-scale-wrong", "low", 0.98, -1, setting(SENSORS + "volt_scale")),
    Row("voltage-scale-wrong", "set", 1.02, 1, lambda w, x: changed(w, build__sensors__volt_scale=0.9, setup__controller__volt_scale=x / 0.9)),
    Row("low-volt-alarm-unset", "low", 3.4, -1, setting(CONTROL + "low_cell_alarm_v")),
    Row("low-volt-alarm-unset", "high", 3.75, 1, setting(CONTROL + "low_cell_alarm_v")),
    Row("low-volt-alarm-unset", "counts four", 3.75, 1, lambda w, x: changed(w, setup__controller__alarm_cells=4, setup__controller__low_cell_alarm_v=x * 3.0 / 4.0)),
    # radio
    *(
        Row("stick-ends-short", f"{c} us", 20.0, 1, setting(f"setup.transmitter.{c}.high_us", lambda x: 2000.0 - x))
        for c in ("roll", "pitch", "throttle", "yaw")
    ),
    Row("stick-ends-short", "long, us", 20.0, 1, setting("setup.transmitter.yaw.low_us", lambda x: 1000.0 - x)),
    *(
        Row("stick-centre-off", f"{c} trim, us", 20.0, 1, setting(f"setup.transmitter.{c}.trim_us", lambda x, side=side: side * x))
        for c, side in (("roll", 1.0), ("pitch", -1.0), ("yaw", 1.0))
    ),
    Row("stick-centre-off", "centre, us", 20.0, 1, setting("setup.transmitter.yaw.centre_us", lambda x: 1500.0 - x)),
    Row("transmitter-pack-low", "V", 7.0, -1, setting("build.radio.transmitter_pack_v")),
    Row("failsafe-holds-last", "ms", 1500.0, 1, setting("airframe.link.timeout_ms")),  # 2 s less 0.5 to run down
    Row("aerial-damaged", "on the walk", 0.15, 1, setting("build.radio.loss_at_range")),
    Row("aerial-damaged", "beside it", 0.05, 1, setting("build.radio.loss_near")),
    Row("stick-rates-wild", "deg/s", 350.0, 1, setting(CONTROL + "rate_limit_deg_s")),
    Row("stick-rates-wild", "yaw deg/s", 180.0, 1, setting(CONTROL + "yaw_rate_limit_deg_s")),
    # sensing; iron across the needle of size B sin(error), a stretch s turns it by asin(s)
    Row("mag-hard-iron-offset", "deg", 5.0, 1, setting(SENSORS + "mag_hard_iron_ut", lambda x: (LEVEL_UT * sin(radians(x)), 0.0, 9.0))),
    Row("mag-soft-iron", "deg", 5.0, 1, setting(SENSORS + "mag_soft_iron", lambda x: stretched(sin(radians(x)), 1.0))),
    Row("mag-mount-rotated", "deg", 5.0, 1, setting(SENSORS + "compass_turn_deg")),
    Row("mag-mount-rotated", "deg left, told otherwise", 5.0, 1, setting(CONTROL + "compass_turn_deg")),
    # the sheet's 12.2 A
    *(
        Row("mag-current-coupling", way, 5.0, 1, setting(SENSORS + "mag_per_amp_ut_a", lambda x, a=a: (*(LEVEL_UT * sin(radians(x)) / 12.2 * k for k in a), 0.5)))
        for way, a in DIAGONAL.items()
    ),
    Row("board-rotation-untold", "deg", 5.0, 1, setting(SENSORS + "board_turn_deg")),
    Row("board-rotation-untold", "deg told", 5.0, 1, setting(CONTROL + "board_turn_deg", lambda x: -x)),
    Row("level-trim-off", "roll deg", 1.0, 1, setting("setup.level_trim_roll_deg", lambda x: -x)),
    Row("level-trim-off", "pitch deg", 1.0, 1, setting("setup.level_trim_pitch_deg")),
    Row("level-trim-off", "bias forward", 1.0, 1, setting(SENSORS + "accel_bias_m_s2", lambda x: (GRAVITY * np.tan(radians(x)), 0.0, 0.0))),
    # a force to the left is what leaning right feels like; a trim of as much takes it back
    Row("level-trim-off", "bias less trim", 1.0, 1, lambda w, x: changed(w, build__sensors__accel_bias_m_s2=(0.0, -GRAVITY * np.tan(radians(3.0 + x)), 0.0), setup__level_trim_roll_deg=3.0)),
    Row("level-trim-off", "bias sideways", 1.0, 1, setting(SENSORS + "accel_bias_m_s2", lambda x: (0.0, -GRAVITY * np.tan(radians(x)), 0.0))),
    *(
        Row("accel-cal-bad", f"axis {i} scale", 0.02, 1, setting(SENSORS + "accel_matrix", lambda x, i=i: scaled(i)(1.0 - x)))
        for i in range(3)
    ),
    Row("accel-cal-bad", "bias", 0.02, 1, setting(SENSORS + "accel_bias_m_s2", lambda x: (0.0, 0.0, GRAVITY * x))),
    Row("accel-cal-bad", "calibration", 0.02, 1, setting("setup.accelerometer.matrix", lambda x: scaled(1)(1.0 + x))),
    Row("gyro-bias-moved", "deg/s", 0.5, 1, setting(SENSORS + "gyro_moved_deg_s", lambda x: (0.6 * x, 0.0, -0.8 * x))),
    Row("gyro-warmup-drift", "deg/s", 0.5, 1, setting(SENSORS + "gyro_warm_deg_s", lambda x: (0.0, -0.6 * x, 0.8 * x))),
    # false height = |wash| times weight
    Row("baro-uncovered", "m", 0.3, 1, setting("airframe.instruments.baro_wash_m_n", lambda x: -x / (1.5 * GRAVITY))),
    Row("sensor-mount-loose", "Hz", 40.0, -1, setting(SENSORS + "loose_mount_hz")),
    # four propellers, 0.25 g mm each, shake 1.5 kg
    Row("sensor-mount-stiff", "m/s2", 0.4, 1, setting(SENSORS + "shake_gain", lambda x: x * 1.5 / (4.0 * 0.25e-6 * HOVER_RAD_S**2))),
    # control
    Row("rate-gain-low", "share", 0.5, -1, lambda w, x: gains(w, x)),
    Row("damping-gain-high", "roll share", 1.8, 1, lambda w, x: gains(w, x, "roll", "d")),
    Row("damping-gain-high", "pitch share", 1.8, 1, lambda w, x: gains(w, x, "pitch", "d")),
    Row("damping-gain-high", "over the rest", 1.5, 1, lambda w, x: gains(gains(w, 1.3, parts="pi"), 1.3 * x, parts="d")),
    # 2 deg of floor times 5 /s of attitude gain, integrated for 20 s
    *(
        Row("integral-windup-on-pad", axis, 0.05, 1, lambda w, x, axis=axis: changed(gains(w, 0.1, parts="i"), setup__controller__integral_from_throttle=0.0, **{f"setup__controller__{axis}__i": x / (radians(2.0) * 5.0 * 20.0)}))
        for axis in ("roll", "pitch")
    ),
    Row("integral-windup-on-pad", "throttle", 0.05, -1, lambda w, x: changed(w, setup__controller__integral_from_throttle=x)),
    Row("integral-windup-on-pad", "limit", 0.05, 1, lambda w, x: changed(w, setup__controller__integral_from_throttle=0.0, setup__controller__integral_limit=x)),
    Row("axis-gains-unequal", "pitch more", 1.45, 1, lambda w, x: gains(w, x, "pitch")),
    Row("axis-gains-unequal", "roll more", 1.45, 1, lambda w, x: gains(w, x, "roll")),
    # two poles at 60 Hz are 5.31 ms, half of one at 40 Hz is 1.99 ms; 5 ms more
    Row("filter-cutoff-wrong", "gyro late, s", 0.005, 1, setting(CONTROL + "gyro_cutoff_hz", lambda x: 1.0 / (pi * (x + 1.0 / (pi * 60.0))))),
    Row("filter-cutoff-wrong", "damping late, s", 0.005, 1, setting(CONTROL + "damping_cutoff_hz", lambda x: 0.25 / (pi * (x + 0.25 / (pi * 40.0))))),
    Row("filter-cutoff-wrong", "gyro open, Hz", 121.8, 1, setting(CONTROL + "gyro_cutoff_hz")),
    Row("filter-cutoff-wrong", "damping open, Hz", 238.0, 1, setting(CONTROL + "damping_cutoff_hz")),
    Row("tilt-limit-wild", "deg", 30.0, 1, setting(CONTROL + "tilt_limit_deg")),
    # the sheet hovers at 0.487
    Row("hover-throttle-mismatch", "low stick", 0.74 * 0.487, -1, setting(CONTROL + "throttle_gain", lambda x: 0.487 / x)),
    Row("hover-throttle-mismatch", "high stick", 1.26 * 0.487, 1, setting(CONTROL + "throttle_gain", lambda x: 0.487 / x)),
    # site
    *(
        Row("ceiling-or-wall-close", side, 1.5, -1, setting(f"site.room.{side}_m", lambda x, sign=sign: sign * x))
        for side, sign in (("north", 1.0), ("south", -1.0), ("east", 1.0), ("west", -1.0))
    ),
    *(
        Row("ceiling-or-wall-close", f"{side}, pad moved", 1.5, -1, lambda w, x, side=side, sign=sign, axis=axis: changed(w, **{f"site__places__pad__{axis}_m": 0.7, f"site__room__{side}_m": 0.7 + sign * x}))
        for side, axis, sign in (("north", "north", 1.0), ("south", "north", -1.0), ("east", "east", 1.0), ("west", "east", -1.0))
    ),
    Row("ceiling-or-wall-close", "ceiling", 2.2, -1, setting("site.room.ceiling_m")),
    Row("draught-from-door", "m/s", 0.3, 1, lambda w, x: changed(w, site__wind_north_m_s=-0.6 * x, site__wind_east_m_s=0.8 * x)),
    Row("draught-from-door", "gust m/s", 0.2, 1, setting("site.gust_m_s")),
    Row("floor-steel", "plates", 0.10749, 1, setting("site.pad_steel")),
    Row("pack-cold", "degC", 15.0, -1, setting(PACK + "temperature_degc")),
    # conduct
    Row("no-abort-plan", "s", 0.3, 1, setting("conduct.abort_late_s")),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.fault}: {row.what}")
def test_a_hundredth_decides(world, truth, row):
    present = CATALOGUE[row.fault].present
    below, above = (
        present(truth(row.put(world, row.limit * (1.0 + side * STEP)))) for side in (-1, 1)
    )
    assert (below, above) == ((False, True) if row.worse > 0 else (True, False))


YES_NO: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    # fault: (changes that make it, changes beside it that do not)
    "arm-joint-loose": ({}, {FRAME + "loose_arm_hz": 0.0}),
    "cg-offset": ({}, {FRAME + "cg_offset_m": (0.0, 0.0, 0.05)}),
    "leg-snag-or-bent": ({}, {FRAME + "leg_lift_m": (0.01, 0.01, 0.01, 0.01)}),
    "prop-upside-down": ({PROP + "right_way_up": False}, {PROP + "nicked": True}),
    "prop-nick-imbalance": ({PROP + "nicked": True}, {PROP + "right_way_up": False}),
    "wire-in-disc": ({MOTOR + "wire_in_disc": True}, {MOTOR + "gap_s": 0.2}),
    "phase-joint-bad": (
        {MOTOR + "gap_s": 0.001, MOTOR + "gap_rate_per_s": 1.0},
        {MOTOR + "gap_s": 0.0, MOTOR + "gap_rate_per_s": 1.0},
    ),
    "motor-spin-reversed": ({MOTOR + "spin_right": False}, {PROP + "right_hand": False}),
    "prop-wrong-hand": ({PROP + "right_hand": False}, {MOTOR + "spin_right": False}),
    "pack-cell-count-wrong": ({PACK + "cells": 4}, {PACK + "cells": 3}),
    "pack-swollen-or-dented": ({PACK + "swollen": True}, {PACK + "resistance_factor": 2.0}),
    "lead-polarity-reversed": ({"build.leads.polarity_right": False}, {"build.leads.connector_ohm": 0.1}),
    "regulator-brownout": (
        {"build.leads.regulator_extra_v": 6.0},
        {PACK + "resistance_factor": 8.0},  # so far down that the design's regulator lets go
    ),
    "low-volt-alarm-unset": ({CONTROL + "alarm_cells": 2}, {CONTROL + "low_cell_alarm_v": 3.6}),
    "channel-order-mixed": (
        {"setup.transmitter.order": ("pitch", "roll", "throttle", "yaw")},
        {"setup.transmitter.roll.direction": -1},
    ),
    "model-memory-wrong": ({"setup.transmitter.memory": "glider"}, {"setup.transmitter.roll.trim_us": 90.0}),
    "failsafe-holds-last": ({CONTROL + "failsafe": "hold"}, {CONTROL + "stop_switch": False}),
    "arm-lock-absent": ({CONTROL + "arming_rules": False}, {CONTROL + "stop_switch": False}),
    "stop-switch-unset": ({CONTROL + "stop_switch": False}, {CONTROL + "arming_rules": False}),
    "mode-switch-swapped": (
        {"setup.transmitter.mode_switch_right": False},
        {"conduct.self_level": False},
    ),
    "stick-centre-off": (
        {"setup.transmitter.pitch.trim_us": 60.0},
        {"setup.transmitter.throttle.trim_us": 60.0},  # the throttle has no centre
    ),
    "board-rotation-untold": (
        {SENSORS + "board_upside_down": True},
        {SENSORS + "board_upside_down": True, CONTROL + "board_upside_down": True},
    ),
    "mag-hard-iron-offset": ({SENSORS + "mag_hard_iron_ut": (9.0, 0.0, 0.0)}, {SENSORS + "compass_turn_deg": 90.0}),
    "mag-mount-rotated": (
        {SENSORS + "compass_turn_deg": -90.0},
        {SENSORS + "compass_turn_deg": 90.0, CONTROL + "compass_turn_deg": 90.0},
    ),
    "mag-soft-iron": (
        {SENSORS + "mag_soft_iron": stretched(0.15, 2.0)},
        {SENSORS + "mag_hard_iron_ut": (0.0, 5.0, 0.0)},
    ),
    "mag-current-coupling": (
        {SENSORS + "mag_per_amp_ut_a": (30.0, 0.0, 0.0)},  # more than the earth's field
        {SENSORS + "mag_per_amp_ut_a": (0.0, 0.0, 1.0)},  # along the vertical it turns nothing
    ),
    "sensor-mount-loose": ({SENSORS + "loose_mount_hz": 1.0}, {SENSORS + "loose_mount_hz": 0.0}),
    "baro-uncovered": ({SENSORS + "baro_uncovered": True}, {}),
    "loop-sign-reversed": ({CONTROL + "roll_sense": -1}, {CONTROL + "yaw_sense": -1}),
    "yaw-mix-sign-wrong": ({CONTROL + "yaw_sense": -1}, {CONTROL + "pitch_sense": -1}),
    "mixer-geometry-wrong": ({CONTROL + "layout": "plus"}, {CONTROL + "pitch_sense": -1}),
    "rate-gain-low": (
        {CONTROL + "roll.p": 0.02, CONTROL + "pitch.p": 0.02},
        {CONTROL + "roll.p": 0.02},
    ),
    "integral-windup-on-pad": (
        {CONTROL + "integral_from_throttle": 0.0},
        {CONTROL + "integral_from_throttle": 0.0, CONTROL + "integral_limit": 0.0},
    ),
    "axis-gains-unequal": (
        {CONTROL + "pitch.p": 0.2},
        {CONTROL + "roll.p": 0.0, CONTROL + "pitch.p": 0.0},
    ),
    "position-hold-indoors": ({CONTROL + "position_hold": True}, {CONTROL + "heading_hold": False}),
    "motor-weak-or-shorted": (
        {MOTOR + "strength": 0.8},
        {f"build.rotors.{p}.motor.shorted_share": 0.05 for p in ("front_left", "front_right", "rear_right", "rear_left")},
    ),
    "drive-thermal-limit": (
        {MOTOR + "cooling_factor": 0.2},
        {FRAME + "mass_factor": 4.0},  # hot by its load alone: that is another fault
    ),
    "motor-order-swapped": (
        {"build.rotors.front_left.output": "rear_left", "build.rotors.rear_left.output": "front_left"},
        {MOTOR + "spin_right": False},
    ),
    "loose-debris": ({"conduct.loose_pieces": 1}, {"conduct.loose_pieces": 0}),
    "nose-lost": ({"conduct.nose_marked": False}, {"conduct.helper_here": False}),
    "person-in-ring": (
        {"conduct.strays": 1, "conduct.pack_plugged": False},
        {"conduct.helper_here": False, "conduct.pack_plugged": False},
    ),
    "no-eye-protection": ({"conduct.others_ungoggled": 1}, {"conduct.goggles_on": False}),
    "hand-in-disc-armed": ({"conduct.reaches_per_min": 0.01}, {"conduct.rings_per_min": 1.0}),
    "no-spotter": ({"conduct.helper_here": False}, {"conduct.spotter_present": False}),
    "pack-charged-unattended": ({"conduct.charge_watched": False}, {"conduct.nose_marked": False}),
    "card-interrupted": ({"conduct.rings_per_min": 0.01}, {"conduct.repairs_untried": 1}),
    "repair-not-reverified": ({"conduct.repairs_untried": 1}, {"conduct.rings_per_min": 1.0}),
    "props-on-at-bench": (
        {"conduct.place": "bench", "conduct.hold": "hands"},
        {"conduct.place": "bench", "conduct.hold": "clamp"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", YES_NO)
def test_a_thing_is_so_or_not(world, truth, fault):
    makes, spares = YES_NO[fault]
    present = CATALOGUE[fault].present
    for changes, there in ((makes, True), (spares, False)):
        if changes:
            made = world
            for key, value in changes.items():
                made = with_value(made, key, value)
            assert bool(present(truth(made))) is there


def test_one_of_a_kind_of_yes_or_no_is_enough(world, truth):
    """Each channel, axis and clause of the compound predicates by itself."""
    for fault, key, value in (
        ("person-in-ring", "conduct.person_in_ring", True),
        ("loop-sign-reversed", CONTROL + "pitch_sense", -1),
        ("pack-cell-count-wrong", PACK + "cells", 2),
        *(
            (f"{c}-channel-reversed", key, -1)
            for c in ("roll", "pitch", "throttle", "yaw")
            for key in (f"setup.transmitter.{c}.direction", f"setup.inputs.{c}")
        ),
    ):
        assert ENTRY[fault].present(truth(with_value(world, key, value))), key
        other = CATALOGUE["pitch-channel-reversed"]
        assert other.present(truth(with_value(world, key, value))) is (fault == other.id)


def test_live_propellers_are_safe_in_the_clamp_and_on_the_pad_alone(world):
    """The rest of a truth does not matter here; whoever only has power or only blades is safe."""

    class Of:
        def __init__(self, changes):
            self.world = changed(world, **{f"conduct__{k}": v for k, v in changes.items()})

    def there(fault, **changes):
        return CATALOGUE[fault].present(Of(changes))  # type: ignore[arg-type]

    loose = "props-on-at-bench"
    assert there(loose, place="bench", hold="hands")
    assert there(loose, place="bench", hold="standing")
    assert there(loose, place="pad", hold="hands")
    assert not there(loose, place="pad", hold="standing")
    assert not there(loose, place="open_floor", hold="clamp")
    assert not there(loose, place="bench", hold="hands", props_fitted=False)
    assert not there(loose, place="bench", hold="hands", pack_plugged=False)
    assert there("person-in-ring", person_in_ring=True, props_fitted=False)
    assert not there("person-in-ring", person_in_ring=False)
    assert there("person-in-ring", strays=2, props_fitted=False)


def test_another_memory_is_the_only_fault_of_a_whole_other_map(world, truth):
    t = truth(with_value(world, "setup.transmitter.memory", "glider"))
    there = {name for name, fault in CATALOGUE.items() if fault.present(t)}
    assert there == {"model-memory-wrong"}


@pytest.mark.parametrize(("iron", "soft", "fault"), [(4.5, 2.0, "iron"), (2.0, 4.5, "soft")])
def test_of_two_small_distortions_the_larger_is_named(world, truth, iron, soft, fault):
    """Together they turn the needle by more than five degrees, alone neither does."""
    names = {"iron": "mag-hard-iron-offset", "soft": "mag-soft-iron"}
    # along the axis a stretch of 1 + s also enlarges iron, so it is put in before: A (f + b)
    made = with_value(world, SENSORS + "mag_soft_iron", stretched(sin(radians(soft)), 0.0))
    made = with_value(made, SENSORS + "mag_hard_iron_ut", (0.0, LEVEL_UT * sin(radians(iron)), 0.0))
    t = truth(made)
    assert {n for n in names.values() if ENTRY[n].present(t)} == {names[fault]}


def test_rows_are_there_for_every_fault():
    in_other_tests = {"rate-gain-high"}  # tests/faults/test_limits.py: 6 dB and 45 degrees
    by_channel = {f"{c}-channel-reversed" for c in ("roll", "pitch", "throttle", "yaw")}
    assert set(CATALOGUE) == {r.fault for r in ROWS} | set(YES_NO) | by_channel | in_other_tests
