"""Judgements on frame, propellers and balance."""

from math import hypot

from sim.aircraft.airframe import BuildSheet
from sim.aircraft.fields import PLACES, Place
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Values, found, found_at

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


def from_look(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge what moves that should not, and bells that do not stand square."""
    signs: dict[FaultId, bool] = {
        "pack-strap-loose": v["pack_slides_mm"] > SLIDES_MM,
        "arm-joint-loose": v["arm_play_mm"] > PLAY_MM,
        "sensor-mount-loose": v["board_play_mm"] > PLAY_MM,
        "antenna-damaged": v["aerial_kinks_count"] > 0.0,
    }
    askew = [place for place in PLACES if v[f"{place}_bell_off_square_deg"] > SQUARE_DEG]
    seen = [found(cause) for cause, shows in signs.items() if shows]
    return seen + [found_at("motor-mount-tilted", place, item="motor mount") for place in askew]


def _propeller_cause(v: Values, place: Place) -> FaultId | None:
    """Return what is wrong with one propeller, or None."""

    def at(name: str) -> float:
        return v[f"{place}_{name}"]

    wrong_size = abs(at("span_mm") - v["sheet_span_mm"]) > SPAN_MM
    wrong_pitch = abs(at("pitch_mark_in") - v["sheet_pitch_in"]) > PITCH_IN
    nicked = at("edge_catches_count") > 0.0
    signs: dict[FaultId, bool] = {
        "prop-wrong-hand": at("hand_sign") != at("arrow_sign"),
        "prop-upside-down": at("marks_up_count") < 1.0,
        "prop-hub-slip": at("twist_holds_n_m") < TWIST_N_M,
        "prop-size-mismatch": wrong_size or wrong_pitch,
        "prop-nick-imbalance": nicked or at("heavy_side_g_mm") > BALANCE_G_MM,
    }  # each explains what comes after it
    return next((cause for cause, shows in signs.items() if shows), None)


def from_propellers(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge each propeller against its arrow, the sheet and its siblings."""
    seen = []
    for place in PLACES:
        cause = _propeller_cause(v, place)
        if cause is not None:
            seen.append(found_at(cause, place, item="propeller"))
        if v[f"{place}_clear_mm"] < LEAST_CLEAR_MM:
            seen.append(found_at("wire-in-disc", place))
    return seen


def from_scales(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge mass, balance, and how it stands on the plate."""
    heavy_mm = hypot(v["heavy_forward_mm"], v["heavy_right_mm"])
    signs: dict[FaultId, bool] = {
        "over-mass": v["mass_kg"] > (1.0 + MASS_SHARE) * v["sheet_mass_kg"],
        "cg-offset": heavy_mm > BALANCE_MM,
        "leg-snag-or-bent": v["rocks_mm"] > ROCK_MM or v["stands_off_level_deg"] > STAND_DEG,
    }
    return [found(cause) for cause, shows in signs.items() if shows]


JUDGES: dict[CheckKey, Judge] = {
    "look-and-tug": from_look,
    "propellers-in-hand": from_propellers,
    "weigh-and-balance": from_scales,
}
