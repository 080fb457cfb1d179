"""Judgements on motors and drives: each against its siblings and the build sheet."""

from statistics import median

from sim.aircraft.airframe import BuildSheet
from sim.aircraft.fields import PLACES, Place
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Values, found, found_at, set_back

START_US = 12.0  # us; trade experience: all start within 10 us
SPEED_SHARE = 0.035  # share; trade experience: speeds within 3-5 %
WEAK_SHARE = 0.06  # share; own: a motor this much faster that starts in time has weak magnets
BRAKED_RATIO = 1.25  # 1; own: a rough bearing drags alike at every speed, so current and run-down
# time trade one for the other; shorted turns brake less as it slows and leave more run-down
CURRENT_RATIO = 1.3  # 1; trade experience: no-load currents within 15 %
COAST_RATIO = 0.75  # 1; trade experience: run-down within 20 %
JITTER_SHARE = 0.002  # share; own: ten times that of a sound motor
BELL_SHAKE_M_S2 = 0.03  # m/s2; own: several times what a sound bell gives
IDLE_RPM = 1800.0  # rpm; own: twice a sound idle
HOTTER_K = 7.0  # K; own: more than three times the error of a finger


def _others(v: Values, name: str) -> float:
    """Return the middle of the four values of a name."""
    return median(v[f"{place}_{name}"] for place in PLACES)


def _cause_alone(v: Values, output: Place) -> FaultId | None:
    """Return what is wrong with one motor driven alone, or None."""

    def over(name: str) -> float:
        return v[f"{output}_{name}"] / max(_others(v, name), 1e-6)

    late = v[f"{output}_start_us"] - _others(v, "start_us") > START_US
    hungry = over("no_load_a") > CURRENT_RATIO
    braked = over("no_load_a") * over("coast_s") > BRAKED_RATIO
    fast = over("speed_rpm") > 1.0 + WEAK_SHARE
    signs: dict[FaultId, bool] = {
        "signal-ground-missing": v[f"{output}_unsteady_share"] > JITTER_SHARE,
        "phase-joint-bad": v[f"{output}_dips_count"] > 0.0,
        "motor-weak-or-shorted": not late and (fast or (hungry and braked)),
        "motor-bearing-rough": hungry or over("coast_s") < COAST_RATIO,
        "motor-shaft-bent": v[f"{output}_shake_m_s2"] > BELL_SHAKE_M_S2,
        "throttle-ends-unmatched": late or abs(over("speed_rpm") - 1.0) > SPEED_SHARE,
    }  # each explains what comes after it
    return next((cause for cause, shows in signs.items() if shows), None)


def from_one(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge each output: which corner, which way, and how that motor compares."""
    seen = []
    for output in PLACES:
        number = int(v[f"{output}_turns_corner"])
        if number == 0:  # its lead drives another output's motor, or none
            seen.append(found_at("motor-order-swapped", output, 3))
            continue
        corner = PLACES[number - 1]
        if corner != output:
            seen.append(found_at("motor-order-swapped", output))
        if v[f"{output}_turns_sign"] != v[f"{output}_arrow_sign"]:
            seen.append(found_at("motor-spin-reversed", corner))
        cause = _cause_alone(v, output)
        if cause is not None:
            seen.append(found_at(cause, corner, 3, "motor"))
    return seen


def _cause_together(v: Values, place: Place) -> FaultId | None:
    """Return what is wrong with one motor of four run together, or None."""
    off = v[f"{place}_speed_rpm"] / _others(v, "speed_rpm") - 1.0
    signs: dict[FaultId, bool] = {
        "signal-ground-missing": v[f"{place}_unsteady_share"] > JITTER_SHARE,
        "phase-joint-bad": v[f"{place}_dips_count"] > 0.0,
        "drive-desync": v[f"{place}_misses_count"] > 0.0,
        "throttle-ends-unmatched": abs(off) > SPEED_SHARE,
    }  # each explains what comes after it
    return next((cause for cause, shows in signs.items() if shows), None)


def _from_idle(v: Values, sheet: BuildSheet) -> list[Finding]:
    if v["idle_slowest_rpm"] > IDLE_RPM:
        return [set_back("idle-too-high", sheet)]
    # a motor that dips or jitters anyway says nothing of the idle
    sound = [p for p in PLACES if _cause_together(v, p) is None]
    if not any(v[f"{place}_stops_count"] > 0.0 for place in sound):
        return []
    low = v["idle_set_us"] < 1000.0 + 1000.0 * sheet.setup.idle - 1.0
    return [set_back("idle-too-low", sheet) if low else found("throttle-ends-unmatched", 3)]


def from_ramp(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge idle, match, steadiness and snaps."""
    seen = _from_idle(v, sheet)
    if v["restarts_count"] > 0.0:
        seen.append(found("regulator-brownout"))
    causes = {place: _cause_together(v, place) for place in PLACES}
    seen += [found_at(cause, place, 3, "motor") for place, cause in causes.items() if cause]
    return seen


def from_touch(v: Values, sheet: BuildSheet) -> list[Finding]:
    """Judge heat against the siblings, and what came loose or broke."""
    hot = [p for p in PLACES if v[f"{p}_drive_degc"] - _others(v, "drive_degc") > HOTTER_K]
    seen = [found_at("drive-thermal-limit", place, 3, "drive") for place in hot]
    return seen + ([found("pack-strap-loose")] if v["pack_moved_count"] > 0.0 else [])


JUDGES: dict[CheckKey, Judge] = {
    "one-motor": from_one,
    "ramp-and-snap": from_ramp,
    "touch-after": from_touch,
}
