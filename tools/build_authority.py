"""Rebuild the check values under tests/authority that come from a library or a closed form.

    python tools/build_authority.py            rewrite the tables, refresh every checksum
    python tools/build_authority.py --check    write nothing; exit 1 if anything would change

Files without an entry in BUILDERS hold values copied from a publication; they are edited by hand.
"""

import argparse
import csv
import hashlib
import io
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation
from scipy.special import ellipj, ellipk

FOLDER = Path(__file__).resolve().parent.parent / "tests" / "authority"
DENSITY_KG_M3 = 1.225  # kg/m3, ISO 2533 sea level
GRAVITY_M_S2 = 9.80665  # m/s2, ISO 2533
DIAMETER_M = 0.254  # m, the 10x4.7 propeller

Cell = float | str
Table = tuple[str, Sequence[Sequence[Cell]]]


def read(name: str) -> list[dict[str, str]]:
    """Return the rows of a table already in the folder."""
    with (FOLDER / f"{name}.csv").open(newline="") as stream:
        return list(csv.DictReader(stream))


def atmosphere() -> Table:
    """US Standard Atmosphere 1976 at geometric heights, by ambiance."""
    from ambiance import Atmosphere

    heights = [0.0, 500.0, 1000.0, 1500.0, 2000.0, 3000.0]
    air = Atmosphere(heights)
    return "height_m,temperature_k,pressure_pa,density_kg_m3", list(
        zip(heights, air.temperature, air.pressure, air.density, strict=True)
    )


def propeller_coefficients(speed_rpm: float) -> tuple[float, float]:
    """Return (C_T, C_P) of the 10x4.7 propeller at rest, straight lines between table rows."""
    rows = read("propeller_10x4.7_static")
    speeds = [float(row["rotor_speed_rpm"]) for row in rows]
    thrust = [float(row["thrust_coefficient"]) for row in rows]
    power = [float(row["power_coefficient"]) for row in rows]
    return float(np.interp(speed_rpm, speeds, thrust)), float(np.interp(speed_rpm, speeds, power))


def propeller_loads() -> Table:
    """Three propellers in sea-level air, from the definitions of their coefficients."""
    rows: list[tuple[Cell, ...]] = []
    for name, inches in (("10x4.7", 10.0), ("10x7", 10.0), ("4.2x4", 4.2)):
        d = inches * 0.0254
        for row in read(f"propeller_{name}_static")[::3]:
            n = float(row["rotor_speed_rpm"]) / 60.0
            thrust = float(row["thrust_coefficient"]) * DENSITY_KG_M3 * n**2 * d**4
            power = float(row["power_coefficient"]) * DENSITY_KG_M3 * n**3 * d**5
            induced = np.sqrt(thrust / (2 * DENSITY_KG_M3 * np.pi * d**2 / 4))
            torque = power / (2 * np.pi * n)
            rows.append((name, d, 60 * n, thrust, torque, thrust * induced / power))
    return "propeller,diameter_m,rotor_speed_rpm,thrust_n,torque_n_m,figure_of_merit", rows


def hover_point() -> Table:
    """Rotor speed and total shaft power of four 10x4.7 propellers that carry a mass."""
    rows = []
    for mass, density in [(1.0, 1.225), (1.2, 1.225), (1.5, 1.225), (1.2, 1.006554)]:
        thrust = mass * GRAVITY_M_S2 / 4
        k = density * DIAMETER_M**4

        def excess(rpm: float, k: float = k, thrust: float = thrust) -> float:
            return float(propeller_coefficients(rpm)[0] * k * (rpm / 60) ** 2 - thrust)

        rpm = float(brentq(excess, 2400, 6500, xtol=1e-9))
        power = 4 * propeller_coefficients(rpm)[1] * k * DIAMETER_M * (rpm / 60) ** 3
        rows.append((mass, density, rpm, power))
    return "mass_kg,density_kg_m3,rotor_speed_rpm,shaft_total_w", rows


