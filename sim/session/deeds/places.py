"""People and room, the aircraft carried and turned, time that passes."""

from sim.bench.checks.attitude import set_down
from sim.bench.rig import HANDS_OFF
from sim.procedure import hazards
from sim.procedure.preparations import PREPARATIONS, prepared
from sim.session import actions as act
from sim.session import connecting
from sim.session.connecting import WARM_MIN
from sim.session.deeds.refusing import refuse_if, refuse_if_turning
from sim.session.fixes import fix_of
from sim.session.record import Outcome
from sim.session.state import Deed, State
from sim.units import RAD_PER_DEG

TAUT = "The cable is taut: so far and no further. The telemetry radio leaves the hands free."


def prepare(state: State, action: act.Prepare) -> Outcome:
    """Set people and room to rights."""
    gone = fix_of(action) in state.scenario.lacking
    refuse_if(gone, "Not to be had tonight.", "not_tonight")
    state.rig.change(prepared(state.rig.world, action.what, state.chance))
    state.known.due_again_after(action)
    if action.what == "restart-card":
        state.known.untick()
    return Outcome(PREPARATIONS[action.what][0])


def wait(state: State, action: act.Wait) -> Outcome:
    """Let minutes pass."""
    refuse_if(state.armed, "Disarm before waiting.", "disarmed")
    state.rig.wait(60.0 * action.minutes)
    state.evening.minutes += action.minutes
    if state.rig.world.conduct.pack_plugged and action.minutes >= WARM_MIN:
        state.known.due_again_after(action)
        state.rig.change(connecting.warmed(state.rig.world))
    return Outcome(f"Waited {action.minutes:g} minutes.")


def carry(state: State, action: act.Carry) -> Outcome:
    """Carry the aircraft somewhere and hold it, set it down or clamp it there."""
    refuse_if(state.armed, "The motors are armed: disarm first.", "disarmed")
    refuse_if(
        state.flying.seen().rotors_turning and state.rig.world.conduct.props_fitted,
        "The propellers are still turning: wait.",
        "rotors_still",
    )
    connecting.refuse_leaving(state.board, action.to)
    state.flying.hops.picked_up(state.rig)
    state.conduct(place=action.to, hold=action.hold)
    state.evening.log(*hazards.on_power(state.rig.world.conduct))
    state.evening.log(*hazards.on_leaving(state.rig.world.conduct, action.to))
    state.rig.place()
    state.rig.run(HANDS_OFF, 0.5)
    state.flying.settle_phase()
    return Outcome(f"At the {action.to.replace('_', ' ')}.")


def turn(state: State, action: act.Turn) -> Outcome:
    """Turn it to a pose."""
    if state.rig.world.conduct.hold == "standing":
        return turn_on_plate(state, action)
    state.needs("in_hands")
    state.rig.turn(action.roll_deg, action.pitch_deg, action.heading_deg)
    return Outcome(TAUT if state.rig.taut() else "Turned.")


def turn_on_plate(state: State, action: act.Turn) -> Outcome:
    """Lift it from the levelled plate and set it down again with the nose another way."""
    off_plate = state.rig.world.conduct.place != "bench" or action.roll_deg or action.pitch_deg
    refuse_if(bool(off_plate), "Take the aircraft in your hands first.", "in_hands")
    refuse_if_turning(state)
    set_down(state.rig, action.heading_deg * RAD_PER_DEG)
    state.rig.run(HANDS_OFF, 0.5)
    return Outcome("Set down with the nose another way.")


DEEDS: dict[str, Deed] = {
    "prepare": prepare,
    "wait": wait,
    "carry": carry,
    "turn": turn,
}
