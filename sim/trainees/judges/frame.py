"""Judgements on frame, propellers and balance."""

from sim.aircraft.airframe import BuildSheet
from sim.aircraft.fields import PLACES
from sim.trainees.judges.finding import Finding, Judge, claim

SLIDES_MM = 3.0  # mm; own: a strap over a grippy pad does not let it move
PLAY_MM = 0.25  # mm; own: felt as a click
SQUARE_DEG = 1.0  # deg; own: twice what the eye can err
BALANCE_G_MM = 0.5  # g mm; own: twice what the club's balancing leaves
SPAN_MM = 4.0  # mm; own: more than the moulds differ, less than half an inch
PITCH_IN = 0.15  # in; own: rounding of the mark
TWIST_N_M = 0.12  # N m; own: twice the torque in hover
CLEAR_MM = 10.0  # mm; trade experience: ten millimetres clear all round
MASS_SHARE = 0.08  # share; own: straps and tape are less than this
BALANCE_MM = 3.0  # mm; trade experience
ROCK_MM = 3.0  # mm; own: less than a leg gives under the weight
STAND_DEG = 1.0  # deg; trade experience: sits level within a degree


def swap_at(part: str, place: str) -> str:
    """Return the cure that swaps a part at a place."""
    return f"swap:{part}-{place.replace('_', '-')}"


def named(place: str) -> str:
    """Return a place in words."""
    return place.replace("_", " ")


def from_look(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge what moves that should not, and bells that do not stand square."""
    rules = (
        ("pack_slides_mm", SLIDES_MM, "strap", "pack-strap-loose", "swap:pack-strap"),
        ("arm_play_mm", PLAY_MM, "frame", "arm-joint-loose", "swap:frame-screws"),
        ("board_play_mm", PLAY_MM, "sensor mount", "sensor-mount-loose", "swap:sensor-mount"),
        ("aerial_kinks_count", 0.5, "aerial", "antenna-damaged", "swap:aerial"),
    )
    found = [
        Finding(claim(item, cause), cure)
        for key, limit, item, cause, cure in rules
        if v[key] > limit
    ]
    for place in PLACES:
        if v[f"{place}_bell_off_square_deg"] > SQUARE_DEG:
            squawk = claim(f"motor mount {named(place)}", "motor-mount-tilted")
            found.append(Finding(squawk, swap_at("motor", place)))
    return found


def _propeller_cause(v: dict[str, float], place: str) -> str | None:
    def at(name: str) -> float:
        return v[f"{place}_{name}"]

    wrong_size = abs(at("span_mm") - v["sheet_span_mm"]) > SPAN_MM
    wrong_pitch = abs(at("pitch_mark_in") - v["sheet_pitch_in"]) > PITCH_IN
    causes = (
        (at("hand_sign") != at("arrow_sign"), "prop-wrong-hand"),
        (at("marks_up_count") < 1.0, "prop-upside-down"),
        (at("twist_holds_n_m") < TWIST_N_M, "prop-hub-slip"),
        (wrong_size or wrong_pitch, "prop-size-mismatch"),
        (
            at("edge_catches_count") > 0.0 or at("heavy_side_g_mm") > BALANCE_G_MM,
            "prop-nick-imbalance",
        ),
    )
    return next((cause for holds, cause in causes if holds), None)


def from_propellers(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge each propeller against its arrow, the sheet and its siblings."""
    found = []
    for place in PLACES:
        cause = _propeller_cause(v, place)
        if cause is not None:
            squawk = claim(f"propeller {named(place)}", cause)
            found.append(Finding(squawk, swap_at("propeller", place)))
        if v[f"{place}_clear_mm"] < CLEAR_MM:
            squawk = claim(f"wiring {named(place)}", "wire-in-disc")
            found.append(Finding(squawk, swap_at("wire-tie", place)))
    return found


def from_scales(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge mass, balance, and how it stands on the plate."""
    found = []
    if v["mass_kg"] > (1.0 + MASS_SHARE) * v["sheet_mass_kg"]:
        found.append(Finding(claim("mass", "over-mass"), "swap:ballast"))
    if (v["heavy_forward_mm"] ** 2 + v["heavy_right_mm"] ** 2) ** 0.5 > BALANCE_MM:
        found.append(Finding(claim("balance", "cg-offset"), "swap:pack-place"))
    if v["rocks_mm"] > ROCK_MM or v["stands_off_level_deg"] > STAND_DEG:
        found.append(Finding(claim("legs", "leg-snag-or-bent"), "swap:legs"))
    return found


JUDGES: dict[str, Judge] = {
    "look-and-tug": from_look,
    "propellers-in-hand": from_propellers,
    "weigh-and-balance": from_scales,
}
