"""Judgements on stick display, switches and range walk."""

from sim.aircraft.airframe import BuildSheet
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, claim

CHANNELS = ("roll", "pitch", "throttle", "yaw")
OTHERS = 0.3  # of a bar's travel; own: another stick's bar moves by far more
SENSE_SHARE = 0.3  # share; own: short ends still give 0.7, the right way round
ENDS_US = (1000.0, 2000.0)  # us; the trade's convention
END_US = 20.0  # us; the trade's 10 and some jitter
CENTRE_US = 12.0  # us; the trade's 5 and some jitter
EMPTY_V = 7.0  # V; own: 3.5 V a cell of a two-cell pack
STOP_S = 1.0  # s; own: the bells have run down within a second of the stop switch
LOST = 0.1  # share of frames; own: ten times what a sound link loses
GAP_S = 0.2  # s; own: a bar that stands still this long


def _set(item: str, cause: str, key: str, value: bool | str) -> Finding:
    return Finding(claim(item, cause), "set", (Set(key=f"setup.{key}", value=value),))


def _senses(v: dict[str, float]) -> list[Finding]:
    """Judge which way each bar moves when its stick goes from end to end."""
    return [
        Finding(claim(f"{c} channel", f"{c}-channel-reversed"), f"turn:{c}")
        for c in CHANNELS
        if v[f"{c}_high_share"] - v[f"{c}_low_share"] < SENSE_SHARE
    ]


def _travel(v: dict[str, float]) -> list[Finding]:
    """Judge centres, then ends; trim shifts both ends alike, short ends do not."""
    found = []
    spans = [abs(v[f"{c}_high_us"] - v[f"{c}_low_us"]) for c in CHANNELS]
    if any(abs(span - (ENDS_US[1] - ENDS_US[0])) > 2.0 * END_US for span in spans):
        found.append(("stick ends", "stick-ends-short"))
    middles = [abs(v[f"{c}_centre_us"] - 1500.0) for c in CHANNELS if c != "throttle"]
    if max(middles) > CENTRE_US:
        found.append(("stick centres", "stick-centre-off"))
    return [Finding(claim(item, cause), "calibrate:sticks") for item, cause in found]


def from_stick_display(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge name on the screen, order, sense, then travel: each explains what follows it."""
    if not v["screen_names_this_aircraft"]:
        return [
            _set(
                "model memory",
                "model-memory-wrong",
                "transmitter.memory",
                "this aircraft",
            )
        ]
    if any(v[f"{c}_moves_others_share"] > OTHERS for c in CHANNELS):
        order = "roll pitch throttle yaw"
        return [_set("channel order", "channel-order-mixed", "transmitter.order", order)]
    found = _senses(v) or _travel(v)
    if v["transmitter_pack_v"] < EMPTY_V:
        claimed = claim("transmitter pack", "transmitter-pack-low")
        found.append(Finding(claimed, "swap:transmitter-pack"))
    return found


def from_switches(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the forbidden cases, the stop switch and the mode switch."""
    found = []
    if v["armed_with_throttle_up"] or v["armed_askew"] or v["armed_without_link"]:
        found.append(_set("arming rules", "arm-lock-absent", "controller.arming_rules", True))
    if v["stop_switch_s"] > STOP_S:
        found.append(_set("stop switch", "kill-switch-unset", "controller.stop_switch", True))
    if not v["forward_gives_self_level"]:
        found.append(
            _set("mode switch", "flight-mode-swapped", "transmitter.mode_switch_right", True)
        )
    return found


def from_range(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge drop-outs on the walk, and the transmitter's own meter."""
    lost = max(value for key, value in v.items() if key.endswith("_lost_share"))
    gap_s = max(value for key, value in v.items() if key.endswith("_longest_gap_s"))
    found = []
    if lost > LOST or gap_s > GAP_S:
        found.append(Finding(claim("receiver aerial", "antenna-damaged"), "swap:aerial"))
    if v["transmitter_pack_v"] < EMPTY_V:
        claimed = claim("transmitter pack", "transmitter-pack-low")
        found.append(Finding(claimed, "swap:transmitter-pack"))
    return found


JUDGES: dict[str, Judge] = {
    "stick-display": from_stick_display,
    "switches": from_switches,
    "range-walk": from_range,
}
