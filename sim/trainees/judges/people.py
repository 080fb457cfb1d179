"""Judgements on people, room, propellers and the pad."""

from sim.faults.site import CEILING_M, WALL_M
from sim.keys import CheckKey
from sim.trainees.judges.finding import Finding, Judge, Look, Signs, found, set_back, shows


def _live(v: Look) -> bool:
    return v["propellers_fitted"] > 0.0 and v["pack_plugged"] > 0.0


def _signs(v: Look) -> Signs:
    """Return what shows each; all but the last two are counted, asked or seen, or held by rules."""
    live = _live(v) and v["clamped"] == 0.0 and v["stands_on_pad"] == 0.0
    return {
        "props-on-at-bench": shows("propellers_fitted", live),
        "person-in-ring": shows("visitor_steps_in", v["visitor_steps_in"] > 0.0)
        or shows("people_in_ring", v["people_in_ring"] > 0.0),
        "no-eye-protection": shows("others_without_goggles", v["others_without_goggles"] > 0.0),
        "hand-in-disc-armed": shows(
            "hands_between_blades_count", v["hands_between_blades_count"] > 0.0
        ),
        "no-spotter": shows("helper_here", v["helper_here"] == 0.0),
        "pack-charged-unattended": shows("charger_watched", v["charger_watched"] == 0.0),
        "card-interrupted": shows("phone_rings_count", v["phone_rings_count"] > 0.0),
        "repair-not-reverified": shows("repairs_without_check", v["repairs_without_check"] > 0.0),
        "loose-debris": shows("loose_pieces_within_3m", v["loose_pieces_within_3m"] > 0.0),
        "nose-lost": shows("nose_mark_seen", v["nose_mark_seen"] == 0.0),
        "position-hold-indoors": shows("position_hold_on", v["position_hold_on"] > 0.0),
        "ceiling-or-wall-close": shows("nearest_wall_m", v["nearest_wall_m"] < WALL_M)
        or shows("ceiling_m", v["ceiling_m"] < CEILING_M),
        "no-abort-plan": shows("same_abort_word", v["same_abort_word"] == 0.0)
        or v.past("no-abort-plan", "abort_try_s"),
        "draught-from-door": v.past("draught-from-door", "ribbon_deg"),
    }


def from_people(v: Look) -> list[Finding]:
    """Judge what was seen, asked and measured round the aircraft."""
    return [set_back(cause, line, v.sheet) for cause, line in _signs(v).items() if line]


def from_propellers(v: Look) -> list[Finding]:
    """Judge the count before power: with the pack plugged in there must be none."""
    live = v["fitted"] > 0.0 and v["pack_plugged"] > 0.0
    return [found("props-on-at-bench", "fitted")] if live else []


def from_survey(v: Look) -> list[Finding]:
    """Judge how far the heading changes when lifted off the pad."""
    line = v.past("floor-steel", "shift_deg")
    return [found("floor-steel", line)] if line else []


JUDGES: dict[CheckKey, Judge] = {
    "people-and-room": from_people,
    "propellers": from_propellers,
    "pad-survey": from_survey,
}
