"""Parts the tests are made on: the shipped trainer, a plain motor, instruments without errors."""

from math import inf

from sim.aircraft import library
from sim.aircraft.assemble import assemble
from sim.aircraft.build import Build
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.world import World
from sim.kernel import air, motor, sensors
from sim.kernel.frames import IDENTITY, UPRIGHT, ZERO
from sim.kernel.vehicle import Craft
from sim.units import RAD_S_PER_RPM

GRAVITY_M_S2 = air.STANDARD_GRAVITY_M_S2
INSTRUMENTS = sensors.SensorParams(
    mounting=IDENTITY, mag_mounting=IDENTITY, mount_rad_s=0.0, mount_damping=1.0, shake_gain=1.0,
    gyro_moved_rad_s=ZERO, gyro_warm_rad_s=ZERO, gyro_warm_s=1.0, gyro_bias_rad_s=ZERO, gyro_noise_rad_s=0.0, gyro_walk_rad_s2=0.0,
    accel_bias_m_s2=ZERO, accel_matrix=IDENTITY, accel_noise_m_s2=0.0, accel_clip_m_s2=1e9,
    mag_hard_iron_ut=ZERO, mag_soft_iron=IDENTITY, mag_per_amp_ut_a=ZERO, mag_noise_ut=0.0,
    baro_noise_m=0.0, baro_wash_m_n=0.0, volt_scale=1.0, volt_noise_v=0.0, amp_scale=1.0,
)  # fmt: skip


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


def motor_params(kv_rpm_v: float, ohm: float, idle_a: float, inertia: float) -> motor.MotorParams:
    """Return a motor without faults, heat or friction."""
    return motor.MotorParams(
        kv_rad_s_v=kv_rpm_v * RAD_S_PER_RPM, resistance_ohm=ohm, no_load_a=idle_a,
        inertia_kg_m2=inertia, start_command=0.0, gain=1.0, offset=0.0, friction_n_m=0.0,
        desync_jump=inf, desync_chance=0.0, desync_s=0.0, gap_rate_per_s=0.0, gap_s=0.0,
        command_noise=0.0, heat_resistance_k_w=1.0,
        heat_capacity_j_k=1e9, limit_k=1e9, fade_per_k=0.0,
    )  # fmt: skip
