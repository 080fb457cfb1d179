"""Judgements on people, room, propellers and the pad."""

from collections.abc import Callable

from sim.faults.site import CEILING_M, SURVEY_RAD, WALL_M
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Look, found, set_back
from sim.units import RAD_PER_DEG

CUT_ON_THE_WORD_S = (
    1.2  # s; training practice: word to cut within a second, and the stopwatch's error
)
RIBBON_STILL_DEG = 10.0  # deg; own: a ribbon in a shut room hangs within a few degrees


def _live(v: Look) -> bool:
    return v["propellers_fitted"] > 0.0 and v["pack_plugged"] > 0.0


SIGNS: dict[FaultId, dict[str, Callable[[Look], bool]]] = {
    "props-on-at-bench": {
        "propellers_fitted": lambda v: _live(v) and not v["clamped"] and not v["stands_on_pad"]
    },
    "person-in-zone": {
        "visitor_steps_in": lambda v: v["visitor_steps_in"] > 0.0,
        "people_in_ring": lambda v: v["people_in_ring"] > 0.0,
    },
    "no-eye-protection": {"others_without_goggles": lambda v: v["others_without_goggles"] > 0.0},
    "hand-in-disc-armed": {
        "hands_between_blades_count": lambda v: v["hands_between_blades_count"] > 0.0
    },
    "no-spotter": {"helper_here": lambda v: not v["helper_here"]},
    "no-abort-plan": {
        "abort_try_s": lambda v: v["abort_try_s"] > CUT_ON_THE_WORD_S,
        "same_abort_word": lambda v: not v["same_abort_word"],
    },
    "pack-charged-unattended": {"charger_watched": lambda v: not v["charger_watched"]},
    "checklist-interrupted": {"phone_rings_count": lambda v: v["phone_rings_count"] > 0.0},
    "repair-not-reverified": {"repairs_without_check": lambda v: v["repairs_without_check"] > 0.0},
    "loose-debris": {"loose_pieces_within_3m": lambda v: v["loose_pieces_within_3m"] > 0.0},
    "ceiling-or-wall-close": {
        "nearest_wall_m": lambda v: v["nearest_wall_m"] < WALL_M,
        "ceiling_m": lambda v: v["ceiling_m"] < CEILING_M,
    },
    "draught-from-door": {"ribbon_deg": lambda v: v["ribbon_deg"] > RIBBON_STILL_DEG},
    "nose-lost": {"nose_mark_seen": lambda v: not v["nose_mark_seen"]},
    "position-hold-indoors": {"position_hold_on": lambda v: v["position_hold_on"] > 0.0},
}  # the lines each shows on, and how


def from_people(v: Look) -> list[Finding]:
    """Judge what was seen, asked and measured round the aircraft."""
    return [
        set_back(cause, line, v.sheet)
        for cause, lines in SIGNS.items()
        if (line := next((line for line, seen in lines.items() if seen(v)), ""))
    ]


def from_propellers(v: Look) -> list[Finding]:
    """Judge the count before power: with the pack plugged in there must be none."""
    live = v["fitted"] > 0.0 and v["pack_plugged"] > 0.0
    return [found("props-on-at-bench", "fitted")] if live else []


def from_survey(v: Look) -> list[Finding]:
    """Judge how far the heading changes when lifted off the pad."""
    shifts = abs(v["shift_deg"]) * RAD_PER_DEG > SURVEY_RAD
    return [found("floor-steel", "shift_deg")] if shifts else []


JUDGES: dict[CheckKey, Judge] = {
    "people-and-room": from_people,
    "propellers": from_propellers,
    "pad-survey": from_survey,
}
