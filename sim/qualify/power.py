"""Motor and pack: voltage, current and lag of a motor, sag and resistance of cells."""

from typing import Any

import numpy as np

from sim.aircraft import library
from sim.kernel import motor, pack
from sim.kernel.tables import Tables
from sim.qualify import row
from sim.qualify.parts import motor_params
from sim.units import RAD_S_PER_RPM


def motor_example() -> list[row.Row]:
    """Voltage and current that turn a known propeller."""
    t = row.table("motor_worked_example")
    points = []
    for line in t.lines:
        p = motor_params(line["kv_rpm_v"], line["resistance_ohm"], line["no_load_a"], 1e-5)
        speed = line["rotor_speed_rpm"] * RAD_S_PER_RPM
        points.append(motor.operating_point(speed, line["torque_n_m"], p))
    return [
        t.worst("motor of the 6x3 run", "motor_v", [volts for volts, _ in points]),
        t.worst("motor of the 6x3 run", "motor_a", [amps for _, amps in points]),
    ]


def motor_lag() -> list[row.Row]:
    """Lag of motor and propeller: the formula, and the stepped motor's 63 % time."""
    t = row.table("motor_time_constant")
    formula, stepped, steady = [], [], []
    for line in t.lines:
        p = motor_params(
            line["kv_rpm_v"], line["resistance_ohm"], line["no_load_a"], line["inertia_kg_m2"]
        )
        drag, speed, volts = line["drag_n_m_s2"], line["rotor_speed_rad_s"], line["supply_v"]
        formula.append(motor.time_constant_s(p, drag, speed))

        def speeds(start: float, volts: float, p: Any = p, drag: float = drag) -> list[float]:
            state, history = motor.MotorState(start, 0.0, 0.0, 293.0), [start]
            for _ in range(8000):
                state = motor.turned(state, 1.0, volts, drag, p, 293.0, 5e-5)
                history.append(state.speed_rad_s)
            return history

        steady.append(speeds(speed, volts)[-1])
        rise = np.array(speeds(steady[-1], 1.001 * volts))
        goal = rise[0] + (rise[-1] - rise[0]) * (1.0 - np.exp(-1.0))
        stepped.append(5e-5 * float(np.interp(goal, rise, np.arange(rise.size))))
    return [
        t.worst("motor lag, formula", "lag_s", formula),
        t.worst("motor lag, stepped", "lag_s", stepped),
        t.worst("motor steady speed", "rotor_speed_rad_s", steady),
    ]


def pack_params(line: dict[str, Any], cells: float = 1.0) -> pack.PackParams:
    """Return a pack without leads whose charge does not run down."""
    return pack.PackParams(
        cells=cells, capacity_c=1e12, r0_ohm=line["r0_ohm"], r1_ohm=line["r1_ohm"],
        tau1_s=line["tau1_s"], r2_ohm=line.get("r2_ohm", 0.0), tau2_s=line.get("tau2_s", 1.0),
        weak_capacity_ratio=1.0, weak_resistance_ratio=1.0, lead_ohm=0.0, avionics_a=0.0,
        sag_limit_v=0.0, reset_s=0.0,
    )  # fmt: skip


def sag_mv(line: dict[str, Any], tables: Tables) -> float:
    """Return the drop of one cell at a time after a current step."""
    p = pack_params(line)
    state = pack.PackState(0.5, 0.5, 0.0, 0.0, 0.0)
    open_v = pack.terminal_v(state, tables, p)
    steps = max(1, round(line["time_s"] / 0.1))
    for _ in range(steps):
        state = pack.drawn(state, line["current_a"], p, line["time_s"] / steps)
    return 1000.0 * float(open_v - pack.terminal_v(state, tables, p))


def pack_rows() -> list[row.Row]:
    """Sag after a current step, resistance against temperature, and a worked resistance."""
    exact, other = row.table("pack_sag"), row.table("pack_sag_library")
    warm, example = row.table("pack_resistance_temperature"), row.table("pack_resistance_example")
    rest, tables = row.table("pack_ocv"), library.tables("10x4.7")
    [e] = example.lines
    cell = {"r0_ohm": 1e-3 * e["cell_mohm"], "r1_ohm": 0.0, "tau1_s": 1.0}
    p = pack_params(cell, e["cells"])
    light, heavy = (
        pack.terminal_v(pack.PackState(0.5, 0.5, 0.0, 0.0, amps), tables, p)
        for amps in (e["light_a"], e["heavy_a"])
    )
    found_mohm = 1000.0 * (light - heavy) / (e["heavy_a"] - e["light_a"])
    open_v = [
        pack.terminal_v(pack.PackState(soc, soc, 0.0, 0.0, 0.0), tables, pack_params(cell))
        for soc in rest.column("charge_ratio")
    ]
    kelvin = [273.15 + c for c in warm.column("temperature_c")]
    return [
        rest.worst("shipped cell at rest", "cell_v", open_v),
        exact.worst("cell sag, step", "sag_mv", [sag_mv(x, tables) for x in exact.lines]),
        other.worst(
            "cell sag, battery library", "sag_mv", [sag_mv(x, tables) for x in other.lines]
        ),
        warm.worst(
            "resistance by temperature", "resistance_ratio", map(pack.temperature_factor, kelvin)
        ),
        example.worst("four-cell pack from its cells", "pack_mohm", [found_mohm]),
    ]
