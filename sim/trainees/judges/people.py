"""Judgements on people, room, propellers and the pad."""

from collections.abc import Callable

from sim.aircraft.airframe import BuildSheet
from sim.faults.catalogue import CATALOGUE
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, claim

Values = dict[str, float]

ABORT_S = 1.2  # s; training practice: word to cut within a second, and the stopwatch's error
WALL_M = 1.5  # m; trade experience
CEILING_M = 2.2  # m; own: the hop's metre and 1.2 m over the rotors
RIBBON_DEG = 10.0  # deg; own: a ribbon in a shut room hangs within a few degrees
SHIFT_DEG = 5.0  # deg; common practice


def _live(v: Values) -> bool:
    return v["propellers_fitted"] > 0.0 and v["pack_plugged"] > 0.0


SIGNS: dict[str, tuple[Callable[[Values], bool], str]] = {
    "props-on-at-bench": (
        lambda v: _live(v) and not v["clamped"] and not v["stands_on_pad"],
        "remove-props",
    ),
    "person-in-zone": (
        lambda v: v["visitor_steps_in"] > 0.0 or (_live(v) and v["people_in_ring"] > 0.0),
        "prepare:clear-ring",
    ),
    "no-eye-protection": (
        lambda v: v["others_without_goggles"] > 0.0,
        "prepare:goggles",
    ),
    "hand-in-disc-armed": (
        lambda v: v["hands_between_blades_count"] > 0.0,
        "prepare:hands-rule",
    ),
    "no-spotter": (
        lambda v: not v["helper_here"],
        "prepare:spotter",
    ),
    "no-abort-plan": (
        lambda v: v["abort_try_s"] > ABORT_S or not v["same_abort_word"],
        "prepare:brief-abort",
    ),
    "pack-charged-unattended": (lambda v: not v["charger_watched"], "prepare:watch-charge"),
    "checklist-interrupted": (lambda v: v["phone_rings_count"] > 0.0, "prepare:restart-card"),
    "repair-not-reverified": (
        lambda v: v["repairs_without_check"] > 0.0,
        "prepare:retest-repairs",
    ),
    "loose-debris": (lambda v: v["loose_pieces_within_3m"] > 0.0, "prepare:sweep"),
    "ceiling-or-wall-close": (
        lambda v: v["nearest_wall_m"] < WALL_M or v["ceiling_m"] < CEILING_M,
        "prepare:bigger-room",
    ),
    "draught-from-door": (lambda v: v["ribbon_deg"] > RIBBON_DEG, "prepare:shut-door"),
    "nose-lost": (lambda v: not v["nose_mark_seen"], "prepare:mark-nose"),
    "position-hold-indoors": (lambda v: v["position_hold_on"] > 0.0, "set"),
}  # what shows each, and what cures it
SETTINGS = {
    "position-hold-indoors": (Set(key="setup.controller.position_hold", value=False),),
}


def _finding(cause: str, cure: str) -> Finding:
    return Finding(claim(CATALOGUE[cause].item, cause), cure, SETTINGS.get(cause, ()))


def from_people(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge what was seen, asked and measured round the aircraft."""
    return [_finding(cause, cure) for cause, (shows, cure) in SIGNS.items() if shows(v)]


def from_propellers(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge the count before power: with the pack plugged in there must be none."""
    if v["fitted"] > 0.0 and v["pack_plugged"] > 0.0:
        return [_finding("props-on-at-bench", "remove-props")]
    return []


def from_survey(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge how far the heading changes when lifted off the pad."""
    return [_finding("floor-steel", "prepare:move-pad")] if abs(v["shift_deg"]) > SHIFT_DEG else []


JUDGES: dict[str, Judge] = {
    "people-and-room": from_people,
    "propellers": from_propellers,
    "pad-survey": from_survey,
}
