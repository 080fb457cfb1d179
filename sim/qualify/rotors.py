"""A frame with four spinning rotors against a general physics engine."""

from itertools import pairwise
from typing import Any

import numpy as np

from sim.kernel import body, drivetrain
from sim.kernel.clock import TICK_S
from sim.kernel.frames import UPRIGHT, ZERO, Vec3
from sim.kernel.motor import DriveState, MotorState
from sim.kernel.vehicle import Craft, RotorState
from sim.qualify import row
from sim.qualify.motion import ATTITUDE, RATES, VELOCITY
from sim.qualify.parts import GRAVITY_M_S2, ROOM_TEMPERATURE_K, in_the_open, trainer

HUBS_M = ((0.16, -0.16), (0.16, 0.16), (-0.16, 0.16), (-0.16, -0.16))  # m; quadrotor.csv
HUB_UP_M = 0.03  # m; quadrotor.csv
SPINS = (-1.0, 1.0, 1.0, -1.0)  # 1, clockwise from above is +; quadrotor.csv
ROTOR_KG_M2 = 4.2e-5  # kg m2; quadrotor.csv
STARTS_RAD_S = (300.0, 700.0, 650.0, 350.0)  # rad/s; quadrotor.csv
THRUSTS_N = (3.2, 4.1, 3.6, 3.9)  # N; quadrotor.csv
DRAGS_N_M = (0.030, 0.050, 0.045, 0.035)  # N m; quadrotor.csv


def turning(speeds_rad_s: Any) -> tuple[RotorState, ...]:
    """Return the four rotors at their speeds."""
    drive = DriveState(0.0, 0.0, 0.0)
    return tuple(
        RotorState(drive, MotorState(speed, 0.0, 0.0, ROOM_TEMPERATURE_K), thrust, drag, 0.0, 0.0)
        for speed, thrust, drag in zip(speeds_rad_s, THRUSTS_N, DRAGS_N_M, strict=True)
    )


def flown(start: body.BodyState, speeds_rad_s: Any, craft: Craft) -> list[body.BodyState]:
    """Return the state after each tick. speeds_rad_s : float64[ticks + 1, 4]."""
    states = [start]
    for before, after in pairwise(speeds_rad_s):
        force, torque, momentum = drivetrain.rotor_wrench(
            states[-1], turning(after), turning(before), ZERO, 0.0, craft
        )
        states.append(body.free_step(states[-1], force, torque, momentum, craft.body, TICK_S))
    return states[1:]


def craft_of(line: dict[str, float]) -> Craft:
    """Return the trainer with mass, inertia and rotors of the table, without drag of the air."""
    craft = in_the_open(trainer())
    inertia = Vec3(*(line[f"i{axis}{axis}_kg_m2"] for axis in "xyz"))
    a, b, c, d = (
        place._replace(
            hub_m=Vec3(x, y, -HUB_UP_M),
            spin=spin,
            axis=Vec3(0.0, 0.0, -1.0),
            motor=place.motor._replace(inertia_kg_m2=ROTOR_KG_M2),
        )
        for place, (x, y), spin in zip(craft.rotors, HUBS_M, SPINS, strict=True)
    )
    return craft._replace(
        body=body.BodyParams(line["mass_kg"], inertia, GRAVITY_M_S2),
        rotors=(a, b, c, d),
        lateral_drag_n_s2_m=0.0,
        frame_drag_n_s2_m2=0.0,
    )


def spinning_rotors() -> list[row.Row]:
    """Rates, velocity and attitude of a frame with four rotors that run up and down."""
    t = row.table("quadrotor")
    times = [0.0, *t.column("time_s")]
    speeds = [STARTS_RAD_S] + [[line[f"rotor_{i}_rad_s"] for i in range(4)] for line in t.lines]
    ticks = TICK_S * np.arange(round(times[-1] / TICK_S) + 1)
    course = np.column_stack([np.interp(ticks, times, one) for one in np.array(speeds).T])
    start = body.BodyState(ZERO, UPRIGHT, ZERO, Vec3(0.4, -0.3, 0.2))
    craft = craft_of(t.lines[0])
    states = flown(start, course, craft)
    at = [states[round(time / TICK_S) - 1] for time in times[1:]]
    return [
        t.worst("frame with four rotors, rate", RATES, [x.rate_rad_s for x in at]),
        t.worst("frame with four rotors, velocity", VELOCITY, [x.velocity_m_s for x in at]),
        t.worst("frame with four rotors, attitude", ATTITUDE, [x.attitude for x in at]),
    ]
