"""What the eye sees: the aircraft, and the room with its people and things."""

from dataclasses import dataclass
from typing import Literal

from sim.aircraft.site import Room

Four = tuple[float, float, float, float]


@dataclass(frozen=True)
class CraftPicture:
    """The aircraft as seen; SI, world north-east-down, quaternion scalar-first body to world.

    rotor_speed_rad_s, rotor_angle_rad : front_left, front_right, rear_right, rear_left;
        angles clockwise seen from above, from the nose.
    """

    position_m: tuple[float, float, float]
    attitude: Four
    rotor_speed_rad_s: Four
    rotor_angle_rad: Four
    props_fitted: bool
    pack_plugged: bool
    nose_marked: bool
    hold: Literal["standing", "hands", "clamp"]
    powered: bool
    armed: bool
    broken: bool


@dataclass(frozen=True)
class RoomPicture:
    """The room, its people and things."""

    view: Literal["pad", "bench"]
    place: str
    spotter: bool
    goggles: bool
    person_in_ring: bool
    barrier: bool
    room: Room