def ground_effect_single() -> Table:
    """Thrust ratio at a rotor height: Cheeseman-Bennett, and Prouty's chart at equal power."""
    chart = read("prouty_chart")
    heights = [float(row["height_over_diameter"]) for row in chart]
    induced = [float(row["induced_velocity_ratio"]) for row in chart]
    rows = []
    for z in (0.75, 1.0, 1.25, 1.5, 2.0, 3.0, 4.0):
        prouty = float(np.interp(z / 2, heights, induced)) ** (-2 / 3)
        rows.append((z, 1 / (1 - (1 / (4 * z)) ** 2), prouty))
    return "height_over_radius,cheeseman_bennett_ratio,prouty_ratio", rows


def ground_effect_four() -> Table:
    """Thrust ratio of four rotors 3 R apart, by images (sources below the floor)."""
    d = 3.0
    rows = []
    for z in (0.5, 1.0, 1.5, 2.0, 3.0, 4.0):
        # a source of the rotor's strength 2z below; vertical speed ~ (R/2)^2 * 2z / distance^3
        upwash = sum(
            0.25 * 2 * z / (away**2 + (2 * z) ** 2) ** 1.5 for away in (0.0, d, d, d * 2**0.5)
        )
        rows.append((z, d, 1 / (1 - upwash)))
    return "height_over_radius,spacing_over_radius,thrust_ratio", rows


def motor_time_constant() -> Table:
    """Lag of motor and propeller after a small voltage step, by an accurate solution of its ODE."""
    rows = []
    for kv_rpm, ohm, idle, inertia, drag, volts in (
        (920.0, 0.12, 0.5, 4.5e-5, 2.476e-7, 6.5),
        (2300.0, 0.07, 0.9, 4.0e-6, 1.1e-8, 9.0),
    ):
        kt = 60 / (2 * np.pi * kv_rpm)

        def torque(
            w: float,
            u: float,
            kt: float = kt,
            ohm: float = ohm,
            idle: float = idle,
            drag: float = drag,
        ) -> float:
            return float(kt * (u - kt * w) / ohm - kt * idle - drag * w**2)

        before = brentq(torque, 1, 5000, args=(volts,))
        stepped = volts * 1.001
        after = brentq(torque, 1, 5000, args=(stepped,))
        target = before + (after - before) * (1 - np.exp(-1))

        def reached(t: float, w: Sequence[float], target: float = target) -> float:
            return w[0] - target

        run = solve_ivp(
            lambda t, w, u=stepped, j=inertia, f=torque: [f(w[0], u) / j],
            (0, 0.5),
            [before],
            method="DOP853",
            rtol=1e-12,
            atol=1e-10,
            max_step=1e-3,
            events=reached,
        )
        rows.append((kv_rpm, ohm, idle, inertia, drag, before, volts, run.t_events[0][0]))
    return (
        "kv_rpm_v,resistance_ohm,no_load_a,inertia_kg_m2,drag_n_m_s2,"
        "rotor_speed_rad_s,supply_v,lag_s",
        rows,
    )


def pack_sag() -> Table:
    """Voltage drop of one cell after a current step, by python-control's step response."""
    import control

    rows: list[tuple[Cell, ...]] = []
    for case, amps, r0, r1, tau1, r2, tau2 in (
        ("one-pair", 100.0, 0.40459e-3, 0.60688e-3, 0.60688e-3 * 50344, 0.0, 1.0),
        ("two-pairs", 25.0, 8e-3, 3e-3, 2.0, 4e-3, 40.0),
    ):
        s = control.tf("s")
        impedance = r0 + r1 / (tau1 * s + 1) + r2 / (tau2 * s + 1)
        times = np.linspace(0, 120, 12001)
        drop = amps * control.step_response(impedance, times).outputs
        for at in (0, 1, 10, 30, 60, 120):
            rows.append((case, amps, r0, r1, tau1, r2, tau2, at, 1000 * drop[at * 100]))
    return "case,current_a,r0_ohm,r1_ohm,tau1_s,r2_ohm,tau2_s,time_s,sag_mv", rows


