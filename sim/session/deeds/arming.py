"""Mode, arming, and the decisions that end a drill."""

from sim.bench.interlocks import refuse_to_arm
from sim.session import actions as act
from sim.session.deeds.refusing import refuse_if
from sim.session.record import Outcome
from sim.session.state import Deed, State


def set_mode(state: State, action: act.SetMode) -> Outcome:
    """Move the mode switch."""
    state.conduct(self_level=action.self_level)
    return Outcome(f"Mode switch at {'self-level' if action.self_level else 'rate'}.")


def arm(state: State, action: act.Arm) -> Outcome:
    """Arm the motors."""
    refuse_if(state.armed, "Armed already.", "already")
    refuse_to_arm(state.rig, state.by_hand.held)
    state.evening.log(*state.unsafe_to_turn())
    state.rig.put("armed", 1.0)
    return Outcome("Armed.")


def disarm(state: State, action: act.Disarm) -> Outcome:
    """Disarm them."""
    state.rig.put("armed", 0.0)
    return Outcome("Disarmed.")


def declare(state: State, action: act.Declare) -> Outcome:
    """Declare it clear, or that it stays on the bench."""
    refuse_if(state.flying.hops.flown, "Too late: it has flown.", "flown")
    refuse_if(state.armed, "Disarm first.", "disarmed")
    state.declared = (action.verdict, action.reason)
    if action.verdict == "stay on the bench":
        state.end()
    return Outcome(action.verdict)


def finish(state: State, action: act.Finish) -> Outcome:
    """End the drill."""
    refuse_if(state.armed, "Disarm first.", "disarmed")
    state.end()
    return Outcome("Debrief.")


DEEDS: dict[str, Deed] = {
    "set-mode": set_mode,
    "arm": arm,
    "disarm": disarm,
    "declare": declare,
    "finish": finish,
}
