"""Judgements on stick display, switches and range walk."""

from sim.aircraft.fields import CHANNELS, ChannelName
from sim.faults.radio import STOP_S
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Look, Signs, found, set_back, shows

REVERSED: dict[ChannelName, FaultId] = {
    "roll": "roll-channel-reversed",
    "pitch": "pitch-channel-reversed",
    "throttle": "throttle-channel-reversed",
    "yaw": "yaw-channel-reversed",
}
ENDS = ("low", "high")
OTHERS = 0.3  # of a bar's travel; own: another stick's bar moves by far more, or hardly
SENSE_SHARE = 0.3  # share; own: short ends still give 0.7, the right way round
SWITCH_STOPS_S = 1.0  # s; own: within a second of the stop switch the bells have run down, or not


def _senses(v: Look) -> list[Finding]:
    """Judge which way each bar moves when its stick goes from end to end."""
    return [
        found(reversed_there, f"{c}_high_share")
        for c, reversed_there in REVERSED.items()
        if v[f"{c}_high_share"] - v[f"{c}_low_share"] < SENSE_SHARE
    ]


def _travel(v: Look) -> list[Finding]:
    """Judge centres, then ends; trim shifts both ends alike, short ends do not."""
    centres = [f"{c}_centre_us" for c in CHANNELS if c != "throttle"]
    centre = v.past("stick-centre-off", *centres)
    straight = [c for c in CHANNELS if not v.past("stick-centre-off", f"{c}_centre_us")]
    ends = v.past("stick-ends-short", *(f"{c}_{end}_us" for c in straight for end in ENDS))
    signs: Signs = {"stick-ends-short": ends, "stick-centre-off": centre}
    return [found(cause, line) for cause, line in signs.items() if line]


def _own_pack(v: Look) -> list[Finding]:
    low = v.past("transmitter-pack-low", "transmitter_pack_v")
    return [found("transmitter-pack-low", low)] if low else []


def from_stick_display(v: Look) -> list[Finding]:
    """Judge name on the screen, order, sense, then travel: each explains what follows it."""
    if v["screen_names_this_aircraft"] == 0.0:
        return [set_back("model-memory-wrong", "screen_names_this_aircraft", v.sheet)]
    others = v.furthest(f"{c}_moves_others_share" for c in CHANNELS)
    if v[others] > OTHERS:
        return [set_back("channel-order-mixed", others, v.sheet)]
    return (_senses(v) or _travel(v)) + _own_pack(v)


def from_switches(v: Look) -> list[Finding]:
    """Judge the forbidden cases, the stop switch and the mode switch."""
    forbidden = ("armed_with_throttle_up", "armed_askew", "armed_without_link")
    signs: Signs = {
        "arm-lock-absent": next((line for line in forbidden if v[line] > 0.0), ""),
        "stop-switch-unset": shows("stop_switch_s", v["stop_switch_s"] > SWITCH_STOPS_S),
        "mode-switch-swapped": shows(
            "forward_gives_self_level", v["forward_gives_self_level"] == 0.0
        ),
    }
    return [set_back(cause, line, v.sheet) for cause, line in signs.items() if line]


def from_failsafe(v: Look) -> list[Finding]:
    """Judge the time the motors take to stop when the link is lost."""
    line = shows("still_turning", v["still_turning"] > 0.0) or shows("stop_s", v["stop_s"] > STOP_S)
    return [set_back("failsafe-holds-last", line, v.sheet)] if line else []


def from_range(v: Look) -> list[Finding]:
    """Judge drop-outs on the walk, and the transmitter's own meter."""
    walked = [line for line in v.values if line.endswith(("_lost_share", "_longest_gap_s"))]
    jerks = v.past("aerial-damaged", *walked)
    return [*([found("aerial-damaged", jerks)] if jerks else []), *_own_pack(v)]


JUDGES: dict[CheckKey, Judge] = {
    "stick-display": from_stick_display,
    "switches": from_switches,
    "failsafe": from_failsafe,
    "range-walk": from_range,
}
