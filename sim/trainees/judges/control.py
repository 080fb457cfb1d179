"""Judgements on settings, on sticks at the motors and on the stabiliser moved by hand."""

from sim.aircraft.design import full_rpm
from sim.aircraft.fields import PLACES
from sim.bench.checks.link import HALF_STICK
from sim.bench.checks.stabiliser import TILT_DEG, TWIST_DEG
from sim.faults.control import CREEP
from sim.keys import CheckKey, FaultId
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, Look, found, found_at, planned
from sim.units import RAD_PER_DEG

AS_FITTED = frozenset({"board_turn_deg", "board_upside_down", "compass_turn_deg", "volt_scale"})
"""Settings that follow the build, not the sheet."""
SETTING = 0.02  # share; own: rounding on the sheet
MORE, LESS = 1.1, 0.9  # times the sheet; own
CAUSES: dict[str, FaultId] = {
    "roll_sense": "loop-sign-reversed",
    "pitch_sense": "loop-sign-reversed",
    "yaw_sense": "yaw-mix-sign-wrong",
    "layout": "mixer-geometry-wrong",
    "tilt_limit_deg": "tilt-limit-wild",
    "throttle_gain": "hover-throttle-mismatch",
    "gyro_cutoff_hz": "filter-cutoff-wrong",
    "damping_cutoff_hz": "filter-cutoff-wrong",
    "integral_from_throttle": "integral-windup-on-pad",
    "integral_limit": "integral-windup-on-pad",
    "failsafe": "failsafe-holds-last",
    "stop_switch": "stop-switch-unset",
    "arming_rules": "arm-lock-absent",
    "alarm_cells": "low-volt-alarm-unset",
    "low_cell_alarm_v": "low-volt-alarm-unset",
    "rate_limit_deg_s": "stick-rates-wild",
    "yaw_rate_limit_deg_s": "stick-rates-wild",
    "idle": "idle-too-low",
    "position_hold": "position-hold-indoors",
}  # by key of the settings sheet; what isn't here is a matter of gains
WRONG_WAY = -0.3  # of the expected response; own: clear of a faint one
CROSSED = 0.5  # of the expected response; own
FAINT, VIOLENT = 0.6, 1.7  # of the expected response; own
LOPSIDED = 1.4  # own: ratio of the two axes' responses, over the sheet's
YAW = 0.1  # of the expected response; own
PARTED = {
    "roll_right": 0.24,
    "pitch_back": 0.24,
    "yaw_right": 0.16,
}  # of the expected response; own: half a stick parts the pairs by more, even with gains far too low


def _gain_cause(v: Look) -> FaultId:
    """Return what gains beside the sheet's amount to."""

    def over(key: str) -> float:
        now, planned_ = v[f"{key} now"], v[f"{key} sheet"]
        return now / planned_ if planned_ > 0.0 and now >= 0.0 else 1.0

    roll, pitch = over("roll.p"), over("pitch.p")
    if not LESS < (pitch + 1e-9) / (roll + 1e-9) < 1.0 / LESS:
        return "axis-gains-unequal"
    if max(roll, pitch) < LESS:
        return "rate-gain-low"
    if max(roll, pitch) > MORE:
        return "rate-gain-high"
    if max(over("roll.d"), over("pitch.d")) > MORE:
        return "damping-gain-high"
    if max(over("roll.i"), over("pitch.i")) > MORE:
        return "integral-windup-on-pad"
    return "rate-gain-high"


def from_settings(v: Look) -> list[Finding]:
    """Compare with the sheet; one finding a cause, which sets its values back."""
    keys = [key.removesuffix(" now") for key in v.values if key.endswith(" now")]
    off = [
        k
        for k in keys
        if k not in AS_FITTED
        and abs(v[f"{k} now"] - v[f"{k} sheet"]) > SETTING * abs(v[f"{k} sheet"])
    ]
    groups: dict[FaultId, dict[str, Set]] = {}
    for key in off:
        setting = f"setup.controller.{key}"
        cause = CAUSES[key] if key in CAUSES else _gain_cause(v)
        settings = groups.setdefault(cause, {})
        settings[f"{key} now"] = Set(key=setting, value=planned(v.sheet, setting))
    return [
        found(cause, next(iter(settings)), settings=tuple(settings.values()))
        for cause, settings in groups.items()
    ]


def _response(v: Look, move: str) -> tuple[float, float]:
    """Return half the difference right minus left, and front minus rear, rpm."""
    fl, fr, rr, rl = (v[f"{move}_{place}_rpm"] for place in PLACES)
    return 0.25 * (fr + rr - fl - rl), 0.25 * (fl + fr - rr - rl)


def _twist_rpm(v: Look) -> float:
    """Return by how much a twist by hand should part the pairs, rpm."""
    c = v.sheet.setup
    return 2.0 * c.yaw.p * c.heading_gain_per_s * TWIST_DEG * RAD_PER_DEG * full_rpm(v.airframe)


