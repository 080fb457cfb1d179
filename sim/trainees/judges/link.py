"""Judgements on stick display, switches and range walk."""

from sim.aircraft.airframe import BuildSheet
from sim.aircraft.fields import CHANNELS, ChannelName
from sim.faults.radio import STOP_S
from sim.faults.transmitter import CENTRE_US, EMPTY_V, ENDS_US
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Values, found, set_back

REVERSED: dict[ChannelName, FaultId] = {
    "roll": "roll-channel-reversed",
    "pitch": "pitch-channel-reversed",
    "throttle": "throttle-channel-reversed",
    "yaw": "yaw-channel-reversed",
}
OTHERS = 0.3  # of a bar's travel; own: another stick's bar moves by far more
SENSE_SHARE = 0.3  # share; own: short ends still give 0.7, the right way round
END_US = 20.0  # us; the trade's 10 and some jitter
OFF_CENTRE_US = 12.0  # us; the trade's 5 and some jitter
SWITCH_STOPS_S = 1.0  # s; own: the bells have run down within a second of the stop switch
LOST = 0.1  # share of frames; own: ten times what a sound link loses
GAP_S = 0.2  # s; own: a bar that stands still this long


def _senses(v: Values) -> list[Finding]:
    """Judge which way each bar moves when its stick goes from end to end."""
    return [
        found(reversed_there)
        for c, reversed_there in REVERSED.items()
        if v[f"{c}_high_share"] - v[f"{c}_low_share"] < SENSE_SHARE
    ]


def _travel(v: Values) -> list[Finding]:
    """Judge centres, then ends; trim shifts both ends alike, short ends do not."""
    seen = []
    spans = [abs(v[f"{c}_high_us"] - v[f"{c}_low_us"]) for c in CHANNELS]
    if any(abs(span - (ENDS_US[1] - ENDS_US[0])) > 2.0 * END_US for span in spans):
        seen.append(found("stick-ends-short"))
    middles = [abs(v[f"{c}_centre_us"] - CENTRE_US) for c in CHANNELS if c != "throttle"]
    if max(middles) > OFF_CENTRE_US:
        seen.append(found("stick-centre-off"))
    return seen


def _own_pack(v: Values) -> list[Finding]:
    return [found("transmitter-pack-low")] if v["transmitter_pack_v"] < EMPTY_V else []


def from_stick_display(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge name on the screen, order, sense, then travel: each explains what follows it."""
    if not v["screen_names_this_aircraft"]:
        return [set_back("model-memory-wrong", sheet)]
    if any(v[f"{c}_moves_others_share"] > OTHERS for c in CHANNELS):
        return [set_back("channel-order-mixed", sheet)]
    return (_senses(v) or _travel(v)) + _own_pack(v)


def from_switches(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge the forbidden cases, the stop switch and the mode switch."""
    lawless = v["armed_with_throttle_up"] or v["armed_askew"] or v["armed_without_link"]
    signs: dict[FaultId, bool] = {
        "arm-lock-absent": bool(lawless),
        "kill-switch-unset": v["stop_switch_s"] > SWITCH_STOPS_S,
        "flight-mode-swapped": not v["forward_gives_self_level"],
    }
    return [set_back(cause, sheet) for cause, shows in signs.items() if shows]


def from_failsafe(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge the time the motors take to stop when the link is lost."""
    stops = v["stop_s"] <= STOP_S and not v["still_turning"]
    return [] if stops else [set_back("failsafe-holds-last", sheet)]


def from_range(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge drop-outs on the walk, and the transmitter's own meter."""
    lost = max(value for key, value in v.items() if key.endswith("_lost_share"))
    gap_s = max(value for key, value in v.items() if key.endswith("_longest_gap_s"))
    jerks = lost > LOST or gap_s > GAP_S
    return [*([found("antenna-damaged")] if jerks else []), *_own_pack(v)]


JUDGES: dict[CheckKey, Judge] = {
    "stick-display": from_stick_display,
    "switches": from_switches,
    "failsafe": from_failsafe,
    "range-walk": from_range,
}
