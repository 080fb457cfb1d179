"""The two views: which stage, which eye, which light falls on what moves in it."""

from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from sim.aircraft.conduct import Hold
from sim.aircraft.site import Room
from sim.window.scene.camera import Array, Camera, magnified
from sim.window.scene.closeups import closeup, closeup_of
from sim.window.scene.craft import Craft
from sim.window.scene.drawing import Light, Pose, turn_of
from sim.window.scene.light import Stage
from sim.window.scene.model import CraftPicture, RoomPicture
from sim.window.scene.people import SPOTTER_M
from sim.window.scene.rooms import pad_camera, pad_stage
from sim.window.scene.sizes import sizes

CLOSER = 1.15  # 1; own: how closely one looks at the aircraft of DRAWN_REACH_M before one's eyes
DRAWN_REACH_M = 0.352  # m; own: from its middle to the tip of a blade
CLOSER_POWER = 0.6  # 1; own: small aircraft are looked at closer, and still look smaller
HELD = {"standing": 0.0, "hands": 0.68, "clamp": 0.57}  # of the reach above the ground; own
HELD_LEAST_M = 0.09  # m; own: hands and clamp need some room under it
HELD_MOST_M = 0.42  # m; own: the middle of a large aircraft is held no higher
NEAR_M = (-0.12, 0.0, 0.0)  # m; own: the pad this near stays in the picture, before an aircraft
HEAD_M = (*SPOTTER_M, 1.78)  # m; and so does the spotter's head
MOUTH_M = (
    SPOTTER_M[0] - 0.08,
    SPOTTER_M[1] - 0.08,
    1.58,
)  # m; own: of that head, turned to the pad
BORDER = 0.04  # of the height; own: what is left above the head and below the pad
PAD_MIDDLE_M = (0.0, 0.0, 0.25)  # m; own: in the middle where there is no room for the head too
SURELY_M = 1.4  # m; own: this near to the pad it is in every picture, which saves working it out
SURELY_NORTH_M = -0.5  # m; own: nearer to the pilot it may pass below the picture
CLOSEST = 1.45  # 1; own: of the pad; closer would hide what lies round it
LEAST_SHARE = 0.09  # of the width; own: an aircraft is never drawn smaller than this on the pad
GLANCE_SHARE = 0.19  # of the width; own: large enough to tell people apart
GLANCE_HIGH = 0.60  # of its width; own: as wide as the pad's picture is
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


def factor(look: Outlook, size: tuple[int, int], reach_m: float) -> float:
    """Return how many times as large as baked a view is drawn in a picture of that size.

    The smaller the aircraft the more closely one looks, at the pad no closer than both the aircraft
    and the spotter's head can be seen, if it is not tiny.
    """
    least = magnified(size)
    if look.close:
        return least * float(max(CLOSER * (DRAWN_REACH_M / reach_m) ** CLOSER_POWER, 1.0))
    lens = look.camera.lens()
    (near, head), (far_m, _) = lens.project(np.array([NEAR_M, HEAD_M]))
    both = (1.0 - 2.0 * BORDER) * size[1] / (near[1] - head[1])
    big_enough = LEAST_SHARE * size[0] / (2.0 * reach_m * lens.focal_px / far_m)
    return float(max(least, min(both, CLOSEST * least), big_enough))


def middle_px(look: Outlook, size: tuple[int, int], factor: float, where: Pose) -> Array:
    """Return what is in the middle: before one's eyes the aircraft, else pad and spotter, as baked."""
    lens = look.camera.lens()
    if look.close:
        return lens.project(where.origin_m)[0]
    (near, head, pad), _ = lens.project(np.array([NEAR_M, HEAD_M, PAD_MIDDLE_M]))
    fits = (near[1] - head[1]) * factor <= (1.0 - BORDER) * size[1]
    return np.array([lens.centre_px[0], (near[1] + head[1]) / 2 if fits else pad[1]])


def held_m(hold: Hold, reach_m: float, foot_m: float) -> float:
    """Return how far above the ground the feet of an aircraft are held before one's eyes."""
    wanted = min(HELD[hold] * reach_m, HELD_MOST_M - foot_m)
    return 0.0 if hold == "standing" else max(wanted, HELD_LEAST_M)


def mouth_px(craft: CraftPicture, room: RoomPicture, size: tuple[int, int]) -> tuple[float, float]:
    """Return where the spotter's mouth is in a picture of the pad of that size; it may lie outside."""
    return _seen_px(craft, room, size, np.array(MOUTH_M))


def in_sight(craft: CraftPicture, room: RoomPicture, size: tuple[int, int]) -> bool:
    """Tell whether the middle of the aircraft is in a picture of the pad of that size."""
    north, east, down = craft.position_m
    if north > SURELY_NORTH_M and hypot(north, east, down) < SURELY_M:
        return True
    x, y = _seen_px(craft, room, size, np.array([north, east, -down]))
    return 0.0 <= x <= size[0] and 0.0 <= y <= size[1]


def _seen_px(
    craft: CraftPicture, room: RoomPicture, size: tuple[int, int], point_m: Array
) -> tuple[float, float]:
    look, (north, east, down) = outlook(room), craft.position_m
    where = Pose(np.eye(3), np.array([north, east, -down]))
    times = factor(look, size, round(sizes(craft.airframe).reach_m, 3))
    corner = look.camera.corner(times, size, middle_px(look, size, times, where), where.origin_m)
    flat, _ = look.camera.lens(times).project(point_m)
    return float(flat[0] - corner[0]), float(flat[1] - corner[1])


def glance_rect(size: tuple[int, int]) -> tuple[int, int, int, int]:
    """Return where in a close view the glance at the pad is drawn: left, top, width, height, px."""
    w, h = round(GLANCE_SHARE * size[0]), round(GLANCE_SHARE * GLANCE_HIGH * size[0])
    edge = round(0.012 * size[0])
    return size[0] - w - edge, edge, w, h


def glance_of(picture: RoomPicture) -> RoomPicture:
    """Return what one sees of the pad and the people there, looking over one's shoulder."""
    return replace(picture, view="pad", mark_m=None)


def pose(craft: CraftPicture, look: Outlook, body: Craft) -> Pose:
    """Return where the aircraft is drawn; before one's eyes it is held or stands in the middle."""
    turn = turn_of(craft.attitude)
    if look.close:
        up = look.ground_m + body.foot_m + held_m(craft.hold, body.size.reach_m, body.foot_m)
        if craft.hold == "standing":
            up = look.ground_m - float((body.low_m @ turn[2]).min())
        return Pose(turn, np.array([0.0, 0.0, up]))
    north, east, down = craft.position_m
    return Pose(turn, np.array([north, east, -down]))