def torque_free_elliptic() -> Table:
    """Rotation without torque by Jacobi elliptic functions (scipy ellipj), started on axis 2 = 0."""
    rows: list[tuple[Cell, ...]] = []
    for case, moments, start in (
        ("plain", (1.0, 2.0, 3.0), (1.0, 0.0, 1.0)),
        ("small-craft", (0.010, 0.012, 0.020), (2.0, 0.0, 3.0)),
    ):
        i1, i2, i3 = moments
        twice_energy = sum(i * w * w for i, w in zip(moments, start, strict=True))
        m2 = sum((i * w) ** 2 for i, w in zip(moments, start, strict=True))
        rate = np.sqrt((i3 - i2) * (m2 - twice_energy * i1) / (i1 * i2 * i3))
        k2 = (i2 - i1) * (twice_energy * i3 - m2) / ((i3 - i2) * (m2 - twice_energy * i1))
        period = 4 * ellipk(k2) / rate
        for eighth in (1, 2, 3, 5, 8):
            t = period * eighth / 8
            sn, cn, dn, _ = ellipj(t * rate, k2)
            w1 = np.sqrt((twice_energy * i3 - m2) / (i1 * (i3 - i1))) * cn
            w2 = np.sqrt((twice_energy * i3 - m2) / (i2 * (i3 - i2))) * sn
            w3 = np.sqrt((m2 - twice_energy * i1) / (i3 * (i3 - i1))) * dn
            rows.append((case, *moments, *start, t, w1, w2, w3))
    return (
        "case,ixx_kg_m2,iyy_kg_m2,izz_kg_m2,start_x_rad_s,start_y_rad_s,start_z_rad_s,"
        "time_s,rate_x_rad_s,rate_y_rad_s,rate_z_rad_s",
        rows,
    )


FREE_BODY = """
<mujoco><option gravity="0 0 0" timestep="0.001" integrator="RK4"/>
<worldbody><body><freejoint/>
<inertial pos="0 0 0" mass="1" diaginertia="1 2 2.5"/></body></worldbody></mujoco>
"""


def torque_free_mujoco() -> Table:
    """Rates and attitude (body to world, scalar first) of a free body by MuJoCo, RK4, 1 ms."""
    import mujoco

    model = mujoco.MjModel.from_xml_string(FREE_BODY)
    data = mujoco.MjData(model)
    data.qvel[3:] = (0.3, 2.0, 0.5)
    rows = []
    for step in range(1, 20001):
        mujoco.mj_step(model, data)
        if step in (1000, 5000, 10000, 20000):
            rows.append((step / 1000, *data.qvel[3:], *data.qpos[3:]))
    return (
        "time_s,rate_x_rad_s,rate_y_rad_s,rate_z_rad_s,attitude_qw,attitude_qx,attitude_qy,attitude_qz",
        rows,
    )


def intermediate_axis_flips() -> Table:
    """Flip times of a body spun about its middle axis, by scipy DOP853."""
    moments = np.array([1.0, 2.0, 3.0])

    def change(_t: float, w: np.ndarray) -> np.ndarray:
        return np.asarray(np.cross(moments * w, w) / moments)

    def upside(_t: float, w: np.ndarray) -> float:
        return float(w[1])

    start = (1e-3, 1.0, 1e-3)
    run = solve_ivp(change, (0, 75), start, method="DOP853", rtol=1e-12, atol=1e-14, events=upside)
    return "flip,time_s", [(i + 1, t) for i, t in enumerate(run.t_events[0])]


def current_field() -> Table:
    """Field of one long wire and of a go-and-return pair, by magpylib (200 m of wire)."""
    import magpylib

    def wire_t(amps: float, x: float, y: float) -> np.ndarray:
        line = magpylib.current.Polyline(current=amps, vertices=[(0, 0, -100), (0, 0, 100)])
        return np.asarray(line.getB((x, y, 0)))

    rows: list[tuple[Cell, ...]] = []
    for amps, r in ((20.0, 0.05), (20.0, 0.10), (1.0, 0.01)):
        rows.append(("wire", amps, r, 0.0, 1e6 * float(np.linalg.norm(wire_t(amps, r, 0)))))
    amps, r, gap = 20.0, 0.05, 0.003
    pair = wire_t(amps, r - gap / 2, 0) - wire_t(amps, r + gap / 2, 0)
    rows.append(("pair", amps, r, gap, 1e6 * float(np.linalg.norm(pair))))
    return "case,current_a,distance_m,spacing_m,field_ut", rows


