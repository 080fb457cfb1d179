"""Judgements on frame, propellers and balance."""

from math import hypot

from sim.aircraft.fields import PLACES, Place
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import (
    Finding,
    Judge,
    Look,
    Signs,
    first,
    found,
    found_at,
    shows,
)

SLIDES_MM = 3.0  # mm; own: a strap over a grippy pad does not let it move
PLAY_MM = 0.25  # mm; own: felt as a click
SQUARE_DEG = 1.0  # deg; own: twice what the eye can err
BALANCE_G_MM = 0.5  # g mm; own: twice what the club's balancing leaves
SPAN_MM = 4.0  # mm; own: more than the moulds differ, less than half an inch
PITCH_IN = 0.15  # in; own: rounding of the mark
TWIST_N_M = 0.12  # N m; own: twice the torque in hover
LEAST_CLEAR_MM = 10.0  # mm; trade experience: ten millimetres clear all round
MASS_SHARE = 0.08  # share; own: straps and tape are less than this
BALANCE_MM = 3.0  # mm; trade experience
ROCK_MM = 3.0  # mm; own: less than a leg gives under the weight
STAND_DEG = 1.0  # deg; trade experience: sits level within a degree


def from_look(v: Look) -> list[Finding]:
    """Judge what moves that should not, and bells that do not stand square."""
    signs: Signs = {
        "pack-strap-loose": shows("pack_slides_mm", v["pack_slides_mm"] > SLIDES_MM),
        "arm-joint-loose": shows("arm_play_mm", v["arm_play_mm"] > PLAY_MM),
        "sensor-mount-loose": shows("board_play_mm", v["board_play_mm"] > PLAY_MM),
        "antenna-damaged": shows("aerial_kinks_count", v["aerial_kinks_count"] > 0.0),
    }
    seen = [found(cause, line) for cause, line in signs.items() if line]
    bells = {place: f"{place}_bell_off_square_deg" for place in PLACES}
    return seen + [
        found_at("motor-mount-tilted", line, place, item="motor mount")
        for place, line in bells.items()
        if v[line] > SQUARE_DEG
    ]


def _propeller_cause(v: Look, place: Place) -> tuple[FaultId, str] | None:
    """Return what is wrong with one propeller and where it shows, or None."""

    def at(name: str) -> float:
        return v[f"{place}_{name}"]

    def on(name: str, seen: bool) -> str:
        return shows(f"{place}_{name}", seen)

    wrong_size = abs(at("span_mm") - v["sheet_span_mm"]) > SPAN_MM
    wrong_pitch = abs(at("pitch_mark_in") - v["sheet_pitch_in"]) > PITCH_IN
    signs: Signs = {
        "prop-wrong-hand": on("hand_sign", at("hand_sign") != at("arrow_sign")),
        "prop-upside-down": on("marks_up_count", at("marks_up_count") < 1.0),
        "prop-hub-slip": on("twist_holds_n_m", at("twist_holds_n_m") < TWIST_N_M),
        "prop-size-mismatch": on("span_mm", wrong_size) or on("pitch_mark_in", wrong_pitch),
        "prop-nick-imbalance": on("edge_catches_count", at("edge_catches_count") > 0.0)
        or on("heavy_side_g_mm", at("heavy_side_g_mm") > BALANCE_G_MM),
    }
    return first(signs)


def from_propellers(v: Look) -> list[Finding]:
    """Judge each propeller against its arrow, the sheet and its siblings."""
    seen = []
    for place in PLACES:
        wrong = _propeller_cause(v, place)
        if wrong is not None:
            seen.append(found_at(*wrong, place, item="propeller"))
        if v[f"{place}_clear_mm"] < LEAST_CLEAR_MM:
            seen.append(found_at("wire-in-disc", f"{place}_clear_mm", place))
    return seen


def from_scales(v: Look) -> list[Finding]:
    """Judge mass, balance, and how it stands on the plate."""
    heavy_mm = hypot(v["heavy_forward_mm"], v["heavy_right_mm"])
    heavier = v.furthest(("heavy_forward_mm", "heavy_right_mm"))
    signs: Signs = {
        "over-mass": shows("mass_kg", v["mass_kg"] > (1.0 + MASS_SHARE) * v["sheet_mass_kg"]),
        "cg-offset": shows(heavier, heavy_mm > BALANCE_MM),
        "leg-snag-or-bent": shows("rocks_mm", v["rocks_mm"] > ROCK_MM)
        or shows("stands_off_level_deg", v["stands_off_level_deg"] > STAND_DEG),
    }
    return [found(cause, line) for cause, line in signs.items() if line]


JUDGES: dict[CheckKey, Judge] = {
    "look-and-tug": from_look,
    "propellers-in-hand": from_propellers,
    "weigh-and-balance": from_scales,
}
