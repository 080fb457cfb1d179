"""Motor and pack: run-up, operating point and lag of a motor; voltage, sag and charge of cells."""

from typing import Any

import numpy as np

from sim.aircraft import library
from sim.kernel import linear, motor, pack
from sim.kernel.clock import TICK_S
from sim.kernel.tables import Tables
from sim.qualify import row
from sim.qualify.parts import ROOM_TEMPERATURE_K, SEA_LEVEL_KG_M3, motor_params, trainer
from sim.units import C_PER_AH, KELVIN_AT_0_DEGC, RAD_S_PER_RPM

FINE_S = 5e-5  # s; own: a twentieth of the tick, to tell the equation from the step
LONG_S = 2.0  # s; own: fifty time constants of any motor here


def spun_up(p: motor.MotorParams, volts: float, drag: float, times_s: Any, dt_s: float) -> Any:
    """Return the motor states at rising times after full command from standstill."""
    state, states, steps = motor.MotorState(0.0, 0.0, 0.0, ROOM_TEMPERATURE_K), [], 0
    for time_s in times_s:
        while steps < round(time_s / dt_s):
            state = motor.turned(state, 1.0, volts, drag, p, ROOM_TEMPERATURE_K, dt_s)
            steps += 1
        states.append(state)
    return states


def motor_of(line: dict[str, Any]) -> motor.MotorParams:
    """Return the motor a line of a table describes."""
    return motor_params(
        line["kv_rpm_v"], line["resistance_ohm"], line["no_load_a"], line["inertia_kg_m2"]
    )


def motor_example() -> list[row.Row]:
    """Compare a printed point of a motor: by the loop analysis, and by running it up."""
    t, free = row.table("motor_worked_example"), row.table("motor_no_load")
    points, run_up = [], []
    for line in t.lines:
        p = motor_params(line["kv_rpm_v"], line["resistance_ohm"], line["no_load_a"], 1e-5)
        speed = line["rotor_speed_rpm"] * RAD_S_PER_RPM
        points.append(motor.operating_point(speed, line["torque_n_m"], p))
        drag = line["torque_n_m"] / speed**2
        [end] = spun_up(p, line["motor_v"], drag, [LONG_S], TICK_S)
        run_up.append((end.speed_rad_s / RAD_S_PER_RPM, end.current_a))
    [idle] = free.lines
    p = motor_params(idle["kv_rpm_v"], 0.05, 0.0, 1e-6)
    [end] = spun_up(p, idle["supply_v"], 0.0, [LONG_S], TICK_S)
    return [
        t.worst("motor of the 6x3 run", "motor_v", [volts for volts, _ in points]),
        t.worst("motor of the 6x3 run", "motor_a", [amps for _, amps in points]),
        t.worst("motor of the 6x3 run, run up", "rotor_speed_rpm", [speed for speed, _ in run_up]),
        t.worst("motor of the 6x3 run, run up", "motor_a", [amps for _, amps in run_up]),
        free.worst("motor without load", "rotor_speed_rpm", [end.speed_rad_s / RAD_S_PER_RPM]),
    ]


def motor_run_up() -> list[row.Row]:
    """Run-up of a motor with its propeller in fine steps and in ticks; its lag in hover."""
    t, lag, ticks = (
        row.table("motor_run_up"),
        row.table("motor_lag"),
        row.table("motor_run_up_ticks"),
    )
    found = []
    for step_s in (FINE_S, TICK_S):
        speeds = []
        for first in range(0, len(t.lines), 5):
            lines = t.lines[first : first + 5]
            times = [line["time_s"] for line in lines]
            p = motor_of(lines[0])
            ends = spun_up(p, lines[0]["supply_v"], lines[0]["drag_n_m_s2"], times, step_s)
            speeds += [end.speed_rad_s for end in ends]
        found.append(speeds)
    return [
        t.worst("motor run up, fine steps", "rotor_speed_rad_s", found[0]),
        ticks.worst("motor run up, ticks", "rotor_speed_rad_s", found[1]),
        lag.worst("motor lag of the loop analysis", "lag_ms", [lag_ms(x) for x in lag.lines]),
    ]


