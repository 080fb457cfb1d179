"""The controller's motor test: chosen outputs get a command straight, the others stay mute."""

from collections.abc import Iterable
from math import inf

from sim.aircraft.fields import PLACES, Place
from sim.kernel.controller import AxisGains, ControllerParams
from sim.kernel.frames import Vec3
from sim.kernel.radio import Channel, Input
from sim.kernel.vehicle import Craft, RotorParams

WIGGLES = 6.0  # 1; own: a bad joint opens that much more often while a hand moves its leads
MUTE = AxisGains(0.0, 0.0, 0.0)
STRAIGHT = Channel(1.0, 1000.0, 1500.0, 2000.0, 0.0)  # us; the trade's convention
STRAIGHT_INPUT = Input(1.0, 1000.0, 1500.0, 2000.0)  # us; the same


def driving_only(craft: Craft, outputs: Iterable[Place], wiggle: float) -> Craft:
    """Return the aircraft as its motor test drives it.

    The loops are off and throttle reaches the chosen outputs unchanged; the other drives get
    nothing. wiggle : how many times more often a bad joint opens while its leads are moved.
    """
    wanted = {float(PLACES.index(place)) for place in outputs}
    a, b, c, d = (_tested(rotor, rotor.output in wanted, wiggle) for rotor in craft.rotors)
    radio = craft.radio._replace(
        channels=(STRAIGHT,) * 4,
        inputs=(STRAIGHT_INPUT,) * 4,
        order=(0.0, 1.0, 2.0, 3.0),
        loss_chance=0.0,
        jitter_us=0.0,
        failsafe_stops=0.0,
    )
    return craft._replace(rotors=(a, b, c, d), radio=radio, controller=_open(craft.controller))


def _open(settings: ControllerParams) -> ControllerParams:
    return settings._replace(
        roll=MUTE,
        pitch=MUTE,
        yaw=MUTE,
        sense=Vec3(1.0, 1.0, 1.0),
        throttle_gain=1.0,
        idle=0.0,
        stop_switch=0.0,
    )


def _tested(rotor: RotorParams, wanted: bool, wiggle: float) -> RotorParams:
    motor = rotor.motor
    if wanted:
        motor = motor._replace(gap_rate_per_s=motor.gap_rate_per_s * wiggle)
    else:
        motor = motor._replace(start_command=inf)
    return rotor._replace(motor=motor)
