"""Checks of people, area and what is fitted: looked at, asked, measured with a tape."""

from math import atan, degrees, hypot

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.bench.changes import PEOPLE_AND_ROOM, every
from sim.bench.check import Check, Line, sticks
from sim.bench.checks.attitude import PLACE_UT
from sim.bench.person import Subject, noticed, read_off, senses
from sim.bench.reading import Reading
from sim.bench.rig import Rig
from sim.bench.rig import degrees as wrapped_deg
from sim.faults.site import LIFTED_M
from sim.kernel.frames import UPRIGHT

TAPE_M = 0.01  # m; own: a tape read across a garage
RIBBON_M_S = 0.8  # m/s; own: in this wind crepe paper hangs at 45 degrees
RIBBON_DEG = 2.0  # deg; own: it never hangs quite still
SPOTTED = 0.8  # share; own: of the pieces on a floor, those one look finds
CUT_S = 0.7  # s; trade experience: a rehearsed cut
STOPWATCH_S = 0.08  # s; own
WATCH_MIN = 1.0  # min; own: how long people are watched before they are asked
LOOK_S = 8.0  # s; own: the heading settles within this time
READ_DEG = 0.8  # deg; own: how well hands keep a nose at a wall while they lift


def _ribbon_deg(rig: Rig, rng: np.random.Generator) -> float:
    """Return how far a paper ribbon over the pad is blown out of the vertical, deg."""
    site = rig.world.site
    puff = abs(site.gust_m_s * float(rng.standard_normal()))
    wind = hypot(site.wind_north_m_s, site.wind_east_m_s) + puff
    lean = degrees(atan((wind / RIBBON_M_S) ** 2))
    return read_off(rng, lean, RIBBON_DEG, 1.0, 0.0)


def _times(per_min: float, rng: np.random.Generator) -> float:
    """Return how often a habit is seen while watching: at least once, unless it is overlooked."""
    if not noticed(rng, "habit", per_min > 0.0):
        return 0.0
    return 1.0 + float(rng.poisson(per_min * WATCH_MIN))


def _habits(conduct: Conduct, rng: np.random.Generator) -> dict[str, float]:
    """Return what is seen of people in a minute of watching, and what they answer."""
    littered = noticed(rng, "litter", conduct.loose_pieces > 0)
    pieces = max(1, rng.binomial(conduct.loose_pieces, SPOTTED)) if littered else 0
    gaps = noticed(rng, "gap in the log", conduct.repairs_untried > 0)
    return {
        "visitor_steps_in": _times(float(conduct.strays), rng),
        "hands_between_blades_count": _times(conduct.reaches_per_min, rng),
        "abort_try_s": read_off(rng, CUT_S + conduct.abort_late_s, STOPWATCH_S, 0.1, 0.2),
        "same_abort_word": float(conduct.abort_late_s == 0.0),
        "phone_rings_count": _times(conduct.rings_per_min, rng),
        "repairs_without_check": float(conduct.repairs_untried) if gaps else 0.0,
        "charger_watched": float(not noticed(rng, "charger alone", not conduct.charge_watched)),
        "loose_pieces_within_3m": float(pieces),
        "nose_mark_seen": float(not noticed(rng, "no mark", not conduct.nose_marked)),
    }


def _space(rig: Rig, rng: np.random.Generator) -> dict[str, float]:
    """Return what the tape says, from the pad to the walls and from floor to ceiling, m."""
    room, pad = rig.world.site.room, rig.world.site.places.pad
    walls = (
        room.north_m - pad.north_m,
        pad.north_m - room.south_m,
        room.east_m - pad.east_m,
        pad.east_m - room.west_m,
    )
    return {
        "nearest_wall_m": min(read_off(rng, wall, TAPE_M, 0.01) for wall in walls),
        "ceiling_m": read_off(rng, room.ceiling_m, TAPE_M, 0.01),
    }


def people(rig: Rig) -> Reading:
    """Look round and ask: who is where, what they wear and do, floor, air, room, mode."""
    c, rng = rig.world.conduct, senses(rig, Subject.PEOPLE)
    bare = noticed(rng, "bare eyes", c.others_ungoggled > 0)
    values = {
        "people_in_ring": float(noticed(rng, "person in the ring", c.person_in_ring)),
        "goggles_on": float(c.goggles_on),
        "others_without_goggles": float(c.others_ungoggled) if bare else 0.0,
        "spotter_present": float(c.spotter_present),
        "helper_here": float(c.helper_here),
        "propellers_fitted": float(len(c.propellers_on)),
        "pack_plugged": float(c.pack_plugged),
        "clamped": float(c.hold == "clamp"),
        "stands_on_pad": float(c.place == "pad" and c.hold == "standing"),
        "position_hold_on": float(rig.world.setup.controller.position_hold),
    }
    values |= _habits(c, rng) | _space(rig, rng) | {"ribbon_deg": _ribbon_deg(rig, rng)}
    return Reading(
        "people-and-room",
        values,
        notes=(
            "Watched for a minute; each was asked for the abort word, then it was tried.",
            "Tape from the middle of the pad; a paper ribbon hangs over it.",
        ),
    )


