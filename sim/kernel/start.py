"""The state an aircraft begins with: at rest, switched off, where it is put."""

import numpy as np

from sim.kernel import hands
from sim.kernel.body import BodyState
from sim.kernel.controller import ControllerState, RateFilter
from sim.kernel.estimator import EstimatorState
from sim.kernel.frames import UPRIGHT, ZERO, Quat, Vec3, add, to_world
from sim.kernel.ground import Anchor
from sim.kernel.hands import HoldState
from sim.kernel.motor import DriveState, MotorState
from sim.kernel.pack import PackState
from sim.kernel.radio import RadioState
from sim.kernel.sensors import SensorState
from sim.kernel.vehicle import Craft, RotorState, State
from sim.kernel.wash import STILL

NEUTRAL_US = (1500.0, 1500.0, 1000.0, 1500.0)  # us; trade's convention, throttle low
NO_OUTPUT = (0.0, 0.0, 0.0, 0.0)
NO_ROTATION = Vec3(0.0, 0.0, 0.0)


def body_at(craft: Craft, attitude: Quat) -> BodyState:
    """Return the body at rest where it is held, or standing on its feet if nothing holds it."""
    where = craft.hold.wrist_m
    if craft.hold.kind == hands.FREE:
        foot = craft.feet_m[0].z
        load = craft.body.mass_kg * craft.body.gravity_m_s2 / 4.0
        where = Vec3(where.x, where.y, -foot + load / craft.contact.stiffness_n_m)
    else:
        where = add(where, to_world(attitude, craft.hold.grip_m))
    return BodyState(where, attitude, ZERO, NO_ROTATION)


def resting_rotor(air_k: float) -> RotorState:
    """Return a rotor that does not turn, its drive as warm as the air."""
    return RotorState(
        DriveState(0.0, 0.0, 0.0), MotorState(0.0, 0.0, 0.0, air_k), 0.0, 0.0, 0.0, 0.0
    )


def initial_state(craft: Craft, attitude: Quat, charge: float, seed: int) -> State:
    """Return the state of a switched-off aircraft. seed : any integer; charge : 0..1."""
    body = body_at(craft, attitude)
    rotor = resting_rotor(craft.air.temperature_k)
    gravity = craft.body.gravity_m_s2
    return State(
        tick=0,
        random=np.uint64(seed % 2**64),
        armed=0.0,
        powered_ticks=0.0,
        rail_low_ticks=0.0,
        reset_ticks=0.0,
        clear_ticks=0.0,
        crash=0.0,
        shifted=0.0,
        touchdown_m_s=0.0,
        body=body,
        specific_force_m_s2=Vec3(0.0, 0.0, -gravity),
        rotors=(rotor, rotor, rotor, rotor),
        pack=PackState(charge, charge, 0.0, 0.0, 0.0),
        supply_v=0.0,
        feet=anchored_feet(craft, body),
        gust_m_s=ZERO,
        wash=STILL,
        hold=HoldState(attitude, ZERO, ZERO),
        radio=RadioState(NEUTRAL_US, NEUTRAL_US, 0.0, 0.0, 0.0),
        sensors=SensorState(ZERO, ZERO, ZERO, ZERO, Vec3(0.0, 0.0, -gravity), ZERO, 0.0, 0.0, 0.0),
        estimator=EstimatorState(UPRIGHT, ZERO),
        rates=RateFilter(ZERO, ZERO, ZERO, ZERO),
        controller=ControllerState(ZERO, 0.0, NO_OUTPUT),
        line=(NO_OUTPUT,) * 8,
    )


def anchored_feet(craft: Craft, body: BodyState) -> tuple[Anchor, Anchor, Anchor, Anchor]:
    """Return the feet's anchors below the feet."""

    def below(lever: Vec3) -> Anchor:
        away = to_world(body.attitude, lever)
        return Anchor(body.position_m.x + away.x, body.position_m.y + away.y, 0.0)

    a, b, c, d = craft.feet_m
    return below(a), below(b), below(c), below(d)
