"""Bodies in motion: elliptic functions, and a general physics engine (MuJoCo)."""

from math import cos, radians, sin, sqrt

import numpy as np
from scipy.spatial.transform import Rotation
from scipy.special import ellipj, ellipk

from tools.authority.tables import GRAVITY_M_S2, Builder, Cell, Table

RATES = "rate_x_rad_s,rate_y_rad_s,rate_z_rad_s"
ATTITUDE = "attitude_qw,attitude_qx,attitude_qy,attitude_qz"
PLACE = "north_m,east_m,down_m"
VELOCITY = "velocity_north_m_s,velocity_east_m_s,velocity_down_m_s"


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
        "time_s," + RATES,
        rows,
    )


def body_xml(mass: float, moments: tuple[float, float, float], inside: str = "") -> str:
    """Return a free body in axes north, east, down, in steps of 1 ms."""
    inertia = " ".join(map(repr, moments))
    return f"""
<mujoco><option gravity="0 0 {GRAVITY_M_S2}" timestep="0.001" integrator="RK4"/>
<worldbody><body name="craft"><freejoint/>
<inertial pos="0 0 0" mass="{mass}" diaginertia="{inertia}"/>{inside}</body></worldbody>
"""


def torque_free_mujoco() -> Table:
    """Rates and attitude (body to world, scalar first) of a free body by MuJoCo, RK4, 1 ms."""
    import mujoco

    model = mujoco.MjModel.from_xml_string(body_xml(1.0, (1.0, 2.0, 2.5)) + "</mujoco>")
    model.opt.gravity[:] = 0
    data = mujoco.MjData(model)
    data.qvel[3:] = (0.3, 2.0, 0.5)
    rows = []
    for step in range(1, 20001):
        mujoco.mj_step(model, data)
        if step in (1000, 5000, 10000, 20000):
            rows.append((step / 1000, *data.qvel[3:], *data.qpos[3:]))
    return f"time_s,{RATES},{ATTITUDE}", rows


def intermediate_axis_flips() -> Table:
    """Flip times of a body spun about its middle axis, by MuJoCo, RK4, 1 ms."""
    import mujoco

    model = mujoco.MjModel.from_xml_string(body_xml(1.0, (1.0, 2.0, 3.0)) + "</mujoco>")
    model.opt.gravity[:] = 0
    data = mujoco.MjData(model)
    data.qvel[3:] = (1e-3, 1.0, 1e-3)
    rows: list[tuple[float, float]] = []
    for step in range(75000):
        before = data.qvel[4]
        mujoco.mj_step(model, data)
        if before * data.qvel[4] < 0:
            rows.append((len(rows) + 1, (step + before / (before - data.qvel[4])) / 1000))
    return "flip,time_s", rows


FORCE_N = (0.4, -0.3, -14.0)  # N, world
TORQUE_N_M = (0.01, -0.02, 0.015)  # N m, body
SITE_DEG = (4.0, -7.0, 12.0)  # deg; roll, pitch, heading of the instrument on the body


def forced_body() -> Table:
    """Two seconds under weight, a force and a torque, with an accelerometer askew, by MuJoCo."""
    import mujoco

    roll, pitch, heading = SITE_DEG
    askew = Rotation.from_euler("ZYX", (heading, pitch, roll), degrees=True)
    quat = " ".join(map(repr, askew.as_quat(scalar_first=True).tolist()))
    xml = body_xml(1.5, (0.018, 0.0195, 0.032), f'<site name="chip" quat="{quat}"/>')
    model = mujoco.MjModel.from_xml_string(
        xml + '<sensor><accelerometer site="chip"/></sensor></mujoco>'
    )
    data = mujoco.MjData(model)
    data.qfrc_applied[:] = (*FORCE_N, *TORQUE_N_M)
    data.qvel[:] = (0.1, 0.2, -0.3, 0.5, -1.0, 2.0)
    rows = []
    for step in range(1, 2001):
        mujoco.mj_step(model, data)
        if step in (100, 500, 1000, 2000):
            mujoco.mj_forward(model, data)
            body = (*data.qpos[:3], *data.qvel, *data.qpos[3:])
            rows.append((step / 1000, *body, *data.sensordata))
    accel = "accel_x_m_s2,accel_y_m_s2,accel_z_m_s2"
    return f"time_s,{PLACE},{VELOCITY},{RATES},{ATTITUDE},{accel}", rows


HUBS = ((0.16, -0.16), (0.16, 0.16), (-0.16, 0.16), (-0.16, -0.16))  # m; forward, right
HUB_UP_M = 0.03  # m; rotors above the centre of gravity
SPINS = (-1, 1, 1, -1)  # 1; two on a side alike, so that momentum and torque do not cancel
ROTOR_KG, ROTOR_ACROSS, ROTOR_ALONG = 0.02, 2.1e-5, 4.2e-5  # kg, kg m2, kg m2
STARTS_RAD_S = (300.0, 700.0, 650.0, 350.0)  # rad/s
MOTORS_N_M = (0.045, 0.060, 0.075, 0.050)  # N m; between frame and rotor; they do not cancel
DRAGS_N_M = (0.030, 0.050, 0.045, 0.035)  # N m; of the air on the rotor
THRUSTS_N = (3.2, 4.1, 3.6, 3.9)  # N


