"""By hand: light on the legs, flown: the throttle up until the legs unload, tap, look, listen, down."""

from dataclasses import replace

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import PLACES
from sim.bench.byhand.spans import centred, lately, near
from sim.bench.checks.control import CUT_RINGING, LIGHT_S, LOOK_S, light_reading, tap
from sim.bench.checks.legs import CUT_DEG
from sim.bench.reading import Reading
from sim.bench.recorded import Form, Mask, Reals, Recorded, Span, averaged
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.keys import CheckKey
from sim.units import RAD_PER_DEG

LIGHT_LOAD = 0.15  # of the weight; own: the legs spread no more; a loop with too much gain rings
TOUCHES = 0.002  # of the weight; own: less and it hangs in the air
LOOKS_S = 1.85  # s; own: "two seconds" on anybody's count
GLANCE_S = 0.5  # s; own: shorter, nothing is seen
SMOOTH_S = 0.1  # s; own: the eye sees legs spread over that
TAPPED = 0.6  # of a tap; own: less sets nothing off
TAP_S = 0.4  # s; own: a stick that is away for more than half of it is pushed, not tapped
PUSH_S = 0.2  # s; own: how long after a tap what it set off is seen
SETTLES_S = 0.4  # s; own: what the motors' commands make of a moved throttle is over by then
SAME_THROTTLE = 0.02  # of throttle; own: a hand that moves the stick further makes its own ringing
LIFTS_S = 0.2  # s; own: what lifts off has been seen to for so long when a hand cuts
REST_S, SHORT_S = 0.5, 0.15  # s; own: how long the meters are read before arming, and at least
SLOW_LINES = ("shake_m_s2", "height_jump_m", "loaded_v_cell")  # take two seconds to tell
TAP_LINES = ("ringing_share", "ringing_hz", "lean_deg")  # tell what comes of a tap
UNTAPPED = "No stick was tapped: what a tap sets off has not been seen."


def load_share(rig: Rig, history: History) -> Reals:
    """Return what part of the weight the legs carry, smoothed as an eye does."""
    weight_n = rig.craft.body.mass_kg * rig.craft.body.gravity_m_s2
    return averaged(history, history["load_n"], SMOOTH_S) / weight_n


def spread_of(history: History, values: Reals, over_s: float) -> Reals:
    """Return the standard deviation of a column over so long a time up to each row."""
    middle = lately(history, values, over_s)
    squares = lately(history, values * values, over_s) - middle * middle
    spread: Reals = np.sqrt(np.maximum(squares, 0.0))
    return spread


def away(history: History, airframe: Airframe) -> Mask:
    """Tell for each row whether the stick of roll or pitch is away from its middle."""
    furthest = np.maximum(np.abs(history["stick_roll"]), np.abs(history["stick_pitch"]))
    stick: Mask = furthest >= TAPPED * tap(airframe)
    return stick


def left_alone(history: History, airframe: Airframe) -> Mask:
    """Tell for each row whether the hand has done nothing lately that moves it: taps apart, still."""
    pushed = lately(history, away(history, airframe).astype(float), TAP_S) > 0.5
    moved = spread_of(history, history["stick_throttle"], SETTLES_S) > SAME_THROTTLE
    alone: Mask = ~(pushed | moved)
    return alone


def leaning(history: History) -> Mask:
    """Tell for each row whether it leans so far that a hand has to cut."""
    lean: Mask = np.hypot(history["roll_rad"], history["pitch_rad"]) > CUT_DEG * RAD_PER_DEG
    return lean


def ringing(history: History) -> Mask:
    """Tell for each row whether it rings so hard that a hand has to cut."""
    drives = (history[f"drive_{place}"] for place in PLACES)
    spreads = [spread_of(history, drive, LOOK_S) for drive in drives]
    loud: Mask = np.max(spreads, axis=0) > CUT_RINGING
    return loud


def _tapped(history: History, span: Span, airframe: Airframe) -> bool:
    """Tell whether a stick was tapped just before a look."""
    before = history["time_s"] - span.begins_s
    return bool(away(history, airframe)[(before < 0.0) & (before >= -PUSH_S)].any())


def _look(recorded: Recorded, light: Mask, airframe: Airframe) -> tuple[Span, bool] | None:
    """Return the look that tells most and whether it came after a tap: that first, then the longest."""
    spans = recorded.where(light, GLANCE_S)
    looks = [(span, _tapped(recorded.whole, span, airframe)) for span in spans]
    return max(looks, key=lambda one: (one[1], round(one[0].seconds, 2)), default=None)


def light_on_legs(rig: Rig, recorded: Recorded) -> Reading:
    """Read what was seen and heard while the legs carried next to nothing, on the pad, armed.

    Where it leaned, rang or left the pad by itself so that a hand has to cut, it is read there.
    """
    whole = recorded.whole
    on_pad = recorded.each(lambda s: s.conduct.hold == "standing" and s.conduct.props_fitted) > 0.0
    armed, share = on_pad & (whole["armed"] > 0.0), load_share(rig, whole)
    light = armed & centred(whole) & (share >= TOUCHES) & (share <= LIGHT_LOAD)
    before = recorded.where(on_pad & (whole["armed"] == 0.0), SHORT_S)
    look = _look(recorded, light, rig.world.airframe)
    clear = averaged(whole, whole["load_n"], LOOK_S) == 0.0
    bad = armed & left_alone(whole, rig.world.airframe) & (leaning(whole) | ringing(whole) | clear)
    cuts = recorded.where(bad & (averaged(whole, armed.astype(float), SETTLES_S) > 0.5))
    if not before or (look is None and not cuts):
        raise Refusal(
            "The legs have not been light yet: stand back, arm, raise the throttle gently until "
            "the legs unload, tap the stick, look and listen for two seconds, then down.",
            "moved",
        )
    rest = before[0].history.last(REST_S)
    if cuts and (look is None or cuts[0].begins_s < look[0].begins_s + LOOKS_S):
        return _read_at_cut(rig, whole, rest, cuts[0])
    assert look is not None
    return _read(rig, rest, *look)


def _read(rig: Rig, rest: History, span: Span, tapped: bool) -> Reading:
    """Return what a look tells: less of it if it was short, or came without a tap."""
    seen = span.first(LIGHT_S)
    reading = light_reading(rig, rest, seen, float(seen["stick_throttle"].mean()), False)
    slow = SLOW_LINES if span.seconds < LOOKS_S else ()
    missing = slow + (() if tapped else TAP_LINES)
    told = {line: v for line, v in reading.values.items() if line not in missing}
    notes = () if tapped else (UNTAPPED,)
    return replace(reading, values=told, notes=notes, missing=missing)


def _read_at_cut(rig: Rig, whole: History, rest: History, cut: Span) -> Reading:
    """Return what was seen about the moment at which a hand has to cut, the throttle still up."""
    throttle, since_s = float(cut.history["stick_throttle"][0]), whole["time_s"] - cut.begins_s
    at = np.flatnonzero(since_s >= 0.0)[0]
    seen_s = 0.0 if leaning(whole)[at] else LOOK_S if ringing(whole)[at] else LIFTS_S
    about = (since_s >= -seen_s) & (since_s <= LOOK_S)
    held = (whole["armed"] > 0.0) & near(whole["stick_throttle"], throttle, SAME_THROTTLE)
    return light_reading(rig, rest, History(whole.rows[about & held]), throttle, True)


FORMS: dict[CheckKey, Form] = {"light-on-legs": light_on_legs}
