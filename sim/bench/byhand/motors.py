"""By hand: each output alone on the motor test's slider; then chops, a hold and snaps of all four."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import PLACES, Place
from sim.bench.byhand.spans import between, falls, holds_from, near, rises
from sim.bench.byhand.throttled import DOWN, armed_in
from sim.bench.checks.motors import (
    CHOP_S,
    CHOPS,
    COAST_S,
    FLAG_TURNS_RAD_S,
    HOLD_COMMAND,
    HOLD_S,
    IDLE_S,
    RUN_COMMAND,
    RUN_S,
    SETTLE_S,
    SNAP_HIGH,
    SNAP_LOW,
    SNAP_S,
    SNAPS,
    STOP_SHARE,
    TOLD,
    Alone,
    Told,
    alone_reading,
    alone_told,
    chops_told,
    fastest,
    held_told,
    snap_reading,
    snaps_told,
    speeds,
)
from sim.bench.inputs import ALL
from sim.bench.person import Subject, senses
from sim.bench.reading import Reading, not_read
from sim.bench.recorded import Form, Mask, Recorded, longest
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.keys import CheckKey

SAME_COMMAND = 0.006  # of command; own: the slider at its mark
FINE_STEP = 0.012  # of command; own: pushed on faster, nobody can say where it began
SLOWLY_S = 0.15  # s; own: the eye needs so long to see a flag turn
LEAST_S = 1.0  # s; own: shorter, an ear tells nothing
QUIET_A_S = 0.1  # s; own: how long the needle is looked at before
CHOPPED_FROM = 0.2  # of throttle; own: a chop begins with the motors plainly up
IN_SNAP = 0.05  # of command; own: how near the slider comes to the marks when snapped
ALONE_LINES = (*TOLD, "arrow_sign")
TURNING_LINES = ("turns_corner", "turns_sign", "arrow_sign")
SNAP_LINES = (
    *(f"{place}_stops_count" for place in PLACES),
    "idle_slowest_rpm",
    "idle_fastest_rpm",
    "idle_set_us",
    *(f"{p}_{what}" for p in PLACES for what in ("speed_rpm", "unsteady_share", "dips_count")),
    *(f"{place}_misses_count" for place in PLACES),
    "restarts_count",
)


class Driven(NamedTuple):
    """For each row: the command on the motor test's slider, and whether it is on what is asked for."""

    command: NDArray[np.float64]
    on: Mask


def driven(recorded: Recorded, output: Place | str) -> Driven:
    """Return the slider of one output, or of all at once, row by row; 0 while it is not in hand."""
    on = recorded.each(lambda s: s.motor is not None and s.motor.output == output) > 0.0
    command = recorded.each(lambda s: 0.0 if s.motor is None else s.motor.command)
    return Driven(np.where(on, command, 0.0), on)


def _top(history: History) -> NDArray[np.float64]:
    top: NDArray[np.float64] = np.max([speeds(history, place) for place in PLACES], axis=0)
    return top


def start_command(history: History, slider: Driven) -> float | None:
    """Return the command at which something began to turn, if the slider was pushed on slowly."""
    found = None
    top = np.where(slider.on, _top(history), 0.0)
    for _, row in rises(top, 0.5 * FLAG_TURNS_RAD_S, FLAG_TURNS_RAD_S):
        now = float(history["time_s"][row])
        recent = slider.command[
            (history["time_s"] > now - 2.0 * SLOWLY_S) & (history["time_s"] <= now)
        ]
        if np.ptp(recent) <= FINE_STEP * 2.0 and slider.on[row]:
            found = float(slider.command[row])
    return found


def _coast(recorded: Recorded, end_s: float, corner: Place) -> History | None:
    """Return how it ran down after a run, as long as the slider was left alone; None if too short."""
    whole = recorded.whole
    pushed = recorded.each(lambda s: s.motor is not None and s.motor.command > 0.0) > 0.0
    after = whole["time_s"] > end_s
    again = np.flatnonzero(after & pushed)
    until_s = float(whole["time_s"][again[0]]) if again.size else float(whole["time_s"][-1])
    coast = between(whole, end_s, min(until_s, end_s + COAST_S))
    if len(coast) == 0:
        return None
    speed = speeds(coast, corner)
    stopped = bool((speed < STOP_SHARE * speed[0]).any())
    return coast if stopped or until_s - end_s >= COAST_S - SLOWLY_S else None


