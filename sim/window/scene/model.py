"""What the eye sees: the aircraft, and the room with its people and things."""

from dataclasses import dataclass
from typing import Literal

from sim.aircraft.airframe import Airframe
from sim.aircraft.site import Room
from sim.session.perceived import PropellerSeen

Four = tuple[float, float, float, float]
FourSeen = tuple[PropellerSeen, PropellerSeen, PropellerSeen, PropellerSeen]
BARE = (False, False, False, False)
ALL_ON = (True, True, True, True)


@dataclass(frozen=True)
class Offered:
    """A propeller in the hand over a corner: which corner, how it looks, whose place it lay at."""

    corner: int
    seen: PropellerSeen
    lay_at: int | None  # None: it comes from the shelf


@dataclass(frozen=True)
class CraftPicture:
    """The aircraft as seen; SI, world north-east-down, quaternion scalar-first body to world.

    rotor_speed_rad_s, rotor_angle_rad, fitted, propellers : front_left, front_right, rear_right,
        rear_left; angles clockwise seen from above, from the nose. What is not fitted lies ready.
    """

    airframe: Airframe
    position_m: tuple[float, float, float]
    attitude: Four
    rotor_speed_rad_s: Four
    rotor_angle_rad: Four
    fitted: tuple[bool, bool, bool, bool]
    propellers: FourSeen
    pack_plugged: bool
    cabled: bool
    nose_marked: bool
    hold: Literal["standing", "hands", "clamp"]
    powered: bool
    armed: bool
    broken: bool
    offered: Offered | None = None


@dataclass(frozen=True)
class RoomPicture:
    """The room, its people and things.

    mark_m : north, east and height of the tape on the stick beside the pad; None: there is none.
    """

    view: Literal["pad", "bench"]
    place: str
    spotter: bool
    goggles: bool
    person_in_ring: bool
    barrier: bool
    room: Room
    mark_m: tuple[float, float, float] | None = None
