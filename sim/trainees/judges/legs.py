"""Judgements light on the legs: what rings, shakes, tips, pulls hard or sags, and why."""

from math import hypot
from statistics import median

from sim.aircraft.fields import PLACES, Place
from sim.faults.control import HOVER_STICK
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Look, found, found_at
from sim.trainees.judges.supply import DROP, IMPOSSIBLE_V

FORWARD_RIGHT: dict[Place, tuple[float, float]] = {
    "front_left": (1.0, -1.0),
    "front_right": (1.0, 1.0),
    "rear_right": (-1.0, 1.0),
    "rear_left": (-1.0, -1.0),
}  # where each corner is
CHARGED_V = 4.16  # V a cell; lithium cells, charged, at rest
SHAKES_M_S2 = 0.1  # m/s2; own: twice what a sound aircraft feels
BUZZ_M_S2 = 0.054  # m/s2; own: a quarter more than a sound aircraft feels
UPRIGHT_DEG = 2.0  # deg; own
JUMP_M = 0.5  # m; own: ground and gust give 0.2
RINGS_HZ = 12.0  # Hz; own: a loop rings above this, an aircraft that tips moves below it
RINGING = 8.0  # times the sheet; own: a loop that rings exceeds this by far
EARLY = 0.6  # of the hover's stick; a tight loop is silent there, so the board itself swings
HEAVY = 1.005  # of the hover's power on the sheet; a sound aircraft, not yet lifted, takes 0.94
LEANS_DEG = 0.85  # deg; own: more than a level, a balance or a leg within tolerance gives
TIPPED_DEG = 2.5  # deg; own: the mean while it goes over, past all that stands
FLIPS = 0.4  # own: mean over largest lean of one that goes over at a stroke
TURNS, TWISTS = 0.042, 0.07  # share of command; own: sound aircraft need 0.015
PULLED = 0.08  # share; own: command of the leaning corner over the opposite one's
HARD = 0.98  # of the hover's power; own: what a blade upside down takes
ODD = 0.015  # share; own: speed for its command; sound ones agree within 0.2 %
HOVER_RPM_PER_SHARE = 8800.0  # rpm; own: how the speed follows the command near the hover


def _commands(v: Look) -> dict[Place, float]:
    return {place: v[f"{place}_command_share"] for place in PLACES}


def effort(v: Look) -> float:
    """Return command times voltage over what the sheet's hover takes."""
    mean = sum(_commands(v).values()) / len(PLACES)
    hover = v.sheet.hover_throttle * (CHARGED_V - v.sheet.loaded_drop_v_cell)
    return mean * v["loaded_v_cell"] / hover


def _lean_deg(v: Look) -> float:
    return hypot(v["lean_right_deg"], v["lean_back_deg"])


def leaning_corner(v: Look) -> Place:
    """Return the corner that hangs."""
    forward, right = -v["lean_back_deg"], v["lean_right_deg"]
    return max(PLACES, key=lambda p: forward * FORWARD_RIGHT[p][0] + right * FORWARD_RIGHT[p][1])


def _pulled_share(v: Look) -> float:
    """Return how much more command the leaning corner gets than the one opposite."""
    low = PLACES.index(leaning_corner(v))
    commands = list(_commands(v).values())
    return commands[low] - commands[(low + 2) % len(PLACES)]


def _works_against(v: Look) -> bool:
    """Tell whether the side that hangs is the one that works harder."""
    share = _commands(v)
    forward, right = (sum(share[p] * FORWARD_RIGHT[p][axis] for p in PLACES) for axis in (0, 1))
    return right * v["lean_right_deg"] - forward * v["lean_back_deg"] > 0.0


def _went_over(v: Look) -> Finding | None:
    """Say why it tipped or turned so fast that the hand cut, or None."""
    yaw, lean, corner = abs(v["yaw_command_share"]), _lean_deg(v), leaning_corner(v)
    hard, pulled = effort(v) > HARD, _pulled_share(v) > PULLED
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
    speed = {p: v[f"{p}_rotor_rpm"] - HOVER_RPM_PER_SHARE * v[f"{p}_command_share"] for p in PLACES}
    middle = median(speed.values())
    mean = sum(v[f"{p}_rotor_rpm"] for p in PLACES) / len(PLACES)
    worst = max(PLACES, key=lambda p: abs(speed[p] - middle))
    if abs(speed[worst] - middle) <= ODD * mean:
        return None
    return found_at("prop-size-mismatch", f"{worst}_rotor_rpm", worst, 3, "propeller")


def _stands_wrong(v: Look) -> list[Finding]:
    """Judge lean, then weight, of an aircraft that neither rings nor shakes."""
    seen = _went_over(v) if v["cut_count"] > 0.0 else _odd_propeller(v)
    if seen is not None:
        return [seen]
    if _lean_deg(v) > LEANS_DEG:
        cause: FaultId = "cg-offset" if _works_against(v) else "leg-snag-or-bent"
        return [found(cause, "lean_deg", 3)]
    if v["cut_count"] > 0.0:
        return [found("loop-sign-reversed", "lean_deg", 3)]
    return [found("over-mass", "throttle_share", 3)] if effort(v) > HEAVY else []


def _rings(v: Look) -> bool:
    return v["ringing_share"] > RINGING * v.sheet.ringing_share


def _rings_fast(v: Look) -> list[Finding]:
    if v["ringing_hz"] < RINGS_HZ or not _rings(v):
        return []
    if v["throttle_share"] < EARLY * v.sheet.hover_throttle:
        return [found("sensor-mount-loose", "ringing_share", 3)]
    return [found("rate-gain-high", "ringing_share")]


def _shakes(v: Look) -> list[Finding]:
    """Judge the shake of one that stands: a blade's, or a board's without its foam.

    Which propeller it is can't be told from here, so all four go to the balancer.
    """
    if v["cut_count"] > 0.0 or v["lean_deg"] >= UPRIGHT_DEG:
        return []
    if v["shake_m_s2"] > SHAKES_M_S2:
        return [found("sensor-mount-stiff", "shake_m_s2", 3)]
    if v["shake_m_s2"] > BUZZ_M_S2:
        return [found_at("prop-nick-imbalance", "shake_m_s2", p, 2) for p in PLACES]
    return []


def _pack(v: Look) -> list[Finding]:
    if not IMPOSSIBLE_V[0] < v["rest_v_cell"] < IMPOSSIBLE_V[1]:
        return [found("pack-cell-count-wrong", "rest_v_cell")]
    if v["rest_v_cell"] - v["loaded_v_cell"] > DROP * v.sheet.loaded_drop_v_cell:
        return [found("pack-high-resistance", "loaded_v_cell", 3)]
    return []


def _stick(v: Look) -> list[Finding]:
    low = v["throttle_share"] < HOVER_STICK[0]
    return [found("hover-throttle-mismatch", "throttle_share")] if low else []


def from_light(v: Look) -> list[Finding]:
    """Judge ringing, pack, stick, shake, lean and weight, each only if none before explains it."""
    seen = (
        _rings_fast(v)
        or _pack(v)
        or _stick(v)
        or _shakes(v)
        or _stands_wrong(v)
        or ([found("rate-gain-high", "ringing_share")] if _rings(v) else [])
    )
    if abs(v["height_jump_m"]) > JUMP_M:
        seen = [*seen, found("baro-uncovered", "height_jump_m")]
    return seen


JUDGES: dict[CheckKey, Judge] = {"light-on-legs": from_light}
