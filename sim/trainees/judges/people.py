"""Judgements on people, room, propellers and the pad."""

from collections.abc import Callable

from sim.aircraft.airframe import BuildSheet
from sim.faults.site import CEILING_M, SURVEY_RAD, WALL_M
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Values, found, set_back
from sim.units import RAD_PER_DEG

CUT_ON_THE_WORD_S = (
    1.2  # s; training practice: word to cut within a second, and the stopwatch's error
)
RIBBON_STILL_DEG = 10.0  # deg; own: a ribbon in a shut room hangs within a few degrees


def _live(v: Values) -> bool:
    return v["propellers_fitted"] > 0.0 and v["pack_plugged"] > 0.0


SIGNS: dict[FaultId, Callable[[Values], bool]] = {
    "props-on-at-bench": lambda v: _live(v) and not v["clamped"] and not v["stands_on_pad"],
    "person-in-zone": lambda v: v["visitor_steps_in"] > 0.0 or v["people_in_ring"] > 0.0,
    "no-eye-protection": lambda v: v["others_without_goggles"] > 0.0,
    "hand-in-disc-armed": lambda v: v["hands_between_blades_count"] > 0.0,
    "no-spotter": lambda v: not v["helper_here"],
    "no-abort-plan": lambda v: v["abort_try_s"] > CUT_ON_THE_WORD_S or not v["same_abort_word"],
    "pack-charged-unattended": lambda v: not v["charger_watched"],
    "checklist-interrupted": lambda v: v["phone_rings_count"] > 0.0,
    "repair-not-reverified": lambda v: v["repairs_without_check"] > 0.0,
    "loose-debris": lambda v: v["loose_pieces_within_3m"] > 0.0,
    "ceiling-or-wall-close": lambda v: v["nearest_wall_m"] < WALL_M or v["ceiling_m"] < CEILING_M,
    "draught-from-door": lambda v: v["ribbon_deg"] > RIBBON_STILL_DEG,
    "nose-lost": lambda v: not v["nose_mark_seen"],
    "position-hold-indoors": lambda v: v["position_hold_on"] > 0.0,
}  # what shows each


def from_people(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge what was seen, asked and measured round the aircraft."""
    return [set_back(cause, sheet) for cause, shows in SIGNS.items() if shows(v)]


def from_propellers(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge the count before power: with the pack plugged in there must be none."""
    live = v["fitted"] > 0.0 and v["pack_plugged"] > 0.0
    return [found("props-on-at-bench")] if live else []


def from_survey(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge how far the heading changes when lifted off the pad."""
    shifts = abs(v["shift_deg"]) * RAD_PER_DEG > SURVEY_RAD
    return [found("floor-steel")] if shifts else []


JUDGES: dict[CheckKey, Judge] = {
    "people-and-room": from_people,
    "propellers": from_propellers,
    "pad-survey": from_survey,
}
