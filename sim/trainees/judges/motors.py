"""Judgements on motors and drives: each against its siblings and the build sheet."""

from statistics import median

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
    set_back,
    shows,
)

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


def _others(v: Look, name: str) -> float:
    """Return the middle of the four values of a name."""
    return median(v[f"{place}_{name}"] for place in PLACES)


def _cause_alone(v: Look, output: Place) -> tuple[FaultId, str] | None:
    """Return what is wrong with one motor driven alone and where it shows, or None."""

    def over(name: str) -> float:
        return v[f"{output}_{name}"] / max(_others(v, name), 1e-6)

    def on(name: str, seen: bool) -> str:
        return shows(f"{output}_{name}", seen)

    late = v[f"{output}_start_us"] - _others(v, "start_us") > START_US
    hungry = over("no_load_a") > CURRENT_RATIO
    braked = over("no_load_a") * over("coast_s") > BRAKED_RATIO
    fast = over("speed_rpm") > 1.0 + WEAK_SHARE
    signs: Signs = {
        "signal-ground-missing": on("unsteady_share", v[f"{output}_unsteady_share"] > JITTER_SHARE),
        "phase-joint-bad": on("dips_count", v[f"{output}_dips_count"] > 0.0),
        "motor-weak-or-shorted": on("speed_rpm", fast and not late)
        or on("no_load_a", hungry and braked and not late),
        "motor-bearing-rough": on("no_load_a", hungry)
        or on("coast_s", over("coast_s") < COAST_RATIO),
        "motor-shaft-bent": on("shake_m_s2", v[f"{output}_shake_m_s2"] > BELL_SHAKE_M_S2),
        "throttle-ends-unmatched": on("start_us", late)
        or on("speed_rpm", abs(over("speed_rpm") - 1.0) > SPEED_SHARE),
    }
    return first(signs)


def from_one(v: Look) -> list[Finding]:
    """Judge each output: which corner, which way, and how that motor compares."""
    seen = []
    for output in PLACES:
        number = int(v[f"{output}_turns_corner"])
        if number == 0:  # its lead drives another output's motor, or none
            seen.append(found_at("motor-order-swapped", f"{output}_turns_corner", output, 3))
            continue
        corner = PLACES[number - 1]
        if corner != output:
            seen.append(found_at("motor-order-swapped", f"{output}_turns_corner", output))
        if v[f"{output}_turns_sign"] != v[f"{output}_arrow_sign"]:
            seen.append(found_at("motor-spin-reversed", f"{output}_turns_sign", corner))
        wrong = _cause_alone(v, output)
        if wrong is not None:
            seen.append(found_at(*wrong, corner, 3, "motor"))
    return seen


def _cause_together(v: Look, place: Place) -> tuple[FaultId, str] | None:
    """Return what is wrong with one motor of four run together and where it shows, or None."""
    off = v[f"{place}_speed_rpm"] / _others(v, "speed_rpm") - 1.0
    signs: Signs = {
        "signal-ground-missing": shows(
            f"{place}_unsteady_share", v[f"{place}_unsteady_share"] > JITTER_SHARE
        ),
        "phase-joint-bad": shows(f"{place}_dips_count", v[f"{place}_dips_count"] > 0.0),
        "drive-desync": shows(f"{place}_misses_count", v[f"{place}_misses_count"] > 0.0),
        "throttle-ends-unmatched": shows(f"{place}_speed_rpm", abs(off) > SPEED_SHARE),
    }
    return first(signs)


def _from_idle(v: Look) -> list[Finding]:
    if v["idle_slowest_rpm"] > IDLE_RPM:
        return [set_back("idle-too-high", "idle_slowest_rpm", v.sheet)]
    # a motor that dips or jitters anyway says nothing of the idle
    stops = [f"{p}_stops_count" for p in PLACES if _cause_together(v, p) is None]
    line = next((line for line in stops if v[line] > 0.0), "")
    if not line:
        return []
    low = v["idle_set_us"] < 1000.0 + 1000.0 * v.sheet.setup.idle - 1.0
    if low:
        return [set_back("idle-too-low", line, v.sheet)]
    return [found("throttle-ends-unmatched", line, 3)]


def from_ramp(v: Look) -> list[Finding]:
    """Judge idle, match, steadiness and snaps."""
    seen = _from_idle(v)
    if v["restarts_count"] > 0.0:
        seen.append(found("regulator-brownout", "restarts_count"))
    causes = {place: _cause_together(v, place) for place in PLACES}
    seen += [found_at(*wrong, place, 3, "motor") for place, wrong in causes.items() if wrong]
    return seen


def from_touch(v: Look) -> list[Finding]:
    """Judge heat against the siblings, and what came loose or broke."""
    hot = [p for p in PLACES if v[f"{p}_drive_degc"] - _others(v, "drive_degc") > HOTTER_K]
    seen = [found_at("drive-thermal-limit", f"{p}_drive_degc", p, 3, "drive") for p in hot]
    moved = v["pack_moved_count"] > 0.0
    return seen + ([found("pack-strap-loose", "pack_moved_count")] if moved else [])


JUDGES: dict[CheckKey, Judge] = {
    "one-motor": from_one,
    "ramp-and-snap": from_ramp,
    "touch-after": from_touch,
}
