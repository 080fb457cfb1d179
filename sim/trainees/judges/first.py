"""Judgements on sticks, level, heading, settings, motors and pack."""

from typing import Any

from sim.aircraft.airframe import BuildSheet
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, claim

HEADING_DEG = 8.0  # deg; below the 10 deg of 14 CFR 25.1327, above a hand-held reading's scatter
FIELD_SWING = 0.06  # share of the field; own: hand-held readings of a sound compass swing 2 %
LEVEL_DEG = 1.0  # deg; common practice
STOP_S = 2.0  # s; common practice: motors off within two seconds of losing the link
SWITCH_S = 1.0  # s; own: the bells have run down within a second of the stop switch
SENSE_SHARE = 0.5  # share; own: a full stick gives far more, the right way round
ROUGHER = 1.9  # times the sheet; own: between the sheet's value and that of doubled gains
RINGING = 8.0  # times the sheet; own: a loop that rings exceeds this by far
DROP = 2.0  # times the sheet's drop per cell under the hover's current; own
AFTER_HOP_V = 3.62  # V; own: 3.5 V a cell and a margin for the guess in the prediction
SETTING = 0.02  # share; own: rounding on the sheet


def _turned_round(channel: str) -> Finding:
    return Finding(claim(f"{channel} channel", f"{channel}-channel-reversed"), f"turn:{channel}")


def from_stick_display(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge sense: a stick to its high end must arrive as a positive command."""
    return [
        _turned_round(c) for c in ("roll", "pitch", "yaw") if v[f"{c}_high_share"] < SENSE_SHARE
    ]


def from_stick_to_motor(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge sense at the motors: the right pair must speed up more than the other."""
    moves = {"roll": "roll_right", "pitch": "pitch_back", "yaw": "yaw_right"}
    return [
        _turned_round(channel)
        for channel, move in moves.items()
        if v[f"{move}_gain_rpm"] < v[f"{move}_other_rpm"]
    ]


def from_failsafe(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the time the motors take to stop when the link is lost."""
    if v["stop_s"] <= STOP_S and not v["still_turning"]:
        return []
    setting = Set(key="setup.controller.failsafe", value="stop")
    return [Finding(claim("failsafe", "failsafe-holds-last"), "set", (setting,))]


def from_level(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge level: the mean of both ways round is the aircraft's own error."""
    roll = 0.5 * (v["roll_ahead_deg"] + v["roll_turned_deg"])
    pitch = 0.5 * (v["pitch_ahead_deg"] + v["pitch_turned_deg"])
    if (roll**2 + pitch**2) ** 0.5 <= LEVEL_DEG:
        return []
    return [Finding(claim("level", "level-trim-off"), "level")]


def from_heading(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the largest heading error over the four marks."""
    worst = max(abs(v[f"{mark}_off_deg"]) for mark in ("north", "east", "south", "west"))
    if worst <= HEADING_DEG:
        return []
    return [Finding(claim("compass", "mag-hard-iron-offset"), "compass")]


def from_field(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge how much the size of the field changes round a turn."""
    if v["largest_ut"] - v["smallest_ut"] <= FIELD_SWING * v["site_ut"]:
        return []
    return [Finding(claim("compass", "mag-hard-iron-offset", 3), "compass")]


def from_settings(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Compare with the sheet: gains that are higher are suspect, everything else is set back."""
    keys = [key.removesuffix(" now") for key in v if key.endswith(" now")]
    off = [k for k in keys if abs(v[f"{k} now"] - v[f"{k} sheet"]) > SETTING * abs(v[f"{k} sheet"])]
    if not off:
        return []
    if "failsafe" in off:
        return from_failsafe({"stop_s": STOP_S + 1.0, "still_turning": 1.0}, sheet)
    planned: dict[str, Any] = sheet.setup.model_dump()
    settings = []
    for key in off:
        value: Any = planned
        for part in key.split("."):
            value = value[part]
        settings.append(Set(key=f"setup.controller.{key}", value=value))
    return [Finding(claim("gains", "rate-gain-high"), "set", tuple(settings))]


def from_roughness(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the roughness of the motor commands at a steady stick."""
    worst = max(value for key, value in v.items() if key.endswith("roughness_share"))
    if worst <= ROUGHER * sheet.roughness_share:
        return []
    return [Finding(claim("gains", "rate-gain-high", 3), "sheet")]


def from_run_up(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the pack under the hover's current."""
    sags = v["drop_v_cell"] > DROP * sheet.loaded_drop_v_cell
    if not sags and v["after_90_s_v_cell"] > AFTER_HOP_V:
        return []
    return [Finding(claim("pack", "pack-high-resistance"), "pack")]


def from_light(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge ringing light on the legs."""
    if v["ringing_share"] <= RINGING * sheet.ringing_share:
        return []
    return [Finding(claim("gains", "rate-gain-high"), "sheet")]


JUDGES: dict[str, Judge] = {
    "stick-display": from_stick_display,
    "stick-to-motor": from_stick_to_motor,
    "failsafe": from_failsafe,
    "level-and-still": from_level,
    "heading-marks": from_heading,
    "field-turn": from_field,
    "settings-sheet": from_settings,
    "steady-throttle": from_roughness,
    "restrained-run-up": from_run_up,
    "light-on-legs": from_light,
}