def quadrotor_xml() -> str:
    """Return a frame made of balls and four rotors on hinges: MuJoCo finds mass and inertia."""
    balls = [(0.10, x, y, -HUB_UP_M + 0.02) for x, y in HUBS]
    balls += [(0.05, x, y, 0.08) for x, y in HUBS]
    balls += [(0.30, 0.05, 0.0, 0.0), (0.30, -0.05, 0.0, 0.0)]
    top = sum(m * z for m, _, _, z in balls) - 4 * ROTOR_KG * HUB_UP_M
    balls += [(0.22, 0.0, 0.0, -top / 0.22)]  # puts the centre of gravity at the origin
    parts = "".join(
        f'<geom type="sphere" size="0.005" pos="{x} {y} {z}" mass="{m}" contype="0"/>'
        for m, x, y, z in balls
    )
    rotors = "".join(
        f'<body pos="{x} {y} {-HUB_UP_M}"><joint name="r{i}" type="hinge" axis="0 0 {spin}"/>'
        f'<inertial pos="0 0 0" mass="{ROTOR_KG}" diaginertia="{ROTOR_ACROSS} {ROTOR_ACROSS} '
        f'{ROTOR_ALONG}"/></body><site name="hub{i}" pos="{x} {y} {-HUB_UP_M}"/>'
        for i, ((x, y), spin) in enumerate(zip(HUBS, SPINS, strict=True))
    )
    lifts = "".join(f'<motor site="hub{i}" gear="0 0 -1 0 0 0"/>' for i in range(4))
    return (
        f'<mujoco><option gravity="0 0 {GRAVITY_M_S2}" timestep="0.0005" integrator="RK4"/>'
        f'<worldbody><body name="craft"><freejoint/>{parts}{rotors}</body></worldbody>'
        f"<actuator>{lifts}</actuator></mujoco>"
    )


def quadrotor() -> Table:
    """Flight of a frame with four spinning rotors: inertia of many parts, reaction, gyroscopics."""
    import mujoco

    model = mujoco.MjModel.from_xml_string(quadrotor_xml())
    data = mujoco.MjData(model)
    full = np.zeros((model.nv, model.nv))
    mujoco.mj_forward(model, data)
    mujoco.mj_fullM(model, data, full)
    mass, moments = full[0, 0], np.diag(full)[3:6]
    data.qvel[3:6] = (0.4, -0.3, 0.2)
    data.qvel[6:] = STARTS_RAD_S
    data.ctrl[:] = THRUSTS_N
    yaw = -sum(spin * drag for spin, drag in zip(SPINS, DRAGS_N_M, strict=True))
    hinge = [m - q for m, q in zip(MOTORS_N_M, DRAGS_N_M, strict=True)]
    data.qfrc_applied[5:] = (yaw, *hinge)  # drag of the air turns rotor and craft alike
    rows = []
    for step in range(1, 801):
        mujoco.mj_step(model, data)
        if step in (200, 400, 800):
            course = (*data.qvel[3:6], *data.qvel[:3], *data.qpos[3:7])
            rows.append((mass, *moments, step / 2000, *data.qvel[6:], *course))
    speeds = ",".join(f"rotor_{i}_rad_s" for i in range(4))
    inertia = "mass_kg,ixx_kg_m2,iyy_kg_m2,izz_kg_m2"
    return f"{inertia},time_s,{speeds},{RATES},{VELOCITY},{ATTITUDE}", rows


def symmetric_precession() -> Table:
    """Precession of a symmetrical body in its own axes: (Izz - Ixx)/Ixx times the spin."""
    return "ixx_kg_m2,izz_kg_m2,spin_rad_s,precession_rad_s", [
        (0.010, 0.018, 5.0, (0.018 - 0.010) / 0.010 * 5.0),
        (0.020, 0.015, -3.0, (0.015 - 0.020) / 0.020 * -3.0),
    ]


STRINGS_XML = """
<mujoco><option gravity="0 0 {g}" timestep="0.0005" integrator="RK4"/>
<worldbody>
<site name="hook0" pos="0 -{arm} -{length}"/><site name="hook1" pos="0 {arm} -{length}"/>
<body><freejoint/>{balls}<site name="tie0" pos="0 -{arm} 0"/><site name="tie1" pos="0 {arm} 0"/>
</body></worldbody>
<tendon><spatial stiffness="{stiff}" springlength="{free}" damping="2"><site site="hook0"/>
<site site="tie0"/></spatial><spatial stiffness="{stiff}" springlength="{free}" damping="2">
<site site="hook1"/><site site="tie1"/></spatial></tendon></mujoco>
"""
STRING_STIFF_N_M = 20000.0  # N/m; gives 0.24 mm under the frame


