"""What stands in the way of more than one action."""

from sim.errors import Reason, Refusal
from sim.session.state import State


def refuse_if(condition: bool, words: str, reason: Reason) -> None:
    """Refuse where a condition holds."""
    if condition:
        raise Refusal(words, reason)


def refuse_if_turning(state: State) -> None:
    """Refuse while motors are armed or turn."""
    refuse_if(state.armed, "The motors are armed: disarm first.", "disarmed")
    turning = state.flying.seen().rotors_turning
    refuse_if(turning, "The motors are still turning: wait.", "rotors_still")


def refuse_if_flown_with_props(state: State) -> None:
    """Refuse with the propellers on once it has flown."""
    on = state.flying.hops.flown and state.rig.world.conduct.props_fitted
    words = "After a hop the propellers come off before anything is changed."
    refuse_if(on, words, "props_off")
