"""The two views: which stage, which eye, which light falls on what moves in it."""

from dataclasses import dataclass

import numpy as np

from sim.aircraft.site import Room
from sim.window.scene.camera import Array, Camera
from sim.window.scene.closeups import closeup, closeup_of
from sim.window.scene.drawing import Light, Pose, turn_of
from sim.window.scene.light import Stage
from sim.window.scene.model import CraftPicture, RoomPicture
from sim.window.scene.rooms import pad_camera, pad_stage

PAD_SCALE = 1.45  # 1; own: drawn larger than life, being only about 90 px wide at 4 to 5 m
CLOSE_SCALE = 1.15  # own: a little larger than life before one's eyes too
HELD_M = {"standing": 0.0, "hands": 0.24, "clamp": 0.20}  # m above the ground; own
# Light on what moves: own, matched by eye to the baked rooms; no unit.
PAD_LIGHT = Light(
    (0.18, -0.25, 0.95), (0.95, 0.88, 0.76), (0.62, 0.58, 0.52), (0.20, 0.18, 0.16), 1.3
)
CLOSE_LIGHT = Light(
    (-0.32, -0.42, 0.85), (1.05, 0.96, 0.80), (0.62, 0.59, 0.54), (0.22, 0.19, 0.16), 1.25
)


@dataclass(frozen=True)
class Outlook:
    """One view: name of its backdrop, its eye, its light, the lamp that throws shadows, the ground."""

    name: str
    camera: Camera
    light: Light
    lamp_m: Array
    ground_m: float
    close: bool


def extents(room: Room) -> tuple[float, float, float, float, float]:
    """Return what of a room changes its picture."""
    return (room.north_m, room.south_m, room.east_m, room.west_m, room.ceiling_m)


def outlook(picture: RoomPicture) -> Outlook:
    """Return the view asked for."""
    if picture.view == "bench":
        name = closeup_of(picture.place)
        close = closeup(name)
        lamp = np.array([-0.30, -0.50, close.ground_m + (1.3 if name == "bench" else 2.2)])
        return Outlook(name, close.camera, CLOSE_LIGHT, lamp, close.ground_m, True)
    room = picture.room
    lamp = np.array([0.35, 0.0, room.ceiling_m])
    return Outlook("pad", pad_camera(room), PAD_LIGHT, lamp, 0.0, False)


def stage(picture: RoomPicture) -> Stage:
    """Return what is to be baked for a view."""
    if picture.view == "bench":
        return closeup(closeup_of(picture.place)).stage
    return pad_stage(picture.room)


def pose(craft: CraftPicture, look: Outlook, points_m: Array, foot_m: float) -> Pose:
    """Return where the aircraft is drawn; enlarged, its lowest point keeps its height.

    points_m : low points of the mesh in body measures; foot_m : how far the feet are below.
    """
    turn = turn_of(craft.attitude)
    if look.close:
        up = look.ground_m + foot_m + HELD_M[craft.hold]
        if craft.hold == "standing":
            up = look.ground_m - CLOSE_SCALE * float((points_m @ turn[2]).min())
        return Pose(turn, np.array([0.0, 0.0, up]), CLOSE_SCALE)
    north, east, down = craft.position_m
    lowest = float((points_m @ turn[2]).min())
    lift = -lowest * (PAD_SCALE - 1.0)
    return Pose(turn, np.array([north, east, -down + lift]), PAD_SCALE)
