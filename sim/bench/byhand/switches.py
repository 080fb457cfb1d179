"""By hand: sticks to motors, the link lost, arming where it must not, stop and mode switch."""

from collections.abc import Callable
from math import cos, inf, radians

import numpy as np

from sim.bench.byhand.sticks import AT_REST, SAME
from sim.bench.checks import link
from sim.bench.person import Subject, senses
from sim.bench.reading import Reading, not_read
from sim.bench.recorded import ArmTry, Form, Mask, Recorded, Span, Stretch
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.keys import CheckKey

LEAST_THROTTLE, MOST_THROTTLE = 0.1, 0.6  # share; own: motors turn by the stick, without load
LEAST_STICK = 0.2  # of stick; own: moved less, the ear tells nothing
LONG_STEADY_S = 0.5  # s; own: until the motors have settled at a throttle
SAME_THROTTLE = 0.05  # share; own: a hand that leaves the throttle alone
THROTTLE_UP = 0.2  # share; own: plainly up
THROTTLE_DOWN = 0.05  # share; own: all the way down, with its trim
ASKEW_DEG, LEVEL_DEG = 30.0, 10.0  # deg; own: plainly askew, plainly not
STOOD_S = link.DISPLAY_S  # s; the stick has reached the controller by then


def _part_throttle(history: History) -> Mask:
    up = history["stick_throttle"]
    return (history["armed"] > 0.0) & (up >= LEAST_THROTTLE) & (up <= MOST_THROTTLE)


def _off_rest(history: History, *but: str) -> Mask:
    """Tell for each row whether no stick is moved but those named and the throttle."""
    mask = np.ones(len(history), bool)
    for channel in {"roll", "pitch", "yaw"} - set(but):
        mask &= np.abs(history[f"stick_{channel}"]) <= AT_REST
    return mask


def _moved(recorded: Recorded, channel: str) -> tuple[Span, Span, float] | None:
    """Return (steady before, moved, how far) of the widest move of a stick to its positive side."""
    whole = recorded.whole
    throttled, stick = _part_throttle(whole), whole[f"stick_{channel}"]
    steadies = recorded.where(throttled & _off_rest(whole), LONG_STEADY_S)
    alone = throttled & _off_rest(whole, channel)
    best: tuple[Span, Span, float] | None = None
    for out in recorded.where(alone & (stick >= LEAST_STICK), link.MOVED_S):
        top = float(out.history[f"stick_{channel}"].max())
        at_top = np.zeros(len(whole), bool)
        at_top[out.rows] = whole[f"stick_{channel}"][out.rows] >= top - SAME
        held = recorded.where(at_top, link.MOVED_S)
        before = [s for s in steadies if s.ends_s <= out.begins_s and _same(s, out)]
        if held and before and (best is None or top > best[2]):
            best = before[-1], held[0], top
    return best


def _same(steady: Span, out: Span) -> bool:
    was, now = (float(s.history["stick_throttle"][-1]) for s in (steady, out))
    return abs(was - now) <= SAME_THROTTLE


def stick_to_motor(rig: Rig, recorded: Recorded) -> Reading:
    """Hear which motors speed up in the first moment after each stick has gone right or back."""
    found = {move: _moved(recorded, channel) for move, channel in link.STICK_MOVES.items()}
    if not any(found.values()):
        raise Refusal(
            "No motor had anything to answer: arm, give a quarter of throttle, wait a second, then "
            "move one stick half way right or back and hold it for half a second.",
            "moved",
        )
    rng = senses(rig, Subject.EAR)
    values: dict[str, float] = {}
    for move, seen in found.items():
        if seen is not None:
            steady, moved, far = seen
            early = moved.first(link.MOVED_S).last(link.HEARD_S)
            before = steady.history.last(link.STEADY_S)
            values |= link.pair_lines(rig, rng, move, before, early, far / link.HALF_STICK)
    every = [f"{move}_{side}_rpm" for move in found for side in ("gain", "other")]
    return link.stick_to_motor_reading(values, not_read(every, values))


