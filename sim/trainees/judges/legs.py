"""Judgements light on the legs: what rings, shakes, tips, pulls hard or sags, and why."""

from math import hypot
from statistics import median

from sim.aircraft.airframe import SIDES
from sim.aircraft.design import CHARGED_CELL_V, hover, ringing_hz
from sim.aircraft.fields import PLACES, Place
from sim.faults.control import HOVER_STICK
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Look, found, found_at
from sim.trainees.judges.supply import impossible
from sim.units import RAD_S_PER_RPM

# whether a line is off is measured; the limits here say which cause explains it, from several lines
SHAKES = 2.5  # times what reaches a sound board; own: a blade shakes less, a bare board more
UPRIGHT_DEG = 2.0  # deg; own
RINGS = 0.75  # of where the loop would ring; own: an aircraft that tips moves below it
EARLY = 0.6  # of the hover's stick; a tight loop is silent there, so the board itself swings
TIPPED_DEG = 2.5  # deg; own: the mean while it goes over, past all that stands
FLIPS = 0.4  # own: mean over largest lean of one that goes over at a stroke
TURNS, TWISTS = 0.082, 0.147  # of the hover's command; own: sound aircraft need 0.03
PULLED = 0.17  # of the hover's command; own: that of the leaning corner over the opposite one's
DROP = 2.0  # times the sheet's drop per cell, of two lines; own
ODD = 0.02  # share; own: speed for its command; a lean moves both
HARD = 0.98  # of the hover's power; own: what a blade upside down takes
LEANS = ("lean_right_deg", "lean_back_deg", "lean_deg")
SLOPE = 0.89  # of speed over command in hover; own: how one follows the other near it


def _commands(v: Look) -> dict[Place, float]:
    return {place: v[f"{place}_command_share"] for place in PLACES}


def effort(v: Look) -> float:
    """Return command times voltage over what the sheet's hover takes."""
    mean = sum(_commands(v).values()) / len(PLACES)
    planned = v.sheet.hover_throttle * (CHARGED_CELL_V - v.sheet.loaded_drop_v_cell)
    return mean * v["loaded_v_cell"] / planned


def _lean_deg(v: Look) -> float:
    return hypot(v["lean_right_deg"], v["lean_back_deg"])


def leaning_corner(v: Look) -> Place:
    """Return the corner that hangs."""
    forward, right = -v["lean_back_deg"], v["lean_right_deg"]
    return max(PLACES, key=lambda p: forward * SIDES[p][0] + right * SIDES[p][1])


def _pulled_share(v: Look) -> float:
    """Return how much more command the leaning corner gets than the one opposite."""
    low = PLACES.index(leaning_corner(v))
    commands = list(_commands(v).values())
    return commands[low] - commands[(low + 2) % len(PLACES)]


def _works_against(v: Look) -> bool:
    """Tell whether the side that hangs is the one that works harder."""
    share = _commands(v)
    forward, right = (sum(share[p] * SIDES[p][axis] for p in PLACES) for axis in (0, 1))
    return right * v["lean_right_deg"] - forward * v["lean_back_deg"] > 0.0


def _went_over(v: Look) -> Finding | None:
    """Say why it tipped or turned so fast that the hand cut, or None."""
    planned, lean, corner = v.sheet.hover_throttle, _lean_deg(v), leaning_corner(v)
    yaw = abs(v["yaw_command_share"]) / planned
    hard, pulled = effort(v) > HARD, _pulled_share(v) / planned > PULLED
    flips = lean < FLIPS * v["lean_deg"]
    over = lean > TIPPED_DEG
    if over and yaw > TURNS:
        return found_at("motor-spin-reversed", "yaw_command_share", corner, 3)
    if yaw > TWISTS:
        return found("yaw-mix-sign-wrong", "yaw_command_share", 3)
    if flips:
        return found("loop-sign-reversed", "lean_deg", 3)
    if over and pulled:
        cause: FaultId = "prop-upside-down" if hard else "prop-wrong-hand"
        return found_at(cause, f"{corner}_command_share", corner, 3, "propeller")
    return None if not over or _works_against(v) else found("level-trim-off", "lean_deg", 3)