def propellers(rig: Rig) -> Reading:
    """Count the propellers that are on, aloud."""
    c = rig.world.conduct
    return Reading(
        "propellers",
        {"fitted": float(len(c.propellers_on)), "pack_plugged": float(c.pack_plugged)},
    )


def _look_from(rig: Rig, height_m: float) -> tuple[float, float]:
    """Hold it level over its place at a height; return heading and field shown there."""
    world = with_value(rig.world, f"site.places.{rig.world.conduct.place}.height_m", height_m)
    rig.change(world)
    rig.place()
    rig.run(sticks(), LOOK_S)
    seen = rig.run(sticks(), 1.0)
    heading = wrapped_deg(float(np.unwrap(seen["shown_heading_rad"]).mean()))
    held = rig.craft.estimator
    field = np.array([float(seen[f"field_{axis}_ut"].mean()) for axis in "xyz"])
    turn = np.array(held.mag_mounting).reshape(3, 3)
    matrix = np.array(held.mag_matrix).reshape(3, 3)
    size = float(np.linalg.norm(matrix @ (turn @ field - np.array(held.mag_offset_ut))))
    return heading, size


def pad_survey(rig: Rig) -> Reading:
    """Hold it as it stands on the pad, then a metre higher, the nose to the same wall."""
    before, rng = rig.world, senses(rig, Subject.SURVEY)
    stands_m = before.airframe.frame.foot_down_m
    heading, field = _look_from(rig, stands_m)
    lifted, lifted_ut = _look_from(rig, stands_m + LIFTED_M)
    rig.change(before)
    rig.place(UPRIGHT)
    rig.run(sticks(), LOOK_S)
    low, high = (read_off(rng, x, READ_DEG, 0.1) for x in (heading, lifted))
    return Reading(
        "pad-survey",
        {
            "heading_standing_deg": low,
            "heading_lifted_deg": high,
            "shift_deg": round((high - low + 180.0) % 360.0 - 180.0, 1),
            "field_standing_ut": read_off(rng, field, PLACE_UT, 0.1),
            "field_lifted_ut": read_off(rng, lifted_ut, PLACE_UT, 0.1),
        },
        notes=(f"Held over the {before.conduct.place.replace('_', ' ')}.",),
    )


CHECKS = (
    Check(
        "people-and-room",
        "C20",
        "Look round and ask: people, goggles, words, floor, air, room, mode",
        2.0,
        (),
        people,
        "Who is where, what does each wear and answer, and how much room is there?",
        lines=(
            Line("arrival", 10, "people", "People, room, floor: say who is where", killer=True),
            Line(
                "last-gate", 10, "people", "People, goggles, spotter: say who is where", killer=True
            ),
        ),
        voided_by=(*PEOPLE_AND_ROOM, "fit-props", "setup.controller.position_hold", "hop"),
        caution="Nobody inside the ring, nobody without goggles, before anything turns.",
    ),
    Check(
        "propellers",
        "C02",
        "Count the propellers aloud",
        0.5,
        (),
        propellers,
        "How many are fitted?",
        lines=(
            Line(
                "arrival", 20, "propellers-off", "Propellers: say how many are fitted", killer=True
            ),
            Line("after-hop", 10, "propellers-off", "Propellers off: count them", killer=True),
        ),
        voided_by=(*every("swap:propeller-"), "remove-props", "fit-props", "crash", "hop"),
    ),
    Check(
        "pad-survey",
        "C21",
        "Read the heading held as it stands on the pad, then a metre higher",
        1.0,
        ("powered", "linked", "props_off", "in_hands"),
        pad_survey,
        "Does the heading stay the same when it is lifted?",
        lines=(Line("place", 10, "survey", "Lifted off the pad: say the heading's shift"),),
        place="pad",
        voided_by=("prepare:bigger-room", "prepare:move-pad"),
        caution="Propellers off: it has power and is in your hands.",
    ),
)
