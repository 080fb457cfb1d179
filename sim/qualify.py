"""Objective tests: published values against what the flight model and the bench tools compute.

Every published number is read from a file with a source note beside it, which also states the
tolerance and its reason; every number of ours comes out of a function the simulation itself runs.
"""

import csv
import tomllib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from math import atan2, ceil, degrees, inf, isnan, pi, radians, sin, sqrt
from typing import Any

import numpy as np
from numba import njit

from sim.aircraft import library
from sim.aircraft.assemble import assemble, field_params
from sim.aircraft.build import Build
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.world import World
from sim.bench.accelerometer import solve_six_positions
from sim.bench.compass import fit_compass
from sim.kernel import (
    air,
    body,
    estimator,
    linear,
    motor,
    noise,
    pack,
    radio,
    records,
    rotor,
    run,
    sensors,
)
from sim.kernel.frames import (
    IDENTITY,
    UPRIGHT,
    ZERO,
    Vec3,
    from_angles,
    to_body,
    to_world,
    wrapped,
)
from sim.kernel.start import initial_state
from sim.kernel.step import Craft, State
from sim.kernel.tables import Tables
from sim.paths import authority_dir
from sim.units import RAD_S_PER_RPM

TICK_S = 0.001  # s; design: fixed physics step
GRAVITY_M_S2 = air.STANDARD_GRAVITY_M_S2
SEA_LEVEL_KG_M3 = 1.225  # kg/m3, ISO 2533
TEN_INCH_M = 0.254  # m, exact
FOOT_M = 0.3048  # m, exact
POUND_FORCE_N = 4.4482216152605  # N, exact
SLUG_KG = 14.59390294  # kg, pound-force second squared per foot
HORSEPOWER_W = 745.69987158  # W, 550 foot pound-force per second
MICROTESLA_M3_PER_A_M2 = 0.1  # uT m3/(A m2), mu0/(4 pi)

