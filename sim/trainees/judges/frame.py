"""Judgements on frame, propellers and balance."""

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


def from_look(v: Look) -> list[Finding]:
    """Judge what moves that should not, and bells that do not stand square."""
    signs: Signs = {
        "pack-strap-loose": v.past("pack-strap-loose", "pack_slides_mm"),
        "arm-joint-loose": v.past("arm-joint-loose", "arm_play_mm"),
        "sensor-mount-loose": v.past("sensor-mount-loose", "board_play_mm"),
        "aerial-damaged": shows("aerial_kinks_count", v["aerial_kinks_count"] > 0.0),
    }
    seen = [found(cause, line) for cause, line in signs.items() if line]
    askew = {p: v.past("motor-mount-tilted", f"{p}_bell_off_square_deg") for p in PLACES}
    return seen + [
        found_at("motor-mount-tilted", line, place, item="motor mount")
        for place, line in askew.items()
        if line
    ]


def _propeller_cause(v: Look, place: Place) -> tuple[FaultId, str] | None:
    """Return what is wrong with one propeller and where it shows, or None."""

    def at(name: str) -> float:
        return v[f"{place}_{name}"]

    def seen(name: str, wrong: bool) -> str:
        return shows(f"{place}_{name}", wrong)

    def on(cause: FaultId, *names: str) -> str:
        return v.past(cause, *(f"{place}_{name}" for name in names))

    signs: Signs = {
        "prop-wrong-hand": seen("hand_sign", abs(at("hand_sign") - at("arrow_sign")) > 0.0),
        "prop-upside-down": seen("marks_up_count", at("marks_up_count") < 1.0),
        "prop-hub-slip": on("prop-hub-slip", "twist_holds_n_m"),
        "prop-size-mismatch": on("prop-size-mismatch", "span_mm", "pitch_mark_in"),
        "prop-nick-imbalance": seen("edge_catches_count", at("edge_catches_count") > 0.0)
        or on("prop-nick-imbalance", "heavy_side_g_mm"),
    }
    return first(signs)


def from_propellers(v: Look) -> list[Finding]:
    """Judge each propeller against its arrow, the sheet and its siblings."""
    seen = []
    for place in PLACES:
        wrong = _propeller_cause(v, place)
        if wrong is not None:
            seen.append(found_at(*wrong, place, item="propeller"))
        close = v.past("wire-in-disc", f"{place}_clear_mm")
        if close:
            seen.append(found_at("wire-in-disc", close, place))
    return seen


def from_scales(v: Look) -> list[Finding]:
    """Judge mass, balance, and how it stands on the plate."""
    signs: Signs = {
        "over-mass": v.past("over-mass", "mass_kg"),
        "cg-offset": v.past("cg-offset", "heavy_forward_mm", "heavy_right_mm"),
        "leg-snag-or-bent": v.past("leg-snag-or-bent", "rocks_mm", "stands_off_level_deg"),
    }
    return [found(cause, line) for cause, line in signs.items() if line]


JUDGES: dict[CheckKey, Judge] = {
    "look-and-tug": from_look,
    "propellers-in-hand": from_propellers,
    "weigh-and-balance": from_scales,
}