def dipole_field() -> Table:
    """Field of a point dipole (a steel part or a magnet seen from afar), by magpylib."""
    import magpylib

    rows = []
    for moment, at in (
        ((0.0, 0.0, 1.0), (0.0, 0.0, 0.5)),
        ((0.0, 0.0, 1.0), (0.5, 0.0, 0.0)),
        ((0.3, -0.2, 0.5), (0.2, 0.1, -0.15)),
        ((-5.0, 8.0, 20.0), (1.0, -0.7, 0.4)),
    ):
        field = magpylib.misc.Dipole(moment=moment).getB(at)
        rows.append((*moment, *at, *(1e6 * field)))
    return (
        "moment_x_a_m2,moment_y_a_m2,moment_z_a_m2,north_m,east_m,down_m,"
        "field_north_ut,field_east_ut,field_down_ut",
        rows,
    )


def directions(count: int) -> np.ndarray:
    """Return unit vectors spread evenly over the sphere (golden-angle spiral)."""
    i = np.arange(count)
    z = 1 - (2 * i + 1) / count
    turn = i * np.pi * (3 - 5**0.5)
    ring = np.sqrt(1 - z * z)
    return np.column_stack((ring * np.cos(turn), ring * np.sin(turn), z))


def ellipsoid_points() -> Table:
    """Points on the ellipsoid of the documented fitting example (see ellipsoid_fit.csv)."""
    points = (-50.0, 20.0, 100.0) + directions(48) * (30.0, 20.0, 50.0)
    return "field_x_ut,field_y_ut,field_z_ut", points.tolist()


def hard_iron_points() -> Table:
    """Magnetometer readings with a 2 mm magnet turning along, by magpylib."""
    import magpylib

    magnet = magpylib.magnet.Sphere(
        polarization=(0.4, -0.2, 0.9), diameter=0.002, position=(0.03, -0.02, 0.015)
    )
    craft = magpylib.Collection(magnet, magpylib.Sensor())
    earth_ut = np.array([21.5243, 1.2835, 43.2501])
    offset_ut = 1e6 * magnet.getB((0, 0, 0))
    rows = []
    for i, axis in enumerate(directions(36)):
        turn = Rotation.from_rotvec(axis * (0.4 + 0.075 * i))
        craft.orientation = turn
        own_ut = 1e6 * craft.sensors[0].getB(magnet)
        rows.append((*(turn.inv().apply(earth_ut) + own_ut), *offset_ut))
    return (
        "field_x_ut,field_y_ut,field_z_ut,offset_x_ut,offset_y_ut,offset_z_ut",
        rows,
    )


def accelerometer_faces() -> Table:
    """Return six readings of an accelerometer with the errors of accelerometer_errors.csv."""
    errors = read("accelerometer_errors")
    gain = np.array([[float(row[f"gain_{axis}"]) for axis in "xyz"] for row in errors])
    offset = np.array([float(row["offset_m_s2"]) for row in errors])
    rows = []
    for face in np.vstack((np.eye(3), -np.eye(3))) * GRAVITY_M_S2:
        rows.append((*face, *(gain @ face + offset)))
    return "true_x_m_s2,true_y_m_s2,true_z_m_s2,read_x_m_s2,read_y_m_s2,read_z_m_s2", rows


def still_filter(start_rad: float, gain_i: float, gyro_rad_s: float, seconds: int) -> np.ndarray:
    """Return (roll in rad, bias in rad/s) each second of ahrs Mahony, at rest, 1 kHz, k_P = 1."""
    from ahrs.filters import Mahony

    estimator = Mahony(frequency=1000.0, k_P=1.0, b0=np.zeros(3))
    estimator.k_I = gain_i  # its constructor refuses zero
    q = np.array([np.cos(start_rad / 2), np.sin(start_rad / 2), 0, 0])
    gyro = np.array([gyro_rad_s + 1e-15, 0, 0])  # the library skips its update at exactly zero
    out = []
    for step in range(1, 1000 * seconds + 1):
        q = estimator.updateIMU(q, gyro, np.array([0, 0, GRAVITY_M_S2]))
        if step % 1000 == 0:
            out.append((2 * np.arctan2(q[1], q[0]), estimator.b[0]))
    return np.array(out)