def lag_ms(line: dict[str, Any]) -> float:
    """Return the lag the loop analysis gives a motor whose propeller has constant coefficients."""
    craft, tables = trainer(), library.tables("10x4.7")
    power = line["drag_n_m_s2"] * (2.0 * np.pi) ** 3 / (SEA_LEVEL_KG_M3 * craft.diameter_m**5)
    flat = tables._replace(power_coefficient=np.full(tables.power_coefficient.size, power))
    place = craft.rotors[0]._replace(motor=motor_of(line))
    craft = craft._replace(
        rotors=(place, place, place, place),
        air=craft.air._replace(density_kg_m3=SEA_LEVEL_KG_M3),
    )
    speed = line["rotor_speed_rad_s"]
    trim = linear.Trim(speed, 1.0, line["drag_n_m_s2"] * speed**2, 0.5, line["supply_v"], 1.0)
    return 1000.0 * linear.axis_plant(craft, flat, trim, 0.1).lag_s


def pack_params(line: dict[str, Any], capacity_c: float = 1e12) -> pack.PackParams:
    """Return a pack of one cell without leads; unless told, its charge does not run down."""
    return pack.PackParams(
        cells=1.0, capacity_c=capacity_c, r0_ohm=line["r0_ohm"], r1_ohm=line["r1_ohm"],
        tau1_s=line["tau1_s"], r2_ohm=line.get("r2_ohm", 0.0), tau2_s=line.get("tau2_s", 1.0),
        weak_capacity_ratio=1.0, weak_resistance_ratio=1.0, lead_ohm=0.0, avionics_a=0.0,
        sag_limit_v=0.0, reset_s=0.0,
    )  # fmt: skip


PLAIN = {"r0_ohm": 1e-3, "r1_ohm": 0.0, "tau1_s": 1.0}  # ohm, ohm, s; own: any cell


def sag_mv(line: dict[str, Any], tables: Tables) -> float:
    """Return the drop of one cell at a time after a current step."""
    p = pack_params(line)
    state = pack.PackState(0.5, 0.5, 0.0, 0.0, 0.0)
    open_v = pack.terminal_v(state, tables, p)
    steps = max(1, round(line["time_s"] / 0.1))
    for _ in range(steps):
        state = pack.drawn(state, line["current_a"], p, line["time_s"] / steps)
    return 1000.0 * float(open_v - pack.terminal_v(state, tables, p))


def rest_v(charge: float, tables: Tables) -> float:
    """Return the voltage of one cell at rest."""
    state = pack.PackState(charge, charge, 0.0, 0.0, 0.0)
    return float(pack.terminal_v(state, tables, pack_params(PLAIN)))


def pack_rows() -> list[row.Row]:
    """Voltage at rest, sag after a current step, charge drawn, resistance by temperature."""
    exact, other = row.table("pack_sag"), row.table("pack_sag_library")
    warm, drawn = row.table("pack_resistance_temperature"), row.table("charge_drawn")
    between, full = row.table("cell_between"), row.table("cell_full")
    tables = library.tables("10x4.7")
    kelvin = [KELVIN_AT_0_DEGC + c for c in warm.column("temperature_c")]
    left = []
    for line in drawn.lines:
        state = pack.PackState(line["start_ratio"], line["start_ratio"], 0.0, 0.0, 0.0)
        p = pack_params(PLAIN, line["capacity_ah"] * C_PER_AH)
        for _ in range(round(line["time_s"])):
            state = pack.drawn(state, line["current_a"], p, 1.0)
        left.append(state.charge)

    def at_rest(t: row.Table) -> list[float]:
        return [rest_v(charge, tables) for charge in t.column("charge_ratio")]

    return [
        full.worst("full cell", "cell_v", at_rest(full)),
        between.worst("shipped cell between its table's points", "cell_v", at_rest(between)),
        exact.worst("cell sag, formula", "sag_mv", [sag_mv(x, tables) for x in exact.lines]),
        other.worst("cell sag, library", "sag_mv", [sag_mv(x, tables) for x in other.lines]),
        drawn.worst("charge left", "charge_ratio", left),
        warm.worst(
            "resistance by temperature", "resistance_ratio", map(pack.temperature_factor, kelvin)
        ),
    ]
