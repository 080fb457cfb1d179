"""Judgements on motors and drives: each against its siblings and the build sheet."""

from statistics import median

from sim.aircraft.airframe import BuildSheet
from sim.aircraft.fields import PLACES
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, claim
from sim.trainees.judges.frame import named, swap_at

START_US = 12.0  # us; trade experience: all start within 10 us
SPEED_SHARE = 0.035  # share; trade experience: speeds within 3-5 %
SHORTED_SHARE = 0.06  # share; own: a motor this much faster and hungrier has lost turns
CURRENT_RATIO = 1.3  # 1; trade experience: no-load currents within 15 %
COAST_RATIO = 0.75  # 1; trade experience: run-down within 20 %
JITTER_SHARE = 0.002  # share; own: ten times that of a sound motor
SHAKE_M_S2 = 0.03  # m/s2; own: several times what a sound bell gives
IDLE_RPM = 1800.0  # rpm; own: twice a sound idle
HOTTER_K = 7.0  # K; own: more than three times the error of a finger


def _others(v: dict[str, float], name: str) -> float:
    """Return the middle of the four values of a name."""
    return median(v[f"{place}_{name}"] for place in PLACES)


def _cause_alone(v: dict[str, float], output: str) -> tuple[str, str] | None:
    """Return (cause, part) for one motor driven alone, or None."""

    def over(name: str) -> float:
        return v[f"{output}_{name}"] / max(_others(v, name), 1e-6)

    late = v[f"{output}_start_us"] - _others(v, "start_us") > START_US
    hungry = over("no_load_a") > CURRENT_RATIO
    causes = (
        (v[f"{output}_unsteady_share"] > JITTER_SHARE, "signal-ground-missing", "signal-lead"),
        (v[f"{output}_dips_count"] > 0.0, "phase-joint-bad", "phase-leads"),
        (
            hungry and over("speed_rpm") > 1.0 + SHORTED_SHARE and not late,
            "motor-weak-or-shorted",
            "motor",
        ),
        (hungry or over("coast_s") < COAST_RATIO, "motor-bearing-rough", "motor"),
        (v[f"{output}_shake_m_s2"] > SHAKE_M_S2, "motor-shaft-bent", "motor"),
        (
            late or abs(over("speed_rpm") - 1.0) > SPEED_SHARE,
            "throttle-ends-unmatched",
            "",
        ),
    )
    return next(((cause, part) for holds, cause, part in causes if holds), None)


def from_one(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge each output: which corner, which way, and how that motor compares."""
    found = []
    for i, output in enumerate(PLACES):
        number = int(v[f"{output}_turns_corner"])
        if number == 0:  # its lead drives another output's motor, or none
            squawk = claim(f"motor order {named(output)}", "motor-order-swapped", 3)
            found.append(Finding(squawk, swap_at("signal-lead", output)))
            continue
        corner = PLACES[number - 1]
        if corner != PLACES[i]:
            squawk = claim(f"motor order {named(output)}", "motor-order-swapped")
            found.append(Finding(squawk, swap_at("signal-lead", output)))
        if v[f"{output}_turns_sign"] != v[f"{output}_arrow_sign"]:
            squawk = claim(f"motor direction {named(corner)}", "motor-spin-reversed")
            found.append(Finding(squawk, swap_at("phase-leads", corner)))
        seen = _cause_alone(v, output)
        if seen is not None:
            cause, part = seen
            cure = swap_at(part, corner) if part else "calibrate:drives"
            found.append(Finding(claim(f"motor {named(corner)}", cause, 3), cure))
    return found


def _cause_together(v: dict[str, float], place: str) -> tuple[str, str] | None:
    off = v[f"{place}_speed_rpm"] / _others(v, "speed_rpm") - 1.0
    causes = (
        (v[f"{place}_unsteady_share"] > JITTER_SHARE, "signal-ground-missing", "signal-lead"),
        (v[f"{place}_dips_count"] > 0.0, "phase-joint-bad", "phase-leads"),
        (v[f"{place}_misses_count"] > 0.0, "drive-desync", "motor"),
        (abs(off) > SPEED_SHARE, "throttle-ends-unmatched", ""),
    )
    return next(((cause, part) for holds, cause, part in causes if holds), None)


def _idle(cause: str, sheet: BuildSheet) -> Finding:
    setting = Set(key="setup.controller.idle", value=sheet.setup.idle)
    return Finding(claim("idle", cause), "set", (setting,))


def _from_idle(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    if v["idle_slowest_rpm"] > IDLE_RPM:
        return [_idle("idle-too-high", sheet)]
    # a motor that dips or jitters anyway says nothing of the idle
    sound = [p for p in PLACES if _cause_together(v, p) is None]
    stopped = [place for place in sound if v[f"{place}_stops_count"] > 0.0]
    if not stopped:
        return []
    low = v["idle_set_us"] < 1000.0 + 1000.0 * sheet.setup.idle - 1.0
    if low:
        return [_idle("idle-too-low", sheet)]
    squawk = claim("drive end points", "throttle-ends-unmatched", 3)
    return [Finding(squawk, "calibrate:drives")]


def from_ramp(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge idle, match, steadiness and snaps."""
    found = _from_idle(v, sheet)
    if v["restarts_count"] > 0.0:
        found.append(Finding(claim("regulator", "regulator-brownout"), "swap:regulator"))
    for place in PLACES:
        seen = _cause_together(v, place)
        if seen is not None:
            cause, part = seen
            cure = swap_at(part, place) if part else "calibrate:drives"
            found.append(Finding(claim(f"motor {named(place)}", cause, 3), cure))
    return found


def from_touch(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge heat against the siblings, and what came loose or broke."""
    found = []
    for place in PLACES:
        if v[f"{place}_drive_degc"] - _others(v, "drive_degc") > HOTTER_K:
            squawk = claim(f"drive {named(place)}", "drive-thermal-limit", 3)
            found.append(Finding(squawk, swap_at("motor", place)))
    if v["pack_moved_count"] > 0.0:
        found.append(Finding(claim("strap", "pack-strap-loose"), "swap:pack-strap"))
    return found


JUDGES: dict[str, Judge] = {
    "one-motor": from_one,
    "ramp-and-snap": from_ramp,
    "touch-after": from_touch,
}
