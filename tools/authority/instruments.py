"""Compass, accelerometer, gyro, attitude: magpylib, pygeomag, ahrs, allantools, closed forms."""

from collections.abc import Sequence
from math import asin, degrees

import numpy as np
from scipy.spatial.transform import Rotation

from tools.authority.tables import GRAVITY_M_S2, Builder, Table, read

Push = tuple[float, float, float]

MADE_UP_GAIN = np.array([[1.02, 0.01, -0.005], [-0.008, 0.98, 0.012], [0.004, -0.006, 1.01]])  # 1
MADE_UP_OFFSET_M_S2 = np.array([0.03, -0.02, 0.05]) * GRAVITY_M_S2  # m/s2


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


def wire_field() -> Table:
    """Field of a lead at the compass and the heading error it makes, by magpylib (200 m of wire).

    The lead runs 5 cm below the compass from rear to front, the craft points north.
    """
    import magpylib

    line = magpylib.current.Polyline(current=1.0, vertices=[(-100, 0, 0.05), (100, 0, 0.05)])
    per_amp = 1e6 * line.getB((0, 0, 0))
    earth = np.array([19.55, 0.0, 45.0])
    rows = []
    for amps in (5.0, 12.0, -20.0):
        seen = earth + amps * per_amp
        rows.append((*per_amp, *earth, amps, degrees(np.arctan2(-seen[1], seen[0]))))
    return (
        "per_amp_x_ut,per_amp_y_ut,per_amp_z_ut,north_ut,east_ut,down_ut,current_a,error_deg",
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


def ellipsoid_shape() -> Table:
    """Centre, and what makes the ellipsoid a sphere of equal volume: radius over half axis."""
    radius = (30.0 * 20.0 * 50.0) ** (1 / 3)
    return (
        "centre_x_ut,centre_y_ut,centre_z_ut,matrix_xx,matrix_yy,matrix_zz",
        [(-50.0, 20.0, 100.0, radius / 30, radius / 20, radius / 50)],
    )


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


def heading_error() -> Table:
    """Worst heading error of an offset field b in a horizontal field H: asin(b/H)."""
    pairs = ((3.5, 20.0), (10.0, 20.0), (1.74, 20.0), (4.0, 16.0))
    return "offset_ut,horizontal_ut,error_deg", [(b, h, degrees(asin(b / h))) for b, h in pairs]


def crooked_readings(poses: Sequence[tuple[float, float, Push]]) -> Table:
    """Return (true force, reading) of an accelerometer built in askew, by MuJoCo.

    Each pose is (roll, pitch, force on the craft in N); the craft has 1 kg. Made-up gains and
    offsets follow what the engine gives.
    """
    import mujoco

    askew = Rotation.from_euler("ZYX", (3.0, -2.0, 4.0), degrees=True)
    quat = " ".join(map(repr, askew.as_quat(scalar_first=True).tolist()))
    model = mujoco.MjModel.from_xml_string(
        f'<mujoco><option gravity="0 0 {GRAVITY_M_S2}"/><worldbody><body><freejoint/>'
        '<inertial pos="0 0 0" mass="1" diaginertia="0.01 0.01 0.02"/>'
        f'<site name="true"/><site name="chip" quat="{quat}"/></body></worldbody>'
        '<sensor><accelerometer site="true"/><accelerometer site="chip"/></sensor></mujoco>'
    )
    data = mujoco.MjData(model)
    rows = []
    for roll, pitch, push in poses:
        turn = Rotation.from_euler("ZYX", (25.0, pitch, roll), degrees=True)
        data.qpos[3:] = turn.as_quat(scalar_first=True)
        data.qfrc_applied[:3] = push
        mujoco.mj_forward(model, data)
        true, chip = data.sensordata[:3], data.sensordata[3:]
        rows.append((*true, *(MADE_UP_GAIN @ chip + MADE_UP_OFFSET_M_S2)))
    return "true_x_m_s2,true_y_m_s2,true_z_m_s2,read_x_m_s2,read_y_m_s2,read_z_m_s2", rows


def accelerometer_faces() -> Table:
    """Return readings of a crooked accelerometer, in seven poses of a craft held in the hands."""
    faces = ((0, 0), (180, 0), (90, 0), (-90, 0), (0, 90), (0, -90), (30, 20))
    held = (0.0, 0.0, -GRAVITY_M_S2)
    return crooked_readings([(roll, pitch, held) for roll, pitch in faces])


def accelerometer_fresh() -> Table:
    """Return readings of the same accelerometer on a craft that is pushed about."""
    return crooked_readings(
        [(20, -10, (1.0, -2.0, -9.0)), (-40, 15, (4.0, 3.0, -14.0)), (5, 70, (-6.0, 5.0, 2.0))],
    )


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
    """Decay of a 30 degree attitude error at rest: tan(a/2) = tan(a0/2) e^(-k t)."""
    start, times = np.deg2rad(30), np.arange(1.0, 6.0)
    errors = np.rad2deg(2 * np.arctan(np.tan(start / 2) * np.exp(-times)))
    return "time_s,error_deg", list(zip(times, errors, strict=True))


def estimator_at_rest() -> Table:
    """Return the same decay, and the learning of a gyro bias (k_I = 0.3), by ahrs at 1 kHz."""
    errors = np.rad2deg(still_filter(np.deg2rad(30), 0.0, 0.0, 5)[:, 0])
    bias = still_filter(0.0, 0.3, 0.02, 20)[:, 1]
    return "time_s,error_deg,bias_rad_s", [(t, errors[t - 1], bias[t - 1]) for t in range(1, 6)]


def estimator_tumbling() -> Table:
    """Estimate of a tumbling craft that is pushed about, by ahrs Mahony at 1 kHz (k_P .8, k_I .2)."""
    from ahrs.filters import Mahony

    filtered = Mahony(frequency=1000.0, k_P=0.8, k_I=0.2, b0=np.zeros(3))
    q = Rotation.from_euler("ZYX", (0.5, -0.2, 0.3)).as_quat(scalar_first=True)
    rows = []
    for i in range(4000):
        t = i / 1000
        gyro = np.array([np.sin(4 * t), 0.5, -0.8 * np.cos(2 * t)])
        push = np.array([0.5 * np.sin(9 * t), -0.3, -GRAVITY_M_S2 + 0.4 * np.cos(7 * t)])
        q = filtered.updateIMU(q, gyro, -push)
        if i % 1000 == 999:
            rows.append((i + 1, *q, *filtered.b))
    return (
        "samples,attitude_qw,attitude_qx,attitude_qy,attitude_qz,bias_x_rad_s,bias_y_rad_s,bias_z_rad_s",
        rows,
    )


def nist_set() -> list[float]:
    """Return the 1000 numbers of the test set of NIST SP 1065."""
    n, values = 1234567890, []
    for _ in range(1000):
        values.append(n / 2147483647)
        n = 16807 * n % 2147483647
    return values


def allan_nist() -> Table:
    """Allan deviations of the 1000-point set of NIST SP 1065, by allantools."""
    import allantools

    rows = []
    for tau in (1, 10, 100):
        rows.append((tau, allantools.adev(nist_set(), rate=1, data_type="freq", taus=[tau])[1][0]))
    return "tau_s,allan_deviation", rows


def noise_theory() -> Table:
    """Allan deviations of white noise and of a random walk of rate, by allantools (Kasdin).

    Its "frequency" is our rate; qd is the variance that drives the discrete phase noise.
    """
    from allantools import Noise

    step, white, rough, walk = 0.001, 0.01, 0.08, 0.002  # s; rad/s, m/s2 a sample; rad/s per root s
    quiet = Noise(nr=2, qd=(white * step) ** 2, b=-2)
    shaken = Noise(nr=2, qd=(rough * step) ** 2, b=-2)
    drift = Noise(nr=2, qd=walk**2 * step**3, b=-4)
    rows = []
    for tau in (0.1, 1.0):
        deviations = (noise.adev(tau0=step, tau=tau) for noise in (quiet, shaken, drift))
        rows.append((white, rough, walk, tau, *deviations))
    return (
        "gyro_sample_rad_s,accel_sample_m_s2,walk_rad_s_root_s,tau_s,"
        "gyro_rad_s,accel_m_s2,drift_rad_s",
        rows,
    )


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


BUILDERS: dict[str, Builder] = {
    "dipole_field": dipole_field,
    "wire_field": wire_field,
    "ellipsoid_points": ellipsoid_points,
    "ellipsoid_shape": ellipsoid_shape,
    "hard_iron_points": hard_iron_points,
    "heading_error": heading_error,
    "accelerometer_faces": accelerometer_faces,
    "accelerometer_fresh": accelerometer_fresh,
    "estimator_decay": estimator_decay,
    "estimator_at_rest": estimator_at_rest,
    "estimator_tumbling": estimator_tumbling,
    "allan_nist": allan_nist,
    "noise_theory": noise_theory,
    "earth_field_model": earth_field_model,
    "site_field": site_field,
}