def _odd_propeller(v: Look) -> Finding | None:
    """Name the corner whose rotor is too fast or too slow for its command, or None."""
    trim = hover(v.airframe)
    slope = SLOPE * trim.speed_rad_s / RAD_S_PER_RPM / trim.command
    speed = {p: v[f"{p}_rotor_rpm"] - slope * v[f"{p}_command_share"] for p in PLACES}
    if not v.read(*(f"{p}_{name}" for p in PLACES for name in ("rotor_rpm", "command_share"))):
        return None
    middle = median(speed.values())
    worst = max(PLACES, key=lambda p: abs(speed[p] - middle))
    if abs(speed[worst] - middle) < ODD * v[f"{worst}_rotor_rpm"]:
        return None
    line = v.past("prop-size-mismatch", f"{worst}_rotor_rpm", f"{worst}_command_share")
    return found_at("prop-size-mismatch", line, worst, 3, "propeller") if line else None


def _stands_wrong(v: Look) -> list[Finding]:
    """Judge weight, one odd rotor, then lean, of an aircraft that neither rings nor shakes."""
    cut = v["cut_count"] > 0.0
    heavy = v.past("over-mass", "throttle_share")
    if heavy and not cut:
        return [found("over-mass", heavy, 3)]
    seen = (_went_over(v) if cut else None) or _odd_propeller(v)
    if seen is not None:
        return [seen]
    if not v.read("lean_right_deg", "lean_back_deg", *(f"{p}_command_share" for p in PLACES)):
        return []  # nothing tells a weight from a leg
    cause: FaultId = "cg-offset" if _works_against(v) else "leg-snag-or-bent"
    leans = v.past(cause, *LEANS)
    if leans:
        return [found(cause, leans, 3)]
    return [found(cause, "cut_count", 2)] if cut else []


def _rings_fast(v: Look) -> bool:
    """Tell whether the commands go to and fro as fast as a loop with too much gain would."""
    return v["ringing_hz"] > RINGS * ringing_hz(v.airframe)


def _rings(v: Look) -> list[Finding]:
    """Judge ringing: the loop's, or that of a board that swings by itself."""
    early = v["throttle_share"] < EARLY * v.sheet.hover_throttle and _rings_fast(v)
    cause: FaultId = "sensor-mount-loose" if early else "rate-gain-high"
    line = v.past(cause, "ringing_share")
    return [found(cause, line, 3 if early else 4)] if line else []


def _shaken_by_the_board(v: Look) -> bool:
    """Tell whether it shakes more than a blade alone would shake a sound board."""
    usual = v.usual("shake_m_s2")
    return usual is not None and v["shake_m_s2"] > SHAKES * usual.high_inner


def _shakes(v: Look) -> list[Finding]:
    """Judge the shake of one that stands: a blade's, or a board's without its foam.

    Which propeller it is can't be told from here, so all four go to the balancer.
    """
    if v["cut_count"] > 0.0 or v["lean_deg"] >= UPRIGHT_DEG:
        return []
    if _shaken_by_the_board(v):
        stiff = v.past("sensor-mount-stiff", "shake_m_s2")
        return [found("sensor-mount-stiff", stiff, 3)] if stiff else []
    blade = v.past("prop-nick-imbalance", "shake_m_s2")
    return [found_at("prop-nick-imbalance", blade, p, 2) for p in PLACES] if blade else []


def _pack(v: Look) -> list[Finding]:
    if impossible(v["rest_v_cell"]):
        return [found("pack-cell-count-wrong", "rest_v_cell")]
    if v["rest_v_cell"] - v["loaded_v_cell"] > DROP * v.sheet.loaded_drop_v_cell:
        return [found("pack-high-resistance", "loaded_v_cell", 3)]
    return []


def _stick(v: Look) -> list[Finding]:
    low = v["throttle_share"] < HOVER_STICK[0] * v.sheet.hover_throttle
    return [found("hover-throttle-mismatch", "throttle_share")] if low else []


def from_light(v: Look) -> list[Finding]:
    """Judge ringing, pack, stick, shake, lean and weight, each only if none before explains it."""
    rings = _rings(v)
    fast = rings if _rings_fast(v) else []
    seen = fast or _pack(v) or _stick(v) or _shakes(v) or _stands_wrong(v) or rings
    jumps = v.past("baro-uncovered", "height_jump_m")
    return [*seen, *([found("baro-uncovered", jumps)] if jumps else [])]


JUDGES: dict[CheckKey, Judge] = {"light-on-legs": from_light}
