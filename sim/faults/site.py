"""Faults of the place: floor, room, air, steel under the pad, a cold pack, marks, mode of hold."""

from math import atan2, hypot, pi

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.avionics import PAD_PLATE
from sim.aircraft.changes import with_value
from sim.aircraft.site import Site
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel.frames import ZERO, Vec3, wrapped
from sim.kernel.sensors import Dipole, FieldParams, site_field_ut
from sim.kernel.vehicle import Craft
from sim.keys import CheckKey

WALL_M = 1.5  # m; trade experience: least distance of pad and wall for a first hop
CEILING_M = 2.2  # m; own: the hop's metre and 1.2 m of clean air over the rotors
DRAUGHT_M_S = 0.3  # m/s; own: the air of a shut room stays below
GUST_M_S = 0.2  # m/s; own: the same for its changes
LIFTED_M = 1.0  # m; common practice: lift it this far and look at the heading
SURVEY_RAD = 5.0 * pi / 180.0  # rad; common practice: heading shift allowed when lifted
COLD_DEGC = 15.0  # degC; trade experience: warm a pack that is colder
LEAST_UT, SPREAD_UT = 4.5, 8.8  # uT; own: what the plate adds sideways at the compass


def nearest_wall_m(site: Site) -> float:
    """Return the distance of the pad to the nearest wall, m."""
    room, pad = site.room, site.places.pad
    return min(
        room.north_m - pad.north_m,
        pad.north_m - room.south_m,
        room.east_m - pad.east_m,
        pad.east_m - room.west_m,
    )


def field_heading_rad(site: Site, craft: Craft, lifted_m: float) -> float:
    """Return where the field over the pad points at the compass, rad from true north."""
    pad, place = site.places.pad, craft.mag_place_m
    up = lifted_m + craft.feet_m[0].z - place.z
    field = site_field_ut(Vec3(pad.north_m + place.x, pad.east_m + place.y, -up), craft.field)
    return atan2(float(field.y), float(field.x))


def survey_shift_rad(truth: Truth) -> float:
    """Return how far the heading changes when the aircraft is lifted a metre off the pad, rad."""
    standing, lifted = (
        field_heading_rad(truth.world.site, truth.craft, height) for height in (0.0, LIFTED_M)
    )
    return abs(float(wrapped(lifted - standing)))


def _littered(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "conduct.loose_pieces", 2 + round(12.0 * severity))  # pieces; own


def _crowded(world: World, severity: float, rng: np.random.Generator) -> World:
    """Lower the ceiling, or wheel a shelf to the side of the pad where no one stands."""
    if rng.random() < 0.7 and not world.site.open_air:  # own: low garages are commoner
        return with_value(world, "site.room.ceiling_m", round(2.1 - 0.35 * severity, 2))  # m; own
    return with_value(world, "site.room.west_m", round(-1.45 + 0.07 * severity, 2))  # m; own


def _too_close(truth: Truth) -> bool:
    site = truth.world.site
    return nearest_wall_m(site) < WALL_M or site.room.ceiling_m < CEILING_M


def _draughty(world: World, severity: float, rng: np.random.Generator) -> World:
    speed = 0.8 + 2.0 * severity  # m/s; trade experience 1-3 m/s
    world = with_value(world, "site.wind_north_m_s", -speed * float(rng.uniform(0.5, 1.0)))
    world = with_value(world, "site.wind_east_m_s", speed * float(rng.uniform(-0.5, 0.5)))
    return with_value(world, "site.gust_m_s", 0.3 * speed)  # 1; own: a third of it comes and goes


def _moving_air(truth: Truth) -> bool:
    site = truth.world.site
    wind = hypot(site.wind_north_m_s, site.wind_east_m_s)
    return not site.open_air and (wind > DRAUGHT_M_S or site.gust_m_s > GUST_M_S)


def _no_door(world: World) -> str:
    return (
        "In the open the air moves as it will; no door lets it in." if world.site.open_air else ""
    )


def _on_steel(world: World, severity: float, rng: np.random.Generator) -> World:
    push_ut = LEAST_UT + SPREAD_UT * severity
    return with_value(world, "site.pad_steel", push_ut / plate_ut(world.airframe))


def plate_ut(airframe: Airframe) -> float:
    """Return the field that a plain plate adds sideways at the compass of a standing aircraft, uT."""
    f = airframe.frame
    at = Vec3(f.compass_forward_m, 0.0, -f.foot_down_m - f.compass_up_m)
    none = Dipole(ZERO, ZERO)
    field = site_field_ut(at, FieldParams(ZERO, (PAD_PLATE, none)))
    return hypot(float(field.x), float(field.y))


def _holds_position(world: World, severity: float, rng: np.random.Generator) -> World:
    """Switch it on; a switch has no severity."""
    return with_value(world, "setup.controller.position_hold", True)


def _unmarked(world: World, severity: float, rng: np.random.Generator) -> World:
    """Leave the nose unmarked; a mark is there or not, whatever the severity."""
    return with_value(world, "conduct.nose_marked", False)