def estimator_decay() -> Table:
    """Decay of a 30 degree attitude error at rest: tan(a/2) = tan(a0/2) e^(-k t), and by ahrs."""
    start = np.deg2rad(30)
    library = np.rad2deg(still_filter(start, 0.0, 0.0, 5)[:, 0])
    times = [1.0, 2.0, 3.0, 4.0, 5.0]
    exact = np.rad2deg(2 * np.arctan(np.tan(start / 2) * np.exp(-np.array(times))))
    return "time_s,error_deg,library_deg", list(zip(times, exact, library, strict=True))


def estimator_gyro_bias() -> Table:
    """Learning a 0.02 rad/s gyro bias at rest (k_P = 1, k_I = 0.3): accurate ODE, and by ahrs."""
    library = still_filter(0.0, 0.3, 0.02, 20)
    times = [1, 3, 5, 10, 20]
    run = solve_ivp(
        lambda t, y: (0.02 - y[1] - np.sin(y[0]), 0.3 * np.sin(y[0])),
        (0, 20),
        (0, 0),
        method="DOP853",
        rtol=1e-12,
        atol=1e-14,
        t_eval=times,
    )
    rows = [
        (t, bias, np.rad2deg(roll), library[t - 1, 1])
        for t, roll, bias in zip(times, run.y[0], run.y[1], strict=True)
    ]
    return "time_s,bias_rad_s,roll_deg,library_bias_rad_s", rows


def loop_margins() -> Table:
    """Gain and phase margins of known loops, by python-control (delay: 8th-order Pade)."""
    import control

    s = control.tf("s")
    rate = 20 / (s * (0.05 * s + 1))
    delay = control.tf(*control.pade(0.01, 8))
    plant = 1 / (s * (s + 1) * (s + 5))
    ku = 30.0
    pu = 2 * np.pi / 5**0.5
    ti, td = pu / 2, pu / 8
    tuned = plant * 0.6 * ku * (1 + 1 / (ti * s) + td * s)
    rows: list[tuple[Cell, ...]] = []
    for case, loop in (
        ("rate", rate),
        ("rate-delayed", rate * delay),
        ("plant", plant),
        ("plant-tuned", tuned),
    ):
        gain, phase, turn, cross = control.margin(loop)
        rows.append((case, gain, turn, phase, cross))
    return (
        "case,gain_margin_ratio,phase_crossover_rad_s,phase_margin_deg,gain_crossover_rad_s",
        rows,
    )


def allan_nist() -> Table:
    """Allan deviations of the 1000-point set of NIST SP 1065, by allantools."""
    import allantools

    n = 1234567890
    values = []
    for _ in range(1000):
        values.append(n / 2147483647)
        n = 16807 * n % 2147483647
    rows = []
    for tau in (1, 10, 100):
        plain = allantools.adev(values, rate=1, data_type="freq", taus=[tau])[1][0]
        overlapping = allantools.oadev(values, rate=1, data_type="freq", taus=[tau])[1][0]
        rows.append((tau, plain, overlapping))
    return "tau_s,adev,overlapping_adev", rows


def random_numbers() -> Table:
    """First draws of SplitMix64 from seed 1234567 as numbers in [0, 1), by whole-number arithmetic.

    The 64-bit values printed for this seed begin 6457827717110365317, 3203168211198807973.
    """
    mask = 2**64 - 1
    state = 1234567
    rows = []
    for draw in range(1, 6):
        state = (state + 0x9E3779B97F4A7C15) & mask
        z = ((state ^ (state >> 30)) * 0xBF58476D1CE4E5B9) & mask
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & mask
        rows.append((draw, (z ^ (z >> 31)) / 2**64))
    return "draw,number", rows


def pilot_margins() -> Table:
    """Margins of the crossover model w e^(-tau s)/s, by python-control (8th-order Pade)."""
    import control

    s = control.tf("s")
    rows = []
    for cross, tau in ((3.0, 0.2), (4.0, 0.2), (3.3, 0.3), (4.75, 0.13)):
        gain, phase, _, _ = control.margin(cross / s * control.tf(*control.pade(tau, 8)))
        rows.append((cross, tau, phase, gain))
    return "crossover_rad_s,delay_s,phase_margin_deg,gain_margin_ratio", rows


