"""Judgements on motors and drives: each against its siblings and the build sheet."""

from math import nan
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

ROUNDED_US = 1.0  # us; own: settings are told to that
BRAKED_RATIO = 1.25  # 1; own: a rough bearing drags alike at every speed, so current and run-down
# time trade one for the other; shorted turns brake less as it slows and leave more run-down


def _others(v: Look, name: str) -> float:
    """Return the middle of the four values of a name."""
    lines = [f"{place}_{name}" for place in PLACES if v.read(f"{place}_{name}")]
    return median(v[line] for line in lines) if lines else nan


def _cause_alone(v: Look, output: Place) -> tuple[FaultId, str] | None:
    """Return what is wrong with one motor driven alone and where it shows, or None."""

    def on(cause: FaultId, *names: str) -> str:
        return v.past(cause, *(f"{output}_{name}" for name in names))

    def over(name: str) -> float:
        return v[f"{output}_{name}"] / max(_others(v, name), 1e-6)

    late = on("throttle-ends-unmatched", "start_us")
    braked = over("no_load_a") * over("coast_s") > BRAKED_RATIO  # which, not whether
    weak = on("motor-weak-or-shorted", "speed_rpm", *(["no_load_a"] if braked else []))
    signs: Signs = {
        "signal-ground-missing": on("signal-ground-missing", "unsteady_share"),
        "phase-joint-bad": shows(f"{output}_dips_count", v[f"{output}_dips_count"] > 0.0),
        "motor-weak-or-shorted": "" if late else weak,
        "motor-bearing-rough": on("motor-bearing-rough", "no_load_a", "coast_s"),
        "motor-shaft-bent": on("motor-shaft-bent", "shake_m_s2"),
        "throttle-ends-unmatched": late or on("throttle-ends-unmatched", "speed_rpm"),
    }
    return first(signs)


def from_one(v: Look) -> list[Finding]:
    """Judge each output: which corner, which way, and how that motor compares."""
    seen = []
    for output in PLACES:
        if not v.read(f"{output}_turns_corner"):
            continue
        number = int(v[f"{output}_turns_corner"])
        if number == 0:  # its lead drives another output's motor, or none
            seen.append(found_at("motor-order-swapped", f"{output}_turns_corner", output, 3))
            continue
        corner = PLACES[number - 1]
        if corner != output:
            seen.append(found_at("motor-order-swapped", f"{output}_turns_corner", output))
        if abs(v[f"{output}_turns_sign"] - v[f"{output}_arrow_sign"]) > 0.0:
            seen.append(found_at("motor-spin-reversed", f"{output}_turns_sign", corner))
        wrong = _cause_alone(v, output)
        if wrong is not None:
            seen.append(found_at(*wrong, corner, 3, "motor"))
    return seen


def _cause_together(v: Look, place: Place) -> tuple[FaultId, str] | None:
    """Return what is wrong with one motor of four run together and where it shows, or None."""
    line = {name: f"{place}_{name}" for name in ("unsteady_share", "dips_count", "misses_count")}
    signs: Signs = {
        "signal-ground-missing": v.past("signal-ground-missing", line["unsteady_share"]),
        "phase-joint-bad": shows(line["dips_count"], v[line["dips_count"]] > 0.0),
        "drive-desync": shows(line["misses_count"], v[line["misses_count"]] > 0.0),
        "throttle-ends-unmatched": v.past("throttle-ends-unmatched", f"{place}_speed_rpm"),
    }
    return first(signs)


def _from_idle(v: Look) -> list[Finding]:
    planned_us = 1000.0 + 1000.0 * v.sheet.setup.idle
    fast = v.past("idle-too-high", "idle_slowest_rpm")
    if fast and not v["idle_set_us"] < planned_us + ROUNDED_US:  # a loop that rings idles fast too
        return [set_back("idle-too-high", fast, v.sheet)]
    # a motor that dips or jitters anyway says nothing of the idle
    stops = [f"{p}_stops_count" for p in PLACES if _cause_together(v, p) is None]
    line = next((line for line in stops if v[line] > 0.0), "")
    if not line or not v.read("idle_set_us"):
        return []
    low = v["idle_set_us"] < planned_us - ROUNDED_US
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
    hot = {p: v.past("drive-thermal-limit", f"{p}_drive_degc") for p in PLACES}
    seen = [
        found_at("drive-thermal-limit", line, place, 3, "drive")
        for place, line in hot.items()
        if line
    ]
    moved = v["pack_moved_count"] > 0.0
    return seen + ([found("pack-strap-loose", "pack_moved_count")] if moved else [])


JUDGES: dict[CheckKey, Judge] = {
    "one-motor": from_one,
    "ramp-and-snap": from_ramp,
    "touch-after": from_touch,
}
