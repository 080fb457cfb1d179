"""Hands at the aircraft: turn it to a pose by eye, hold it there, wait."""

from math import pi

from sim.aircraft.assemble import TURN_LIMIT_RAD_S
from sim.bench.check import sticks
from sim.bench.inputs import Inputs, Turning
from sim.kernel.frames import Vec3, attitude_error, from_angles, norm
from sim.session.view import Seen
from sim.trainees.byhand.routine import still
from sim.trainees.driver import Hands
from sim.units import RAD_PER_DEG

LOOK_S = 0.05  # s; own: an eye follows a turn that often
EASE_PER_S = 3.0  # 1/s; own: slower the nearer it comes
THERE_RAD = 1.5 * RAD_PER_DEG  # rad; own: by eye and by the display
PATIENCE_S = 8.0  # s; own: longer than any turn takes


def _share(error_rad: float) -> float:
    return max(-1.0, min(1.0, EASE_PER_S * error_rad / TURN_LIMIT_RAD_S))


def away_rad(seen: Seen, roll_deg: float, pitch_deg: float, heading_deg: float) -> Vec3:
    """Return the turn that is left to a pose, rad about the body's axes."""
    now = from_angles(seen.roll_rad, seen.pitch_rad, seen.heading_rad)
    to = from_angles(*(angle * pi / 180.0 for angle in (roll_deg, pitch_deg, heading_deg)))
    left: Vec3 = attitude_error(to, now)
    return left


def pose(hands: Hands, roll_deg: float, pitch_deg: float, heading_deg: float = 0.0) -> None:
    """Turn the aircraft in the hands to a pose and let it come to rest there."""
    for _ in range(round(PATIENCE_S / LOOK_S)):
        left = away_rad(hands.see().aircraft, roll_deg, pitch_deg, heading_deg)
        if norm(left) < THERE_RAD:
            break
        hands.fly(Inputs(sticks(), Turning(*(_share(axis) for axis in left))), LOOK_S)
    still(hands, 0.5)