UNITS = {
    "m": "m", "m_s": "m/s", "m_s2": "m/s²", "ft_s": "ft/s", "hp": "hp", "w": "W", "k": "K",
    "pa": "Pa", "kg_m3": "kg/m³", "n": "N", "n_m": "N·m", "rpm": "1/min", "s": "s", "v": "V",
    "a": "A", "mv": "mV", "mohm": "mΩ", "ut": "µT", "deg": "°", "hz": "Hz", "rad_s": "rad/s",
    "kg_m2": "kg·m²", "deg_root_h": "°/√h", "m_s_root_h": "m/s/√h", "us": "µs", "ratio": "1",
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One objective test: a published value, ours, and whether they agree."""

    item: str
    source: str
    quantity: str
    unit: str
    published: float
    ours: float
    tolerance: float
    tolerance_kind: str
    reason: str
    passed: bool

    @property
    def share(self) -> float:
        """Return the difference as a share of the tolerance (infinite if not a number)."""
        if self.ours == self.published:
            return 0.0
        scale = abs(self.published) if self.tolerance_kind == "relative" else 1.0
        used = abs(self.ours - self.published) / (self.tolerance * scale)
        return inf if isnan(used) else used


@dataclass(frozen=True)
class Table:
    """A file of outside values with its source note."""

    lines: list[dict[str, Any]]
    note: dict[str, Any]

    def row(self, item: str, column: str, published: float, ours: float) -> Row:
        """Return the test of one value by the tolerance the note gives for its column."""
        rule = self.note["tolerance"][column]
        row = Row(
            item, self.note["authority"], column, unit_of(column), float(published), float(ours),
            rule["value"], rule["kind"], rule["why"], False,
        )  # fmt: skip
        return replace(row, passed=row.share <= 1.0)

    def worst(self, item: str, column: str, ours: Iterable[float]) -> Row:
        """Return the least favourable test of a whole column."""
        pairs = list(zip(self.column(column), ours, strict=True))
        tests = [self.row(item, column, published, value) for published, value in pairs]
        worst = max(tests, key=lambda row: row.share)
        return worst if len(tests) == 1 else replace(worst, item=f"{item}, worst of {len(tests)}")

    def column(self, name: str) -> list[Any]:
        """Return one column."""
        return [line[name] for line in self.lines]


def _cell(text: str) -> Any:
    try:
        return float(text)
    except ValueError:
        return text


@cache
def table(name: str) -> Table:
    """Return a file of outside values by its name."""
    folder = authority_dir()
    with (folder / f"{name}.csv").open(newline="", encoding="utf-8") as stream:
        lines = [{k: _cell(v) for k, v in line.items()} for line in csv.DictReader(stream)]
    note = (folder / f"{name}.source.toml").read_text(encoding="utf-8")
    return Table(lines, tomllib.loads(note))


def unit_of(column: str) -> str:
    """Return the unit a column name ends in; 1 for a pure number."""
    words = column.split("_")
    ends = ("_".join(words[i:]) for i in range(1, len(words)))
    return next((UNITS[end] for end in ends if end in UNITS), "1")


def atmosphere() -> list[Row]:
    """Air against the standard atmosphere."""
    t = table("atmosphere")
    heights = t.column("height_m")
    return [
        t.worst("air temperature", "temperature_k", map(air.temperature_k, heights)),
        t.worst("air pressure", "pressure_pa", map(air.pressure_pa, heights)),
        t.worst("air density", "density_kg_m3", map(air.density_kg_m3, heights)),
    ]


def hover_momentum() -> list[Row]:
    """Induced velocity and ideal power in hover."""
    t, calculator, jet = table("hover_momentum"), table("hover_calculator"), table("slipstream")
    [a], [b], [c] = t.lines, calculator.lines, jet.lines
    one = (a["thrust_n"], a["density_kg_m3"], 0.5 * a["diameter_m"])
    two = (
        b["thrust_lbf"] * POUND_FORCE_N,
        b["density_slug_ft3"] * SLUG_KG / FOOT_M**3,
        b["radius_ft"] * FOOT_M,
    )
    speed = rotor.induced_velocity_m_s(c["thrust_n"], c["density_kg_m3"], c["radius_m"])
    return [
        t.worst("light helicopter", "induced_m_s", [rotor.induced_velocity_m_s(*one)]),
        t.worst("light helicopter", "ideal_w", [rotor.ideal_power_w(*one)]),
        calculator.worst(
            "medium helicopter", "induced_ft_s", [rotor.induced_velocity_m_s(*two) / FOOT_M]
        ),
        calculator.worst(
            "medium helicopter", "ideal_hp", [rotor.ideal_power_w(*two) / HORSEPOWER_W]
        ),
        jet.worst("6x3 slipstream, twice the induced speed", "slipstream_m_s", [2.0 * speed]),
    ]


def measured(name: str) -> Tables:
    """Return kernel tables with the published static rows of one propeller."""
    t = table(f"propeller_{name}_static")
    speeds = np.array(t.column("rotor_speed_rpm")) * RAD_S_PER_RPM
    thrust, power = t.column("thrust_coefficient"), t.column("power_coefficient")
    return library.tables("10x4.7")._replace(
        rotor_speed_rad_s=speeds,
        thrust_coefficient=np.array(thrust),
        power_coefficient=np.array(power),
    )


def propeller() -> list[Row]:
    """Coefficients of the shipped 10x4.7 propeller against the wind tunnel's."""
    tables = library.tables("10x4.7")
    rows = []
    for flow in ("static", "axial"):
        t = table(f"propeller_10x4.7_{flow}")
        found = []
        for line in t.lines:
            n = line["rotor_speed_rpm"] / 60.0
            climb_m_s = line.get("advance_ratio", 0.0) * n * TEN_INCH_M
            found.append(rotor.coefficients(tables, 2.0 * pi * n, climb_m_s, TEN_INCH_M))
        item = f"10x4.7 propeller, {flow}"
        rows += [
            t.worst(item, "thrust_coefficient", [ct for ct, _ in found]),
            t.worst(item, "power_coefficient", [cp for _, cp in found]),
        ]
    ratios, n = (0.6, 0.65), 100.0
    last = [
        rotor.coefficients(tables, 2.0 * pi * n, j * n * TEN_INCH_M, TEN_INCH_M)[0] for j in ratios
    ]
    end = ratios[1] + last[1] * (ratios[1] - ratios[0]) / (last[0] - last[1])
    return [*rows, table("zero_thrust").worst("10x4.7 pulls no more", "advance_ratio", [end])]


def propeller_loads() -> list[Row]:
    """Thrust, torque and figure of merit of three measured propellers in sea-level air."""
    t = table("propeller_loads")
    loads, merit = [], []
    for line in t.lines:
        tables, speed = measured(line["propeller"]), line["rotor_speed_rpm"] * RAD_S_PER_RPM
        at = (tables, speed, 0.0)
        loads.append(rotor.thrust_and_torque(*at, SEA_LEVEL_KG_M3, line["diameter_m"]))
        merit.append(rotor.figure_of_merit(*rotor.coefficients(*at, line["diameter_m"])))
    return [
        t.worst("three propellers", "thrust_n", [thrust for thrust, _ in loads]),
        t.worst("three propellers", "torque_n_m", [torque for _, torque in loads]),
        t.worst("three propellers", "figure_of_merit", merit),
    ]


def trainer() -> Craft:
    """Return the shipped trainer as built by the sheet, standing free with its propellers on."""
    airframe = library.airframe("club-trainer-450")
    world = World(
        airframe=airframe,
        pack_spec=library.pack(airframe.pack),
        build=Build(),
        setup=Setup(controller=airframe.sheet.setup),
        site=library.site("lockup-garage"),
        conduct=Conduct(props_fitted=True, place="pad", hold="standing"),
    )
    return assemble(world, UPRIGHT)


def hover_point() -> list[Row]:
    """Rotor speed and shaft power that carry a mass on four 10x4.7 propellers."""
    t, tables, craft = table("hover_point"), library.tables("10x4.7"), trainer()
    full = pack.PackState(1.0, 1.0, 0.0, 0.0, 0.0)
    trims = []
    for line in t.lines:
        heavy = craft.body._replace(mass_kg=line["mass_kg"])
        thin = craft.air._replace(density_kg_m3=line["density_kg_m3"])
        trims.append(linear.hover_trim(craft._replace(body=heavy, air=thin), tables, full))
    speeds = [trim.speed_rad_s / RAD_S_PER_RPM for trim in trims]
    powers = [4.0 * trim.torque_n_m * trim.speed_rad_s for trim in trims]
    return [
        t.worst("hover on four 10x4.7", "rotor_speed_rpm", speeds),
        t.worst("hover on four 10x4.7", "shaft_total_w", powers),
    ]


def side_wind() -> list[Row]:
    """Tilt that balances rotor drag in a side wind: the whole model, one tick after release."""
    t, craft = table("wind_tilt"), trainer()
    speed, height_m, tilts = 490.0, 1.3, []
    for line in t.lines:
        drag = line["drag_per_mass_1_s"] * craft.body.mass_kg / (4.0 * speed)
        windy = craft.air._replace(wind_m_s=Vec3(line["wind_m_s"], 0.0, 0.0), gust_m_s=0.0)
        place = craft.rotors[0]._replace(
            motor=craft.rotors[0].motor._replace(inertia_kg_m2=1e9)  # no slowing in one tick
        )
        craft = craft._replace(
            air=windy,
            rotors=(place, place, place, place),
            lateral_drag_n_s2_m=drag,
            frame_drag_n_s2_m2=0.0,
        )
        state = initial_state(craft, UPRIGHT, 0.9, 1)
        turning = state.rotors[0]._replace(motor=motor.MotorState(speed, 0.0, 0.0, 293.0))
        state = state._replace(
            body=state.body._replace(position_m=Vec3(0.0, 0.0, -height_m)),
            rotors=(turning, turning, turning, turning),
        )
        states = records.to_row(State, state)
        still = radio.Sticks(0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0)
        crafts = records.to_row(Craft, craft)
        run.run(states, crafts, library.tables("10x4.7"), still, 1, run.NO_HISTORY, 1)
        push_m_s2 = states["body__velocity_m_s__x"][0] / TICK_S
        tilts.append(degrees(atan2(push_m_s2, GRAVITY_M_S2)))
    return [t.worst("hover in a side wind", "tilt_deg", tilts)]


def ground_effect() -> list[Row]:
    """Gain of thrust near the floor, one rotor and four."""
    one, four = table("ground_effect_single"), table("ground_effect_four")
    single = [rotor.ground_factor_single(z, 1.0) for z in one.column("height_over_radius")]
    places = [(line["height_over_radius"], line["spacing_over_radius"]) for line in four.lines]
    return [
        one.worst("one rotor near the floor", "cheeseman_bennett_ratio", single),
        one.worst("one rotor near the floor", "prouty_ratio", single),
        four.worst(
            "four rotors near the floor",
            "thrust_ratio",
            [rotor.ground_factor_four(z, 1.0, d) for z, d in places],
        ),
    ]


def motor_params(kv_rpm_v: float, ohm: float, idle_a: float, inertia: float) -> motor.MotorParams:
    """Return a motor without faults, heat or friction."""
    return motor.MotorParams(
        kv_rad_s_v=kv_rpm_v * RAD_S_PER_RPM, resistance_ohm=ohm, no_load_a=idle_a,
        inertia_kg_m2=inertia, start_command=0.0, gain=1.0, offset=0.0, friction_n_m=0.0,
        desync_jump=inf, desync_chance=0.0, desync_s=0.0, heat_resistance_k_w=1.0,
        heat_capacity_j_k=1e9, limit_k=1e9, fade_per_k=0.0,
    )  # fmt: skip


def motor_example() -> list[Row]:
    """Voltage and current that turn a known propeller."""
    t = table("motor_worked_example")
    points = []
    for line in t.lines:
        p = motor_params(line["kv_rpm_v"], line["resistance_ohm"], line["no_load_a"], 1e-5)
        speed = line["rotor_speed_rpm"] * RAD_S_PER_RPM
        points.append(motor.operating_point(speed, line["torque_n_m"], p))
    return [
        t.worst("motor of the 6x3 run", "motor_v", [volts for volts, _ in points]),
        t.worst("motor of the 6x3 run", "motor_a", [amps for _, amps in points]),
    ]


def motor_lag() -> list[Row]:
    """Lag of motor and propeller: the formula, and the stepped motor's 63 % time."""
    t = table("motor_time_constant")
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


def pack_rows() -> list[Row]:
    """Sag after a current step, resistance against temperature, and a worked resistance."""
    exact, other = table("pack_sag"), table("pack_sag_library")
    warm, example = table("pack_resistance_temperature"), table("pack_resistance_example")
    rest, tables = table("pack_ocv"), library.tables("10x4.7")
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


def rotation() -> list[Row]:
    """Torque-free rotation against elliptic functions and another engine."""
    exact, engine = table("torque_free_elliptic"), table("torque_free_mujoco")
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


def spinning_tops() -> list[Row]:
    """Flips about the middle axis, and the precession of a symmetrical body."""
    flips, top = table("intermediate_axis_flips"), table("symmetric_precession")
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


def bifilar() -> list[Row]:
    """Moment of inertia from the swing of a body of that inertia on two strings."""
    t = table("bifilar")
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


def level_error() -> list[Row]:
    """Side force read under a tilted level reference, and the drift of a hover."""
    t = table("tilt_drift")
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


INSTRUMENTS = sensors.SensorParams(
    mounting=IDENTITY, gyro_bias_rad_s=ZERO, gyro_noise_rad_s=0.0, gyro_walk_rad_s2=0.0,
    accel_bias_m_s2=ZERO, accel_matrix=IDENTITY, accel_noise_m_s2=0.0, accel_clip_m_s2=1e9,
    mag_hard_iron_ut=ZERO, mag_soft_iron=IDENTITY, mag_per_amp_ut_a=ZERO, mag_noise_ut=0.0,
    baro_noise_m=0.0, baro_wash_m_n=0.0, volt_scale=1.0, volt_noise_v=0.0, amp_scale=1.0,
)  # fmt: skip


def compass_error_deg(
    earth_ut: Vec3, attitude_rad: tuple[float, float, float], p: sensors.SensorParams
) -> float:
    """Return shown minus true heading of a craft at (roll, pitch, heading), in degrees."""
    roll, pitch, heading = attitude_rad
    field = to_body(from_angles(roll, pitch, heading), earth_ut)
    read = sensors.mag_exact_ut(field, 0.0, p)
    shown = estimator.heading_of_field(read, roll, pitch, 0.0)
    return degrees(float(wrapped(shown - heading)))


def compass() -> list[Row]:
    """Declination on a leaning craft that points north, and the worst error of a hard iron."""
    t, iron = table("earth_field"), table("heading_error")
    seen, worst = [], []
    for line in t.lines:
        earth = Vec3(*(1e-3 * line[f"{axis}_nt"] for axis in ("north", "east", "down")))
        seen.append(-compass_error_deg(earth, (0.35, -0.17, 0.0), INSTRUMENTS))
    for line in iron.lines:
        p = INSTRUMENTS._replace(mag_hard_iron_ut=Vec3(line["offset_ut"], 0.0, 0.0))
        earth = Vec3(line["horizontal_ut"], 0.0, 40.0)
        turn = [radians(0.5 * i) for i in range(720)]
        worst.append(max(abs(compass_error_deg(earth, (0.0, 0.0, at), p)) for at in turn))
    site, garage = table("site_field"), field_params(library.site("lockup-garage")).earth_ut
    return [
        site.worst("earth field of the shipped garage", "north_ut", [garage.x]),
        site.worst("earth field of the shipped garage", "east_ut", [garage.y]),
        site.worst("earth field of the shipped garage", "down_ut", [garage.z]),
        t.worst("compass of a craft pointing north", "declination_deg", seen),
        iron.worst("compass with hard iron, full turn", "error_deg", worst),
    ]


def steel() -> list[Row]:
    """Field of a piece of steel."""
    t = table("dipole_field")
    fields = []
    for line in t.lines:
        moment = (MICROTESLA_M3_PER_A_M2 * line[f"moment_{axis}_a_m2"] for axis in "xyz")
        at = Vec3(line["north_m"], line["east_m"], line["down_m"])
        fields.append(sensors.dipole_field_ut(at, sensors.Dipole(ZERO, Vec3(*moment))))
    return [
        t.worst("field of a dipole", f"field_{axis}_ut", [field[i] for field in fields])
        for i, axis in enumerate(("north", "east", "down"))
    ]


def columns(t: Table, names: Sequence[str]) -> Any:
    """Return columns of a table as an array, one row a line."""
    return np.array([[line[name] for name in names] for line in t.lines])


FIELD = ("field_x_ut", "field_y_ut", "field_z_ut")


def compass_fit() -> list[Row]:
    """Ellipsoid fit of a documented example, and of readings beside a magnet."""
    t, magnet = table("ellipsoid_fit"), table("hard_iron_points")
    points = columns(table("ellipsoid_points"), FIELD)
    found = fit_compass(points, fit_compass(points, 1.0).fitted_ut)
    beside = fit_compass(columns(magnet, FIELD), 1.0)
    once = replace(magnet, lines=magnet.lines[:1])
    rows = [t.worst("ellipsoid fit", "field_ut", [found.fitted_ut])]
    for i, axis in enumerate("xyz"):
        offset = beside.offset_ut[i]
        rows += [
            t.worst("ellipsoid fit", f"centre_{axis}_ut", [found.offset_ut[i]]),
            t.worst("ellipsoid fit", f"matrix_{axis}{axis}", [found.matrix[i, i]]),
            once.worst("compass fit beside a magnet", f"offset_{axis}_ut", [offset]),
        ]
    return rows


def six_positions() -> list[Row]:
    """Errors of an accelerometer found from six faces."""
    t, faces = table("accelerometer_errors"), table("accelerometer_faces")
    read, true = (
        columns(faces, [f"{kind}_{axis}_m_s2" for axis in "xyz"]) for kind in ("read", "true")
    )
    offset, matrix = solve_six_positions(read, true)
    gain = np.linalg.inv(matrix)
    item = "six-position calibration"
    return [
        t.worst(item, "offset_m_s2", offset),
        *(t.worst(item, f"gain_{axis}", gain[:, i]) for i, axis in enumerate("xyz")),
    ]


def _still_history(start: Any, gyro: Any, accel: Any, p: Any, dt_s: float, steps: int) -> Any:
    out = np.empty((steps + 1, 2))
    state, mag = start, Vec3(20.0, 0.0, 40.0)
    for i in range(steps + 1):
        if i > 0:
            state = estimator.updated(state, gyro, accel, mag, p, dt_s)
        out[i] = (2.0 * atan2(state.attitude.x, state.attitude.w), state.bias_rad_s.x)
    return out


still_history = njit(_still_history)


def estimator_params(bias_gain_per_s2: float) -> estimator.EstimatorParams:
    """Return a filter without heading correction and calibrations, k_P = 1/s."""
    return estimator.EstimatorParams(
        level_gain_per_s=1.0, heading_gain_per_s=0.0, bias_gain_per_s2=bias_gain_per_s2,
        accel_trust_m_s2=1.0, gravity_m_s2=GRAVITY_M_S2, accel_offset_m_s2=ZERO,
        accel_matrix=IDENTITY, mag_offset_ut=ZERO, mag_matrix=IDENTITY, mounting=IDENTITY,
        declination_rad=0.0,
    )  # fmt: skip


def estimated(roll_rad: float, gyro_rad_s: float, bias_gain: float, seconds: float) -> Any:
    """Return each tick's (roll in rad, gyro bias in rad/s) as estimated by a craft at rest."""
    start = estimator.EstimatorState(from_angles(roll_rad, 0.0, 0.0), ZERO)
    gyro, up = Vec3(gyro_rad_s, 0.0, 0.0), Vec3(0.0, 0.0, -GRAVITY_M_S2)
    steps = round(seconds / TICK_S)
    return still_history(start, gyro, up, estimator_params(bias_gain), TICK_S, steps)


def estimates() -> list[Row]:
    """Decay of an attitude error at rest, and the learning of a gyro bias."""
    decay, learnt = table("estimator_decay"), table("estimator_gyro_bias")
    one = estimated(radians(30.0), 0.0, 0.0, 5.0)
    two = estimated(0.0, 0.02, 0.3, 20.0)
    errors = [degrees(one[round(t / TICK_S), 0]) for t in decay.column("time_s")]
    at = [two[round(t / TICK_S)] for t in learnt.column("time_s")]
    item = "estimate with a gyro bias"
    return [
        decay.worst("attitude error at rest", "error_deg", errors),
        decay.worst("attitude error at rest, other filter", "library_deg", errors),
        learnt.worst(item, "bias_rad_s", [x[1] for x in at]),
        learnt.worst(item, "roll_deg", [degrees(x[0]) for x in at]),
        learnt.worst(f"{item}, other filter", "library_bias_rad_s", [x[1] for x in at]),
    ]


def _noise_means(random: Any, p: Any, seconds: int) -> Any:
    out = np.zeros((seconds, 6))
    for second in range(seconds):
        for _ in range(1000):
            random, gyro, accel = sensors.inertial_noise(random, p)
            turn = sensors.gyro_reading(ZERO, ZERO, gyro, p)
            push = sensors.accel_reading(ZERO, accel, p)
            out[second] += np.array((turn.x, turn.y, turn.z, push.x, push.y, push.z))
    return out / 1000.0


noise_means = njit(_noise_means)


def allan_deviation(means: Any, interval: int = 1) -> float:
    """Return the Allan deviation of frequency-like data averaged over `interval` samples."""
    count = len(means) // interval
    blocks = np.reshape(np.asarray(means)[: count * interval], (count, interval)).mean(axis=1)
    return float(sqrt(0.5 * np.mean(np.diff(blocks) ** 2)))


def instrument_noise() -> list[Row]:
    """Random walks of gyro and accelerometer: Allan deviation of their readings at one second."""
    t = table("instrument_noise")
    [line] = t.lines
    p = INSTRUMENTS._replace(
        gyro_noise_rad_s=radians(line["gyro_sample_deg_s"]),
        accel_noise_m_s2=line["accel_sample_m_s2"],
    )
    means = noise_means(np.uint64(7), p, 2000)
    found = [allan_deviation(means[:, i]) ** 2 for i in range(6)]
    gyro, accel = 60.0 * sqrt(sum(found[:3]) / 3.0), 60.0 * sqrt(sum(found[3:]) / 3.0)
    return [
        t.worst("gyro at rest", "angle_walk_deg_root_h", [degrees(gyro)]),
        t.worst("accelerometer at rest", "velocity_walk_m_s_root_h", [accel]),
    ]


def random_numbers() -> list[Row]:
    """First numbers of the source of chance."""
    t = table("random_numbers")
    state, drawn = np.uint64(1234567), []
    for _ in t.lines:
        state, number = noise.uniform(np.uint64(state))
        drawn.append(number)
    return [t.worst("random numbers", "number", drawn)]


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


def sound_and_shake() -> list[Row]:
    """Blade passing frequency, and the shaking of an unbalanced propeller."""
    t, shake = table("rotor_sound"), table("imbalance")
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


def radio_pulses() -> list[Row]:
    """Pulses of a transmitter channel as delivered, and what the controller makes of them."""
    t, link = table("pulses"), trainer().radio
    channel, expected = link.channels[0], link.inputs[0]
    return [
        t.worst(
            "stick to pulse",
            "pulse_us",
            [radio.pulse_us(x, channel) for x in t.column("stick_ratio")],
        ),
        t.worst(
            "pulse to stick",
            "stick_ratio",
            [radio.understood(x, expected) for x in t.column("pulse_us")],
        ),
    ]


def known_loop(case: str, w: Any) -> Any:
    """Return the open-loop response of a textbook loop at angular frequencies w."""
    s = 1j * w
    rate, plant = 20.0 / (s * (0.05 * s + 1.0)), 1.0 / (s * (s + 1.0) * (s + 5.0))
    period = 2.0 * pi / sqrt(5.0)  # s; of the plant at its limit gain of 30
    tuned = 18.0 * (1.0 + 2.0 / (period * s) + 0.125 * period * s)
    return {
        "rate": rate,
        "rate-delayed": rate * np.exp(-0.01 * s),
        "plant": plant,
        "plant-tuned": plant * tuned,
    }[case]


def hand(crossover_rad_s: float, delay_s: float, w: Any) -> Any:
    """Return the crossover model of a pilot and what he steers at angular frequencies w."""
    return crossover_rad_s / (1j * w) * np.exp(-1j * w * delay_s)


def loop_margins() -> list[Row]:
    """Margins of textbook loops and of the crossover model of a pilot."""
    t, pilot = table("loop_margins"), table("pilot_margins")
    found = [linear.margins(partial(known_loop, case), 0.05, 500.0) for case in t.column("case")]
    turning = [i for i, gain in enumerate(t.column("gain_margin_ratio")) if gain < inf]
    crossing = replace(t, lines=[t.lines[i] for i in turning])
    hands = [
        linear.margins(partial(hand, line["crossover_rad_s"], line["delay_s"]), 0.05, 500.0)
        for line in pilot.lines
    ]
    return [
        t.worst("textbook loops", "gain_margin_ratio", [m.gain for m in found]),
        crossing.worst(
            "textbook loops",
            "phase_crossover_rad_s",
            [found[i].gain_at_rad_s for i in turning],
        ),
        t.worst("textbook loops", "phase_margin_deg", [m.phase_deg for m in found]),
        t.worst("textbook loops", "gain_crossover_rad_s", [m.phase_at_rad_s for m in found]),
        pilot.worst("pilot crossover model", "phase_margin_deg", [m.phase_deg for m in hands]),
        pilot.worst("pilot crossover model", "gain_margin_ratio", [m.gain for m in hands]),
    ]


ITEMS: tuple[Callable[[], list[Row]], ...] = (
    atmosphere,
    hover_momentum,
    propeller,
    propeller_loads,
    hover_point,
    side_wind,
    ground_effect,
    motor_example,
    motor_lag,
    pack_rows,
    rotation,
    spinning_tops,
    bifilar,
    level_error,
    compass,
    steel,
    compass_fit,
    six_positions,
    estimates,
    instrument_noise,
    random_numbers,
    sound_and_shake,
    radio_pulses,
    loop_margins,
)


def rows() -> list[Row]:
    """Run every objective test."""
    return [row for item in ITEMS for row in item()]
