"""By hand: what is read while the throttle stick is held: roughness, creep, ramp, run-up."""

from dataclasses import replace

from sim.bench.byhand.spans import between, calm, centred, near, tilted_near
from sim.bench.checks.control import LISTEN_S, SETTLE_S, STEADY, steady_reading
from sim.bench.checks.instruments import IDLE_S, RAMP, RAMP_S, ramp_reading
from sim.bench.checks.pack import RUN_UP_S, run_up_reading
from sim.bench.checks.stabiliser import CREEP_S, LEAN_DEG, creep_reading
from sim.bench.reading import Reading
from sim.bench.recorded import Form, Mask, Recorded, Span, longest
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.keys import CheckKey

DOWN = 0.02  # of throttle; own: a stick that lies at its stop
STEADY_SHARE = 0.02  # of throttle; own: roughness hardly hangs on where it is held
HOVER_SHARE = 0.012  # of throttle; own: the mark for the hover on the bar; 2 % of the current
RAMP_SHARE = 0.05  # of throttle; own: the field is told per ampere, the current within 0.5 A
LEAST_S = 1.0  # s; own: shorter, an ear or a needle tells nothing
SHORT_S = 0.5  # s; own: a count of seconds is that good
LEANS_DEG = 1.0  # deg; own: how well hands keep the display's lean
EARLY_S = (1.0, 2.0)  # s after arming; as the check has it
SLACK_S = 0.05  # s; own
TREMOR_DEG = 1.0  # deg; own: what a hand's tremor adds at its worst
ROW_MS = 10  # ms; own: rows enough for the eye
UNSETTLED = (
    "loaded_v_cell",
    "drop_v_cell",
    "resistance_mohm_cell",
    "after_90_s_v_cell",
    "heading_swing_deg",
)  # what takes the six seconds to show
LOADED_S = 1.0  # s; own: what the meters show is read over the last second


def armed_in(recorded: Recorded, hold: str) -> Mask:
    """Tell for each row whether it was armed by hand and held so, no motor test under way."""
    kept = recorded.each(lambda s: s.conduct.hold == hold and s.motor is None)
    return (kept > 0.0) & (recorded.whole["armed"] > 0.0)


def steady_throttle(rig: Rig, recorded: Recorded) -> Reading:
    """Listen to the longest time at part throttle, once it has settled, held still in the hands."""
    whole = recorded.whole
    still = armed_in(recorded, "hands") & calm(whole) & centred(whole)
    part = near(whole["stick_throttle"], STEADY, STEADY_SHARE)
    held = longest(recorded.where(still & part, SETTLE_S + LEAST_S))
    if held is None:
        raise Refusal(
            f"Nothing to hear yet: arm, throttle to {STEADY:.0%}, sticks and aircraft still, and "
            "listen for four seconds.",
            "held_still",
        )
    begin_s = held.begins_s + SETTLE_S
    return steady_reading(rig.world.airframe, between(held.history, begin_s, begin_s + LISTEN_S))


def idle_creep(rig: Rig, recorded: Recorded) -> Reading:
    """Compare the commands soon after arming and twenty seconds on, one side held a little high."""
    whole = recorded.whole
    idle = armed_in(recorded, "hands") & centred(whole) & (whole["stick_throttle"] <= DOWN)
    lean = tilted_near(whole, LEAN_DEG, 0.0, LEANS_DEG + TREMOR_DEG)
    held = longest(recorded.where(idle & calm(whole) & lean, EARLY_S[1]))
    if held is None:
        raise Refusal(
            f"Nothing to see yet: lean it {LEAN_DEG:g} degrees to the right, arm, and hold it so "
            "for twenty seconds.",
            "held_still",
        )
    begin_s = held.begins_s
    early = between(held.history, begin_s + EARLY_S[0], begin_s + EARLY_S[1])
    if held.seconds < EARLY_S[1] + CREEP_S - SHORT_S:
        return replace(creep_reading(early, None), missing=("late_spread_share",))
    end_s = begin_s + EARLY_S[1] + CREEP_S
    return creep_reading(early, between(held.history, begin_s + EARLY_S[1], end_s).each(ROW_MS))


def _just_before(
    recorded: Recorded, mask: Mask, span: Span | None, seconds: float
) -> History | None:
    """Return the end of the last time a mask held before a span, at most `seconds` of it."""
    if span is None:
        return None
    before = [s for s in recorded.where(mask, SHORT_S - SLACK_S) if s.ends_s <= span.begins_s]
    return before[-1].history.last(seconds) if before else None


def compass_ramp(rig: Rig, recorded: Recorded) -> Reading:
    """Compare field and current at idle and at the ramp's end, clamped."""
    whole = recorded.whole
    on = armed_in(recorded, "clamp") & centred(whole)
    up = longest(recorded.where(on & near(whole["stick_throttle"], RAMP, RAMP_SHARE), LEAST_S))
    idle = _just_before(recorded, on & (whole["stick_throttle"] <= DOWN), up, IDLE_S)
    if up is None or idle is None:
        raise Refusal(
            f"Nothing to compare yet: arm, idle for two seconds, raise the throttle to {RAMP:.0%} "
            "and hold it for six.",
            "moved",
        )
    return ramp_reading(rig, idle, between(up.history, up.begins_s - 1.0, up.begins_s + RAMP_S))


def run_up(rig: Rig, recorded: Recorded) -> Reading:
    """Read the meters at rest and at the end of six seconds at the hover's throttle, clamped."""
    whole, hover = recorded.whole, rig.world.airframe.sheet.hover_throttle
    on = armed_in(recorded, "clamp") & centred(whole)
    up = longest(recorded.where(on & near(whole["stick_throttle"], hover, HOVER_SHARE), LOADED_S))
    rested = recorded.each(lambda s: s.motor is None and s.conduct.pack_plugged) > 0.0
    still = rested & (whole["armed"] == 0.0)
    resting = _just_before(recorded, still, up, SHORT_S)
    if up is None or resting is None:
        raise Refusal(
            f"Not run up yet: a look at the meters, arm, raise the throttle to {hover:.1%} and "
            "hold it for six seconds.",
            "moved",
        )
    reading = run_up_reading(rig, resting, _first(up, RUN_UP_S))
    if up.seconds >= RUN_UP_S - SHORT_S:
        return reading
    told = {line: v for line, v in reading.values.items() if line not in UNSETTLED}
    return replace(reading, values=told, missing=UNSETTLED)


def _first(span: Span, seconds: float) -> History:
    return between(span.history, span.begins_s - 1.0, span.begins_s + seconds)


FORMS: dict[CheckKey, Form] = {
    "steady-throttle": steady_throttle,
    "idle-creep": idle_creep,
    "compass-ramp": compass_ramp,
    "restrained-run-up": run_up,
}