def _cold(world: World, severity: float, rng: np.random.Generator) -> World:
    cold = 12.0 - 8.0 * severity  # degC; trade experience: a boot or a shed in winter
    return with_value(world, "build.pack.temperature_degc", cold)


LOOK: tuple[CheckKey, ...] = ("people-and-room",)

FAULTS = (
    Fault(
        id="loose-debris",
        family="site",
        item="floor",
        hazard=3,
        opens="room-takes-part",
        inject=_littered,
        present=lambda truth: truth.world.conduct.loose_pieces > 0,
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:sweep",),
        in_the_air="Dust and chips fly up: eyes close, and a screw through a disc breaks a blade.",
        lucky="nothing was drawn into a disc this time.",
        explanation=(
            "Loose things lie within three metres of the pad. The wash lifts whatever is light and "
            "draws it round into the discs. Sweep, then look again with your head near the floor."
        ),
    ),
    Fault(
        id="ceiling-or-wall-close",
        family="site",
        item="room",
        hazard=3,
        opens="room-takes-part",
        inject=_crowded,
        present=_too_close,
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:bigger-room",),
        in_the_air=(
            "Near a wall its own wash shakes it and draws it there; near the ceiling it is sucked "
            "up."
        ),
        explanation=(
            "There is not room enough round the pad. Rotors close below a ceiling make more lift "
            "the nearer they come, and a wall bends the wash back. Measure with a tape, keep a "
            "metre and a half to each side, and more than a metre over the hop."
        ),
    ),
    Fault(
        id="draught-from-door",
        family="site",
        item="air",
        hazard=2,
        opens="room-takes-part",
        inject=_draughty,
        cannot=_no_door,
        present=_moving_air,
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:shut-door",),
        in_the_air=(
            "It slides one way, in pushes, unless it is held leaning against them: self-level "
            "does nothing there."
        ),
        explanation=(
            "Air moves through the room from a door or a fan. Self-level keeps the aircraft "
            "upright, not in its place, so it drifts with the air. A paper ribbon hung over the pad "
            "shows it: it must hang still."
        ),
    ),
    Fault(
        id="floor-steel",
        family="site",
        item="pad",
        hazard=3,
        opens="senses-led-astray",
        inject=_on_steel,
        present=lambda truth: survey_shift_rad(truth) > SURVEY_RAD,
        revealed_by=("pad-survey", "pad-look"),
        proved_by=("pad-survey",),
        fixes=("prepare:move-pad",),
        in_the_air="At takeoff the nose swings, as the heading it started with was wrong.",
        explanation=(
            "There is steel in the floor under the pad. It bends the field close to the ground and "
            "hardly at all a metre up, so the heading shown changes while the nose stays where it "
            "is. Read the heading standing and lifted; move the pad until both agree."
        ),
    ),
    Fault(
        id="position-hold-indoors",
        family="site",
        item="position hold",
        hazard=4,
        opens="room-takes-part",
        inject=_holds_position,
        present=lambda truth: truth.world.setup.controller.position_hold,
        revealed_by=("people-and-room", "settings-sheet"),
        proved_by=("people-and-room", "settings-sheet"),
        fixes=("setup.controller.position_hold",),
        in_the_air="It would follow a position made of echoes, and drive off to a wall.",
        lucky="you flew by hand, and nothing steered by position.",
        explanation=(
            "Holding a position needs a good view of the sky. Under a roof the position wanders by "
            "metres, and the aircraft goes after it. Indoors use self-level and your own eyes. "
            "This hop shows nothing of it: nothing here steers by position."
        ),
    ),
    Fault(
        id="nose-lost",
        family="site",
        item="nose mark",
        hazard=3,
        opens="cut-too-late",
        inject=_unmarked,
        present=lambda truth: not truth.world.conduct.nose_marked,
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:mark-nose",),
        in_the_air="Once it has turned, left and right are guesses, and half of them are wrong.",
        lucky="it never turned so far that front and back could be mistaken.",
        explanation=(
            "Front and back look alike. In a hover the eye needs a mark to tell where the nose "
            "points; without one the first wrong guess makes the drift worse. Put on a bright mark, "
            "and take off with the tail towards you."
        ),
    ),
    Fault(
        id="pack-cold",
        family="site",
        item="pack",
        hazard=2,
        opens="pack-not-up-to-it",
        inject=_cold,
        present=lambda truth: truth.world.build.pack.temperature_degc < COLD_DEGC,
        revealed_by=("pack-at-rest",),
        proved_by=("pack-at-rest",),
        fixes=("prepare:warm-pack", "swap:pack"),
        in_the_air="It sags more than a warm pack would, and the alarm comes sooner.",
        lucky="the pack was full enough to bear the cold for so short a hop.",
        explanation=(
            "The pack comes from the cold. Its resistance rises as it cools, half as much again "
            "some fifteen degrees down, so a full pack sags like a tired one. Let it come to room "
            "temperature before it works."
        ),
        caution="Warm it in the room or a pocket, never on a heater.",
        also=("pack-high-resistance",),
    ),
)