def earth_field_model() -> Table:
    """World Magnetic Model 2025 at the places and dates of the official test rows, by pygeomag."""
    from pygeomag import GeoMag

    model = GeoMag(coefficients_file="wmm/WMM_2025.COF")
    rows = []
    for row in read("earth_field"):
        year, km = float(row["year"]), float(row["height_km"])
        lat, lon = float(row["latitude_deg"]), float(row["longitude_deg"])
        r = model.calculate(glat=lat, glon=lon, alt=km, time=year)
        rows.append((year, km, lat, lon, r.x / 1e3, r.y / 1e3, r.z / 1e3, r.h / 1e3, r.i, r.d))
    return (
        "year,height_km,latitude_deg,longitude_deg,north_ut,east_ut,down_ut,"
        "horizontal_ut,inclination_deg,declination_deg",
        rows,
    )


def site_field() -> Table:
    """World Magnetic Model 2025 at the place the shipped garage is put, by pygeomag."""
    from pygeomag import GeoMag

    r = GeoMag(coefficients_file="wmm/WMM_2025.COF").calculate(51.48, 0.0, 0.0, 2025.0)
    return (
        "latitude_deg,longitude_deg,height_km,year,north_ut,east_ut,down_ut",
        [(51.48, 0.0, 0.0, 2025.0, r.x / 1e3, r.y / 1e3, r.z / 1e3)],
    )


BUILDERS: dict[str, Callable[[], Table]] = {
    "atmosphere": atmosphere,
    "propeller_loads": propeller_loads,
    "hover_point": hover_point,
    "ground_effect_single": ground_effect_single,
    "ground_effect_four": ground_effect_four,
    "motor_time_constant": motor_time_constant,
    "pack_sag": pack_sag,
    "torque_free_elliptic": torque_free_elliptic,
    "torque_free_mujoco": torque_free_mujoco,
    "intermediate_axis_flips": intermediate_axis_flips,
    "current_field": current_field,
    "dipole_field": dipole_field,
    "ellipsoid_points": ellipsoid_points,
    "hard_iron_points": hard_iron_points,
    "accelerometer_faces": accelerometer_faces,
    "estimator_decay": estimator_decay,
    "estimator_gyro_bias": estimator_gyro_bias,
    "loop_margins": loop_margins,
    "allan_nist": allan_nist,
    "random_numbers": random_numbers,
    "pilot_margins": pilot_margins,
    "earth_field_model": earth_field_model,
    "site_field": site_field,
}


def as_csv(table: Table) -> str:
    """Return the text of a table: twelve significant digits, rounding noise about zero dropped."""
    header, rows = table
    text = io.StringIO()
    text.write(header + "\n")
    for row in rows:
        text.write(",".join(c if isinstance(c, str) else f"{round(c, 14) + 0.0:.12g}" for c in row))
        text.write("\n")
    return text.getvalue()


def note_with_checksum(note: str, data: bytes) -> str:
    """Return the source note with its sha256 line brought up to date."""
    line = f'sha256 = "{hashlib.sha256(data).hexdigest()}"'
    return re.sub(r'^sha256 = ".*"$', line, note, flags=re.MULTILINE)


def put(path: Path, text: str, dry: bool) -> bool:
    """Write the text unless it is there already; return True if it differed."""
    if path.exists() and path.read_text() == text:
        return False
    if not dry:
        path.write_text(text)
    return True


def main() -> int:
    """Run the builders and refresh the notes."""
    parser = argparse.ArgumentParser(description="Rebuild the check values in tests/authority.")
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 on a change")
    dry = parser.parse_args().check
    changed = []
    for name, build in BUILDERS.items():
        if put(FOLDER / f"{name}.csv", as_csv(build()), dry):
            changed.append(name)
    for data in sorted(FOLDER.glob("*.csv")):
        note = data.with_name(f"{data.stem}.source.toml")
        if note.exists() and put(
            note, note_with_checksum(note.read_text(), data.read_bytes()), dry
        ):
            changed.append(note.name)
    print("\n".join(changed) or "nothing changed")
    return 1 if dry and changed else 0


if __name__ == "__main__":
    sys.exit(main())
