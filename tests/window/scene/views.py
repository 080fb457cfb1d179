"""Pictures that the tests of the views share."""

from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pygame

from sim.aircraft import library
from sim.aircraft.fields import PLACES
from sim.session.perceived import PropellerSeen
from sim.session.scenario import load
from sim.window.scene.model import ALL_ON, BARE, CraftPicture, RoomPicture

SITE = library.site("lockup-garage")
AIRFRAME = library.airframe(load("quiet-morning").airframe)
SMALL = (640, 360)  # px; the smallest size a view must be readable at


def attitude(roll_deg=0.0, pitch_deg=0.0, heading_deg=0.0):
    """Body to world, scalar first: heading, then pitch, then roll."""
    (cr, sr), (cp, sp), (ch, sh) = (
        (cos(radians(a) / 2), sin(radians(a) / 2)) for a in (roll_deg, pitch_deg, heading_deg)
    )
    return (
        cr * cp * ch + sr * sp * sh,
        sr * cp * ch - cr * sp * sh,
        cr * sp * ch + sr * cp * sh,
        cr * cp * sh - sr * sp * ch,
    )


def as_designed(airframe):
    """The four propellers as they belong."""
    return tuple(PropellerSeen(p in airframe.clockwise, True, 1.0, False) for p in PLACES)


ON_PAD = CraftPicture(
    airframe=AIRFRAME,
    position_m=(0.0, 0.0, -AIRFRAME.frame.foot_down_m),
    attitude=attitude(),
    rotor_speed_rad_s=(0.0,) * 4,
    rotor_angle_rad=(0.3, 1.2, 2.0, 2.8),
    fitted=ALL_ON,
    propellers=as_designed(AIRFRAME),
    pack_plugged=True,
    cabled=False,
    nose_marked=True,
    hold="standing",
    powered=True,
    armed=False,
    broken=False,
)
HOVER = replace(
    ON_PAD,
    position_m=(0.1, -0.25, -1.1),
    attitude=attitude(6.0, -4.0, 12.0),
    rotor_speed_rad_s=(480.0,) * 4,
    armed=True,
)
CRASH = replace(
    ON_PAD, position_m=(0.3, 0.5, -0.10), attitude=attitude(150.0, 20.0, 60.0), broken=True
)
IN_HAND = replace(ON_PAD, hold="hands", attitude=attitude(25.0, 10.0, -20.0), fitted=BARE)
UNPLUGGED = replace(ON_PAD, fitted=BARE, pack_plugged=False, powered=False, nose_marked=False)
CLAMPED = replace(ON_PAD, hold="clamp", rotor_speed_rad_s=(60.0, 200.0, 0.0, 480.0))

PAD = RoomPicture("pad", "pad", True, True, False, True, SITE.room)
STRAY = replace(PAD, goggles=False, person_in_ring=True, barrier=False)
EMPTY = replace(PAD, spotter=False, barrier=False)
BENCH = RoomPicture("bench", "bench", False, False, False, True, SITE.room)
FLOOR = replace(BENCH, place="open_floor")
CUPBOARD = replace(BENCH, place="steel_cupboard")


def painted(painter, craft, room, size=SMALL):
    """The view as an array (height, width, 3)."""
    surface = pygame.Surface(size, depth=32)
    surface.fill((255, 0, 255))
    painter.paint(surface, craft, room)
    return np.ascontiguousarray(pygame.surfarray.array3d(surface).swapaxes(0, 1))


def changed(a, b):
    """Where two pictures differ to the eye."""
    return np.abs(a.astype(int) - b.astype(int)).max(axis=2) > 12
