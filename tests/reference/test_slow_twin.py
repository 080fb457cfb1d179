"""The same aircraft in plain numpy and an adaptive integrator, beside the compiled kernel.

Rotors turn at constant, unequal speeds without air torque or friction. Each hub moves with the body
and its turning: thrust falls in proportion to the climb of its hub, lateral drag follows the hub, and
the frame's drag acts at the centre of gravity, all against a steady wind.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import solve_ivp
from scipy.spatial.transform import Rotation

from sim.kernel.frames import Vec3

SPEEDS_RAD_S = np.array((470.0, 484.0, 478.0, 490.0))
C_T = 0.11
FALL = 0.9  # 1; of thrust with J: C_T (1 - FALL J), about as the measured propeller
WIND_M_S = np.array((1.5, -2.0, 0.3))
START = np.array(
    [
        0.0,
        0.0,
        -500.0,
        1.0,
        -0.5,
        0.4,
        *Rotation.from_rotvec((0.2, -0.1, 0.7)).as_quat(),
        0.5,
        -0.8,
        1.2,
    ]
)  # position, velocity, attitude (scalar last), body rate
SECONDS = 1.0
FAR_M = 1e6  # m; floor and ceiling effects are below 1e-12 there


@pytest.fixture(scope="module")
def coasting(quiet):
    """Unpowered rotors that nothing slows down."""
    free = tuple(
        r._replace(torque_scale=0.0, motor=r.motor._replace(no_load_a=0.0)) for r in quiet.rotors
    )
    room = quiet.room._replace(
        north_m=FAR_M, south_m=-FAR_M, east_m=FAR_M, west_m=-FAR_M, ceiling_m=FAR_M
    )
    air = quiet.air._replace(wind_m_s=Vec3(*WIND_M_S))
    return quiet._replace(rotors=free, room=room, air=air, plugged=0.0)


def wrench(y, craft):
    """Return (force N world, torque N m body) of rotors and air."""
    turn = Rotation.from_quat(y[6:10])
    through = turn.inv().apply(y[3:6] - WIND_M_S)
    turns = SPEEDS_RAD_S / (2.0 * np.pi)
    still = C_T * craft.air.density_kg_m3 * turns**2 * craft.diameter_m**4
    force, torque = np.zeros(3), np.zeros(3)
    for i, place in enumerate(craft.rotors):
        hub = through + np.cross(y[10:], place.hub_m)
        side = -craft.lateral_drag_n_s2_m * SPEEDS_RAD_S[i] * hub
        ratio = -hub[2] / (turns[i] * craft.diameter_m)
        push = np.array((side[0], side[1], -still[i] * (1.0 - FALL * ratio)))
        force += push
        torque += np.cross(place.hub_m, push)
    force -= craft.frame_drag_n_s2_m2 * np.linalg.norm(through) * through
    return turn.apply(force), torque


def slope(y, craft, force, torque):
    inertia, rate = np.array(craft.body.inertia_kg_m2), y[10:]
    spin = sum(
        p.spin * p.motor.inertia_kg_m2 * w for p, w in zip(craft.rotors, SPEEDS_RAD_S, strict=True)
    )
    momentum = inertia * rate + (0.0, 0.0, spin)
    acceleration = force / craft.body.mass_kg + (0.0, 0.0, craft.body.gravity_m_s2)
    x, y_, z, w = y[6:10]
    p, q, r = rate
    attitude = 0.5 * np.array(
        (
            w * p + y_ * r - z * q,
            w * q + z * p - x * r,
            w * r + x * q - y_ * p,
            -x * p - y_ * q - z * r,
        )
    )
    turning = (torque - np.cross(rate, momentum)) / inertia
    return np.concatenate([y[3:6], acceleration, attitude, turning])


def continuous(craft):
    """Integrate with forces that follow the motion at every instant."""
    found = solve_ivp(
        lambda _, y: slope(y, craft, *wrench(y, craft)),
        (0.0, SECONDS),
        START,
        method="DOP853",
        rtol=1e-11,
        atol=1e-12,
    )
    return found.y[:, -1]


def ticked(craft):
    """Integrate with forces of rotors and air held for each tick of 1 ms, as the kernel does."""
    y = START
    for _ in range(round(SECONDS / 0.001)):
        held = wrench(y, craft)
        step = solve_ivp(
            lambda _, y, held=held: slope(y, craft, *held), (0.0, 0.001), y, rtol=1e-9, atol=1e-12
        )
        y = step.y[:, -1]
    return y


@pytest.fixture(scope="module")
def flown(coasting, flight, tables):
    flat = tables._replace(
        thrust_coefficient=np.full_like(tables.thrust_coefficient, C_T),
        thrust_share=1.0 - FALL * tables.advance_ratio,
    )
    thrown = flight(coasting)
    thrown.tables = flat
    for path, part, axes in (
        ("body.position_m", START[0:3], "xyz"),
        ("body.velocity_m_s", START[3:6], "xyz"),
        ("body.attitude", START[6:10], "xyzw"),
        ("body.rate_rad_s", START[10:], "xyz"),
    ):
        for axis, number in zip(axes, part, strict=True):
            thrown.put(f"{path}.{axis}", number)
    for i, speed in enumerate(SPEEDS_RAD_S):
        thrown.put(f"rotors.{i}.motor.speed_rad_s", speed)
    thrown.run(SECONDS)
    assert [thrown.value(f"rotors.{i}.motor.speed_rad_s") for i in range(4)] == list(SPEEDS_RAD_S)
    return np.concatenate(
        [
            thrown.vector("body.position_m"),
            thrown.vector("body.velocity_m_s"),
            thrown.vector("body.attitude", "xyzw"),
            thrown.vector("body.rate_rad_s"),
        ]
    )


def test_kernel_is_the_twin_tick_by_tick(coasting, flown):
    # a thousand steps at 1e-9 relative, of numbers up to a few (position differences likewise)
    assert_allclose(flown, ticked(coasting), atol=1e-7)


def test_holding_forces_for_a_tick_costs_little(coasting, flown):
    true = continuous(coasting)
    # forces act half a tick late: 0.5 ms at 1.5 rad/s turns 10 m/s2 aside by 8 mm/s2
    assert_allclose(flown[0:3], true[0:3], atol=0.005)  # m; half of that in one second
    assert_allclose(flown[3:6], true[3:6], atol=0.01)  # m/s
    # 1, rad/s; drag at the hubs, 0.75 rad/s2 per m/s of wind, turns with the body half a tick late:
    # 0.5 ms at 1.5 rad/s of 3 m/s make 2 mrad/s in one second
    assert_allclose(flown[6:], true[6:], atol=0.004)
    assert np.abs(true[:3] - START[:3]).max() > 0.3  # m; it did move
