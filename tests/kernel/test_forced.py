"""The forced pass against the same tick run as plain Python, put by hand where the recording has it."""

from math import cos, sin

import numpy as np
import pytest

from sim.aircraft import library
from sim.kernel.clock import TICK_S
from sim.kernel.forced import ANSWER, FORCED, forced
from sim.kernel.frames import Quat, Vec3, to_angles
from sim.kernel.radio import Sticks
from sim.kernel.step import step
from sim.kernel.vehicle import Craft, State
from sim.reproduce.recorded.loading import sound_world
from sim.reproduce.recorded.passes import tables_of, vehicle_of
from tests.kernel.plain import tree_of

SAME = 1e-9  # 1; a power is multiplied out by the compiler: last digits differ, and add up a little
ENDS = (40, 43, 50)  # rows of unlike length, the first after some settling
AT = {name: i for i, name in enumerate(FORCED)}
FLYING = 30  # own: the tick from which it stands no more


@pytest.fixture(scope="module")
def vehicle():
    return vehicle_of(sound_world(library.airframe(library.TRAINER)), aboard=False)


@pytest.fixture(scope="module")
def forcing():
    """Return what forces each tick: every column another, the attitude a little off level."""
    rng = np.random.default_rng(5)
    rows = np.zeros((ENDS[-1], len(FORCED)))
    for i, row in enumerate(rows):
        row[:3] = 0.3, -0.2, -1.0 - 0.001 * i
        row[3:7] = attitude(0.05 + 0.001 * i)
        row[7:13] = rng.uniform(-0.4, 0.4, 6)
        row[13:17] = rng.uniform(0.3, 0.6, 4)
        row[17:21] = 0.1, -0.2, 0.5, 0.3
        row[AT["armed"]] = float(i >= FLYING)
        row[AT["standing"]] = float(i < FLYING)
        row[23:27] = attitude(-0.08 + 0.002 * i)
    return rows


def attitude(half: float) -> tuple[float, float, float, float]:
    """Return a turn about an axis that lies askew."""
    s = sin(half)
    return cos(half), 0.6 * s, 0.64 * s, 0.48 * s


def placed(state: State, now: np.ndarray) -> State:
    """Return a state put where a row of the recording has it."""
    p, q, v, w = (now[i:j].tolist() for i, j in ((0, 3), (3, 7), (7, 10), (10, 13)))
    body = state.body._replace(
        position_m=Vec3(*p), attitude=Quat(*q), velocity_m_s=Vec3(*v), rate_rad_s=Vec3(*w)
    )
    line = (tuple(now[13:17].tolist()),) * 8
    a, b, c, d = (rotor._replace(broken=0.0) for rotor in state.rotors)
    state = state._replace(body=body, line=line, rotors=(a, b, c, d), armed=float(now[21]))
    state = state._replace(crash=0.0, rail_low_ticks=0.0, reset_ticks=0.0)
    if now[AT["aboard"]] > 0.0:
        shown = state.estimator._replace(attitude=Quat(*now[23:27].tolist()))
        state = state._replace(estimator=shown)
    if now[AT["standing"]] > 0.0:
        state = state._replace(specific_force_m_s2=stood(Quat(*q)))
    return state


def stood(q: Quat) -> Vec3:
    """Return what an accelerometer feels at rest: minus the third row of the turn, times gravity."""
    turn = np.array(
        [
            2.0 * (q.x * q.z - q.w * q.y),
            2.0 * (q.y * q.z + q.w * q.x),
            q.w**2 - q.x**2 - q.y**2 + q.z**2,
        ]
    )
    return Vec3(*(-9.80665 * turn).tolist())


def in_python(vehicle, forcing, tables, law):
    """Return the answers, row by row, worked out tick by tick."""
    state = tree_of(State, iter(vehicle.state[0].item()))
    craft = tree_of(Craft, iter(vehicle.craft[0].item()))
    sums, rows, begun = np.zeros(6), [], 0
    for i, now in enumerate(forcing):
        roll, pitch, throttle, yaw = now[17:21].tolist()
        sticks = Sticks(roll, pitch, throttle, yaw, 1.0, law, 0.0)
        state = step(placed(state, now), sticks, craft, tables)
        felt = state.sensors
        sums[:3] += (np.array(state.body.rate_rad_s) - now[10:13]) / TICK_S
        sums[3:] += np.array(felt.accel_m_s2)
        if i + 1 in ENDS:
            rows.append(
                [
                    *(sums / (i + 1 - begun)), *felt.accel_m_s2, *state.controller.output,
                    *state.controller.integral, state.supply_v, felt.volt_v, felt.amp_a,
                    *felt.mag_ut, *to_angles(state.estimator.attitude),
                    *(rotor.motor.speed_rad_s for rotor in state.rotors), *felt.gyro_rad_s,
                ]
            )  # fmt: skip
            sums, begun = np.zeros(6), i + 1
    return np.array(rows)


@pytest.mark.parametrize(("law", "aboard"), [(1.0, 0.0), (0.0, 0.0), (1.0, 1.0)])
def test_it_answers_as_the_same_ticks_in_plain_python(vehicle, forcing, law, aboard):
    forcing = forcing.copy()
    forcing[:, AT["aboard"]] = aboard
    tables = tables_of(sound_world(library.airframe(library.TRAINER)))
    plain = in_python(vehicle, forcing, tables, law)
    answers = np.zeros((2, len(ENDS), len(ANSWER)))
    states, crafts = np.tile(vehicle.state, 2), np.tile(vehicle.craft, 2)
    forced(states, crafts, tables, forcing, np.array([law, law]), np.array(ENDS), answers)
    assert np.array_equal(answers[0], answers[1])
    assert len(set(np.round(plain[-1], 9))) > len(ANSWER) - 4  # hardly a column is like another
    for name, got, told in zip(ANSWER, answers[0].T, plain.T, strict=True):
        assert got == pytest.approx(told, rel=SAME, abs=SAME), name