def _parted_rpm(v: Look) -> dict[str, float]:
    """Return by how much the sticks as moved should part the pairs, rpm."""
    c = v.sheet.setup
    lean = c.attitude_gain_per_s * c.tilt_limit_deg
    rates = {
        "roll_right": c.roll.p * lean,
        "pitch_back": c.pitch.p * lean,
        "yaw_right": c.yaw.p * c.yaw_rate_limit_deg_s,
    }  # share of command times deg, at full stick
    per_share = 2.0 * HALF_STICK * RAD_PER_DEG * full_rpm(v.airframe)
    return {move: rate * per_share for move, rate in rates.items()}


def _loudest(v: Look, move: str) -> str:
    """Return the line of the motor that speaks up most."""
    return v.furthest(f"{move}_{place}_rpm" for place in PLACES)


def _tilts(v: Look) -> tuple[dict[str, float], dict[str, float]]:
    """Return how much was answered about the axis tilted, and about the other, of what was expected.

    By tilt, of those that were read.
    """
    sheet = v.sheet.setup
    own, across = {}, {}
    for move, axis, gain in (("right_down", 0, sheet.roll.p), ("nose_down", 1, sheet.pitch.p)):
        if v.read(*(f"{move}_{place}_rpm" for place in PLACES)):
            expected = (
                gain * sheet.attitude_gain_per_s * TILT_DEG * RAD_PER_DEG * full_rpm(v.airframe)
            )
            response = _response(v, move)
            own[move], across[move] = response[axis] / expected, response[1 - axis] / expected
    return own, across


def _largest(of: dict[str, float], sign: float = 1.0) -> str:
    return max(of, key=lambda move: sign * of[move])


def from_stabiliser(v: Look) -> list[Finding]:
    """Judge which motors spoke up when it was tilted and twisted: sense, axis, then size."""
    twist = v["twist_right_clockwise_rpm"] - v["twist_right_others_rpm"]
    turned = twist < -YAW * _twist_rpm(v)
    yaw = [found("yaw-mix-sign-wrong", "twist_right_clockwise_rpm")] if turned else []
    own, across = _tilts(v)
    if not own:
        return yaw
    odd = {move: abs(across[move]) - CROSSED * abs(own[move]) for move in own}
    crossed, weak, strong = _largest(odd), _largest(own, -1.0), _largest(own)
    if odd[crossed] > 0.1:  # own
        return [found("mixer-geometry-wrong", _loudest(v, crossed))]
    if own[weak] < WRONG_WAY:
        return [found("loop-sign-reversed", _loudest(v, weak))]
    if yaw:
        return yaw
    louder = _loudest(v, strong)
    if len(own) == 2 and not own[strong] < LOPSIDED * max(own[weak], 1e-3):
        return [found("axis-gains-unequal", louder, 3)]
    if own[strong] < FAINT:
        return [found("rate-gain-low", louder, 3)]
    return [found("rate-gain-high", louder, 3)] if own[strong] > VIOLENT else []


def from_creep(v: Look) -> list[Finding]:
    """Judge how far the motors crept apart at idle."""
    crept = v["late_spread_share"] - v["early_spread_share"]
    return [found("integral-windup-on-pad", "late_spread_share")] if crept > CREEP else []


def from_roughness(v: Look) -> list[Finding]:
    """Judge the roughness of the motor commands at a steady stick."""
    worst = v.past("rate-gain-high", *v.values)
    return [found("rate-gain-high", worst, 3)] if worst else []


def from_sticks(v: Look) -> list[Finding]:
    """Judge sense at the motors; the display has been seen to be right, so it is the loop's.

    Where two sticks part no pairs, leads are crossed; which ones can't be told, so all are traced.
    """
    moves: dict[str, FaultId] = {
        "roll_right": "loop-sign-reversed",
        "pitch_back": "loop-sign-reversed",
        "yaw_right": "yaw-mix-sign-wrong",
    }
    least = {move: PARTED[move] * rpm for move, rpm in _parted_rpm(v).items()}
    apart = {move: v[f"{move}_gain_rpm"] - v[f"{move}_other_rpm"] for move in moves}
    wrong: dict[FaultId, str] = {}
    for move, cause in moves.items():
        if apart[move] < -least[move]:
            wrong.setdefault(cause, f"{move}_gain_rpm")
    if wrong:
        return [found(cause, line, 3) for cause, line in wrong.items()]
    still = [f"{move}_gain_rpm" for move, rpm in apart.items() if abs(rpm) <= least[move]]
    if len(still) < 2:  # own: one may be a gain too low
        return []
    return [found_at("motor-order-swapped", still[0], place, 3) for place in PLACES]


JUDGES: dict[CheckKey, Judge] = {
    "stick-to-motor": from_sticks,
    "settings-sheet": from_settings,
    "tilt-while-armed": from_stabiliser,
    "idle-creep": from_creep,
    "steady-throttle": from_roughness,
}