def string_swing() -> Table:
    """Time of one swing of a frame of ten points on two strings, by MuJoCo with elastic strings."""
    import mujoco

    rows: list[tuple[float, ...]] = []
    for arm, length, turn_deg in ((0.175, 1.55, 4.0), (0.10, 0.80, 4.0)):
        points = [(0.06, x, y, 0.0) for x, y in HUBS] + [(0.04, x / 2, y / 2, 0.0) for x, y in HUBS]
        points += [(0.3, 0.0, 0.06, 0.0), (0.3, 0.0, -0.06, 0.0)]
        mass = sum(p[0] for p in points)
        balls = "".join(
            f'<geom type="sphere" size="0.002" pos="{x} {y} {z}" mass="{m}" contype="0"/>'
            for m, x, y, z in points
        )
        free = length - 0.5 * mass * GRAVITY_M_S2 / STRING_STIFF_N_M
        xml = STRINGS_XML.format(
            g=GRAVITY_M_S2, arm=arm, length=length, balls=balls, stiff=STRING_STIFF_N_M, free=free
        )
        model = mujoco.MjModel.from_xml_string(xml)
        data = mujoco.MjData(model)
        half = radians(turn_deg) / 2
        data.qpos[:] = (0, 0, 0, cos(half), 0, 0, sin(half))
        data.qpos[2] = sqrt(length**2 - (2 * arm * sin(half)) ** 2) - length
        passed: list[float] = []
        for step in range(40000):
            before = data.qpos[6]
            mujoco.mj_step(model, data)
            if before * data.qpos[6] < 0:
                passed.append((step + before / (before - data.qpos[6])) * 0.0005)
            if len(passed) == 5:
                break
        rows.append((mass, arm, length, turn_deg, (passed[4] - passed[0]) / 2))
    return "mass_kg,half_spacing_m,length_m,start_deg,swing_s", rows


def tilt_drift() -> Table:
    """Push and drift of a craft held level by a tilted reference, thrust as large as weight."""
    rows = []
    for tilt in (1.0, 2.0, -4.0):
        push = GRAVITY_M_S2 * sin(radians(tilt))
        rows.append((tilt, push, 0.5 * push * 9.0))
    return "tilt_deg,acceleration_m_s2,drift_in_3_s_m", rows


def turned_vectors() -> Table:
    """Vectors and turns through heading, pitch and roll, and one turn more, by scipy Rotation."""
    rows = []
    for roll, pitch, heading in ((10.0, -25.0, 140.0), (-80.0, 60.0, -170.0), (150.0, 5.0, 30.0)):
        turn = Rotation.from_euler("ZYX", (heading, pitch, roll), degrees=True)
        more = turn * Rotation.from_rotvec((0.3, -0.5, 0.9))
        after = more.as_euler("ZYX", degrees=True)[::-1]
        out, back = turn.apply((1.0, -2.0, 3.0)), turn.inv().apply((1.0, -2.0, 3.0))
        rows.append((roll, pitch, heading, *out, *back, *after))
    return (
        "roll_deg,pitch_deg,heading_deg,world_x_m,world_y_m,world_z_m,body_x_m,body_y_m,body_z_m,"
        "after_roll_deg,after_pitch_deg,after_heading_deg",
        rows,
    )


def rotor_sound() -> Table:
    """Blade passing frequency: blades times revolutions per second."""
    rows = [(blades, rpm, blades * rpm / 60) for blades, rpm in ((2, 5000.0), (3, 20000.0))]
    return "blades,rotor_speed_rpm,passing_hz", rows


def imbalance() -> Table:
    """Shaking of a frame by an unbalanced rotor: m r w^2/M, once a turn."""
    rows = []
    for mass, unbalance, rpm in ((0.8, 2.0e-6, 9000.0), (1.5, 0.5e-6, 4600.0)):
        w = rpm * np.pi / 30
        rows.append((mass, unbalance, rpm, unbalance * w * w / mass, rpm / 60))
    return "mass_kg,unbalance_kg_m,rotor_speed_rpm,vibration_m_s2,frequency_hz", rows


BUILDERS: dict[str, Builder] = {
    "torque_free_elliptic": torque_free_elliptic,
    "torque_free_mujoco": torque_free_mujoco,
    "intermediate_axis_flips": intermediate_axis_flips,
    "forced_body": forced_body,
    "quadrotor": quadrotor,
    "symmetric_precession": symmetric_precession,
    "string_swing": string_swing,
    "tilt_drift": tilt_drift,
    "turned_vectors": turned_vectors,
    "rotor_sound": rotor_sound,
    "imbalance": imbalance,
}