def alone(recorded: Recorded, output: Place) -> tuple[Alone, tuple[str, ...]] | None:
    """Return what one output did when driven alone, and the lines that tell of it; None if nothing."""
    whole, slider = recorded.whole, driven(recorded, output)
    turning = slider.on & (_top(whole) > FLAG_TURNS_RAD_S)
    runs = recorded.where(slider.on & near(slider.command, RUN_COMMAND, SAME_COMMAND), SETTLE_S)
    run = longest([span for span in runs if span.seconds >= SETTLE_S + LEAST_S - 0.01])
    quiet = whole.rows[(recorded.each(lambda s: s.motor is None) > 0.0) & (_top(whole) < 1.0)]
    standing_a = float(History(quiet)["shown_pack_a"].mean()) if len(quiet) else 0.0
    start = start_command(whole, slider)
    begun = start or 0.0
    if run is None:
        if not turning.any():
            return None
        seen = History(whole.rows[turning])
        lines = TURNING_LINES + (() if start is None else ("start_us",))
        return Alone(fastest(seen), begun, seen, seen, standing_a), lines
    corner = fastest(run.history)
    steady = between(run.history, run.begins_s + SETTLE_S, run.begins_s + SETTLE_S + RUN_S)
    coast = _coast(recorded, run.ends_s, corner)
    left_out = {
        "start_us": start is None and bool(turning.any()),
        "coast_s": coast is None,
        "no_load_a": len(quiet) == 0,
    }
    told = tuple(line for line in ALONE_LINES if not left_out.get(line, False))
    return Alone(corner, begun, steady, coast or steady, standing_a), told


def one_motor(rig: Rig, recorded: Recorded) -> Reading:
    """Read each output that was driven alone: which bell, which way, from where, how it ran."""
    found = {place: ran for place in PLACES if (ran := alone(recorded, place))}
    if not found:
        raise Refusal(
            "No motor has turned: push the slider of one output up slowly until its bell turns, "
            f"then to {RUN_COMMAND:.0%} for four seconds, then let it run down.",
            "moved",
        )
    rng = senses(rig, Subject.ONE_MOTOR)
    told: list[Told] = []
    for place, (seen, lines) in found.items():
        values, words = alone_told(rng, rig, place, seen)
        told.append(
            ({k: v for k, v in values.items() if k.removeprefix(f"{place}_") in lines}, words)
        )
    reading = alone_reading(told)
    every = (f"{place}_{line}" for place in PLACES for line in ALONE_LINES)
    return replace(reading, missing=not_read(every, reading.values))


def chops(recorded: Recorded) -> list[History]:
    """Return the idling at the end of each chop of the throttle, armed, in the hands."""
    whole, on = recorded.whole, armed_in(recorded, "hands")
    throttle = np.where(on, whole["stick_throttle"], 0.0)
    idles = []
    for _, low in falls(throttle, CHOPPED_FROM, DOWN):
        down = on & (throttle <= DOWN)
        chopped = holds_from(whole, down, low, CHOP_S)
        if chopped is not None:
            idles.append(chopped.last(IDLE_S))
    return idles


def snaps(recorded: Recorded) -> list[History]:
    """Return each snap of all four from low to high, as long as one is held."""
    whole, slider = recorded.whole, driven(recorded, ALL)
    high = slider.on & (slider.command >= SNAP_HIGH - IN_SNAP)
    found = []
    for low, up in rises(
        np.where(slider.on, slider.command, 0.0), SNAP_LOW + IN_SNAP, SNAP_HIGH - IN_SNAP
    ):
        snap = holds_from(whole, high, up, SNAP_S)
        if snap is not None and slider.on[low]:
            found.append(snap)
    return found


def restarts(recorded: Recorded) -> int:
    """Return how often the controller started anew under the motor test: it fell silent by itself."""
    pushed = recorded.each(lambda s: s.motor is not None and s.motor.command > 0.0) > 0.0
    return len(recorded.where(pushed & (recorded.whole["armed"] == 0.0)))


def _counted(values: dict[str, float], what: str, done: int, whole: int) -> dict[str, float]:
    """Return the counts that can be told: what happened at once, that nothing did after all of it."""
    return {line: n for line, n in values.items() if what not in line or n > 0.0 or done >= whole}


def ramp_and_snap(rig: Rig, recorded: Recorded) -> Reading:
    """Read what stumbled in chops, hold and snaps, as far as each was done."""
    slider = driven(recorded, ALL)
    at_mark = slider.on & near(slider.command, HOLD_COMMAND, SAME_COMMAND)
    held = longest(recorded.where(at_mark, SETTLE_S + LEAST_S))
    idles, snapped, again = chops(recorded), snaps(recorded), restarts(recorded)
    if held is None and not idles and not snapped:
        raise Refusal(
            "Nothing has been run yet: arm and chop the throttle ten times; then all four on the "
            f"slider, {HOLD_COMMAND:.0%} for four seconds, and twenty snaps from {SNAP_LOW:.0%} to "
            f"{SNAP_HIGH:.0%}.",
            "moved",
        )
    values: dict[str, float] = {}
    if idles:
        values |= _counted(chops_told(rig, idles), "_stops_count", len(idles), CHOPS)
    steady = None
    if held is not None:
        begin_s = held.begins_s + SETTLE_S
        steady = between(held.history, begin_s, begin_s + HOLD_S)
        values |= held_told(senses(rig, Subject.ALL_MOTORS), steady)
    if snapped or again:
        enough = SNAPS if again else len(snapped)
        values |= _counted(snaps_told(snapped, min(again, 1)), "s_count", enough, SNAPS)
    return replace(snap_reading(values, steady), missing=not_read(SNAP_LINES, values))


FORMS: dict[CheckKey, Form] = {"one-motor": one_motor, "ramp-and-snap": ramp_and_snap}