def _stopped_s(recorded: Recorded, cut: Callable[[Stretch], bool]) -> float | None:
    """Return how long the motors took to stand after the last cut at part throttle, s.

    inf if they turned on for as long as one waits; None if nobody cut so, or waited so long, or
    somebody disarmed meanwhile.
    """
    whole, times = recorded.whole, None
    is_cut = recorded.each(cut) > 0.0
    throttled = _part_throttle(whole)
    for span in recorded.where(is_cut):
        first = span.rows.start
        if first == 0 or not throttled[first - 1]:
            continue
        waited = span.first(link.WAIT_S)
        stopped = link.until_stopped_s(waited)
        ended = span.begins_s + min(stopped, link.WAIT_S)
        by_hand = any(span.begins_s <= at <= ended for at in recorded.disarmed_by_hand())
        if not by_hand and (stopped < inf or span.seconds >= link.WAIT_S - STOOD_S):
            times = stopped
    return times


def failsafe(rig: Rig, recorded: Recorded) -> Reading:
    """Time the motors from when the transmitter went off at part throttle."""
    stopped = _stopped_s(recorded, lambda s: not s.transmitting and s.sticks.stop == 0.0)
    if stopped is None:
        raise Refusal(
            "The link was not lost with motors turning: arm, give a quarter of throttle, switch the "
            "transmitter off and wait three seconds, hands off the disarming.",
            "moved",
        )
    return link.failsafe_reading(rig, stopped)


def _just_before(recorded: Recorded, at: ArmTry, seconds: float) -> Mask:
    """Return the rows of the last seconds before a try to arm."""
    time = recorded.whole["time_s"]
    return np.asarray((time <= at.time_s) & (time > at.time_s - seconds))


def _case(recorded: Recorded, at: ArmTry) -> str | None:
    """Return which forbidden case of arming a try was, if it was one and no other as well."""
    before = History(recorded.whole.rows[_just_before(recorded, at, STOOD_S)])
    if len(before) == 0:
        return None
    upright = np.cos(before["roll_rad"]) * np.cos(before["pitch_rad"])
    up = before["stick_throttle"]
    off = recorded.where(recorded.each(lambda s: not s.transmitting) > 0.0, link.NO_LINK_S)
    lost = any(
        o.begins_s <= at.time_s - link.NO_LINK_S and at.time_s <= o.ends_s + STOOD_S for o in off
    )
    signs = {
        "armed_with_throttle_up": (up >= THROTTLE_UP).all() and at.transmitting,
        "armed_with_stop_switch_on": at.sticks.stop > 0.0,
        "armed_without_link": not at.transmitting and lost,
        "armed_askew": (upright <= cos(radians(ASKEW_DEG))).all(),
    }
    clear = {
        "armed_with_throttle_up": (up <= THROTTLE_DOWN).all() or not at.transmitting,
        "armed_with_stop_switch_on": at.sticks.stop == 0.0,
        "armed_without_link": at.transmitting,
        "armed_askew": (upright >= cos(radians(LEVEL_DEG))).all(),
    }
    there = [name for name, sign in signs.items() if sign]
    others_clear = all(clear[name] for name in signs if name not in there)
    return there[0] if len(there) == 1 and others_clear else None


CASES = (
    "armed_with_throttle_up",
    "armed_with_stop_switch_on",
    "armed_without_link",
    "armed_askew",
)


def switches(rig: Rig, recorded: Recorded) -> Reading:
    """Tell which forbidden cases were tried and armed, how long the stop took, what the modes are."""
    values: dict[str, float] = {}
    for at in recorded.arm_tries:
        case = _case(recorded, at)
        if case is not None:
            values[case] = float(not at.refused)
    stopped = _stopped_s(recorded, lambda s: s.sticks.stop > 0.0)
    if stopped is not None:
        values["stop_switch_s"] = link.timed_s(rig, stopped)
    if {s.conduct.self_level for s in recorded.stretches} == {True, False}:
        values |= link.mode_lines(rig)
    if not values:
        raise Refusal(
            "No switch has been tried: try to arm with the throttle up, with the stop switch on, "
            "without the transmitter and askew; stop turning motors; move the mode switch.",
            "moved",
        )
    every = (*CASES, "stop_switch_s", "forward_gives_self_level", "back_gives_self_level")
    ordered = {line: values[line] for line in every if line in values}
    return link.switches_reading(rig, ordered, not_read(every, values))


FORMS: dict[CheckKey, Form] = {
    "stick-to-motor": stick_to_motor,
    "failsafe": failsafe,
    "switches": switches,
}
