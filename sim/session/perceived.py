"""What ears, eyes and hands tell of the aircraft at this moment, and the transmitter's own meter."""

from dataclasses import dataclass
from math import hypot, log2

from sim.aircraft.build import Propeller
from sim.aircraft.fields import PLACES, Place
from sim.bench.fitting import is_right_handed
from sim.bench.rig import Rig
from sim.bench.transmitter import DEAD_V, pack_v
from sim.kernel.frames import Quat, Vec3, cross, scale
from sim.kernel.hands import cable_n_m
from sim.units import RAD_S_PER_RPM

SEEN_TURNING_RAD_S = 20.0  # rad/s; own: slower rotors are seen to stand still
FOLLOWED_RAD_S = 120.0  # rad/s; own: which way a flag of tape turns is seen up to 19 turns a second
SEMITONES = 12.0  # in a doubling; own: an ear names a pitch to a semitone
LEAST_RPM = 100.0  # rpm; own: what is slower is no tone
SPAN_STEP = 0.05  # of the diameter; own: the eye tells half an inch of ten side by side
METER_V = 0.1  # V; own: the last digit of the transmitter's own meter
PULL_N_M = 0.1  # N m; own: a newton at a hand's breadth is the least a wrist tells
SHAKE_M_S2 = 0.25  # m/s2; own: the least trembling that fingers tell; they tell doublings of it


@dataclass(frozen=True)
class TransmitterMeter:
    """What the transmitter shows of itself."""

    pack_v: float


@dataclass(frozen=True)
class MotorSeen:
    """One motor as seen and heard. spin : +1 clockwise, −1 the other way, 0 if the eye can't tell."""

    turning: bool
    spin: int
    heard_rpm: float


@dataclass(frozen=True)
class Felt:
    """What the hands that hold it feel.

    shake_m_s2 : trembling, 0 or the nearest doubling of the least felt; lifts : the corner that pulls
    up, None if none does; pull_n_m : how hard it has to be held against that.
    """

    shake_m_s2: float
    lifts: Place | None
    pull_n_m: float


@dataclass(frozen=True)
class PropellerSeen:
    """What one sees of a propeller without touching it.

    clockwise : moulded to turn so, seen from above: the high edge goes first that way;
    span : of the design's diameter, 1; marks_up : the marked face is up; nicked : an edge is.
    """

    clockwise: bool
    marks_up: bool
    span: float
    nicked: bool


def transmitter_meter(rig: Rig) -> TransmitterMeter | None:
    """Return the transmitter's own meter; None while it is off or its pack is dead."""
    volts = pack_v(rig.world, rig.transmitter_s)
    if not rig.world.conduct.transmitter_on or volts <= DEAD_V:
        return None
    return TransmitterMeter(round(round(volts / METER_V) * METER_V, 1))


def heard_rpm(speed_rad_s: float) -> float:
    """Return a speed as the ear names it: the nearest semitone, 0 if it is no tone."""
    rpm = speed_rad_s / RAD_S_PER_RPM
    if rpm < LEAST_RPM:
        return 0.0
    steps = round(SEMITONES * log2(rpm / LEAST_RPM))
    return float(round(LEAST_RPM * 2.0 ** (steps / SEMITONES)))


def motors(rig: Rig) -> dict[Place, MotorSeen]:
    """Return the four motors as seen and heard."""
    found: dict[Place, MotorSeen] = {}
    for i, place in enumerate(PLACES):
        speed = rig.value(f"rotors.{i}.motor.speed_rad_s")
        turning = speed > SEEN_TURNING_RAD_S
        told = turning and speed < FOLLOWED_RAD_S
        spin = int(rig.craft.rotors[i].spin) if told else 0
        found[place] = MotorSeen(turning, spin, heard_rpm(speed))
    return found


def propellers(rig: Rig) -> dict[Place, PropellerSeen]:
    """Return the propellers as seen: what is on a corner, or lies ready for it."""
    found: dict[Place, PropellerSeen] = {}
    for place in PLACES:
        piece: Propeller = getattr(rig.world.build.rotors, place).propeller
        span = round(piece.diameter_ratio / SPAN_STEP) * SPAN_STEP
        hand = is_right_handed(rig.world, place)
        found[place] = PropellerSeen(hand, piece.right_way_up, span, piece.nicked)
    return found


def felt(rig: Rig) -> Felt | None:
    """Return what the hands feel; None while the aircraft is not in them."""
    if rig.world.conduct.hold != "hands":
        return None
    size = 0.0
    for i, rotor in enumerate(rig.craft.rotors):
        speed = rig.value(f"rotors.{i}.motor.speed_rad_s")
        size = hypot(size, rotor.unbalance_kg_m * speed * speed / rig.craft.body.mass_kg)
    doublings = round(log2(size / SHAKE_M_S2)) if size >= SHAKE_M_S2 else None
    shake_m_s2 = 0.0 if doublings is None else SHAKE_M_S2 * 2.0**doublings
    pull = pull_n_m(rig)
    strength = round(hypot(pull.x, pull.y) / PULL_N_M) * PULL_N_M
    return Felt(shake_m_s2, lifting(pull) if strength > 0.0 else None, round(strength, 1))


def pull_n_m(rig: Rig) -> Vec3:
    """Return the torque of the rotors' thrust and of a drawn-out cable on the aircraft, body axes."""
    total = Vec3(0.0, 0.0, 0.0)
    if rig.craft.hold.cable > 0.0:
        total = cable_n_m(Quat(*(rig.value(f"body.attitude.{axis}") for axis in "wxyz")))
    for i, rotor in enumerate(rig.craft.rotors):
        push = scale(rotor.axis, rig.value(f"rotors.{i}.thrust_n"))
        turn = cross(rotor.hub_m, push)
        total = Vec3(total.x + turn.x, total.y + turn.y, total.z + turn.z)
    return total


def lifting(torque_n_m: Vec3) -> Place:
    """Return the corner a torque lifts: rolling right lifts the left side, nose up the front."""
    front = torque_n_m.y > 0.0
    if torque_n_m.x > 0.0:
        return "front_left" if front else "rear_left"
    return "front_right" if front else "rear_right"
