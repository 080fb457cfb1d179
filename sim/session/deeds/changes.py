"""Settings, parts and calibrations."""

from sim.aircraft.blank import told
from sim.bench.parts import swap
from sim.procedure import hazards
from sim.session import actions as act
from sim.session import connecting
from sim.session.deeds.refusing import refuse_if, refuse_if_flown_with_props
from sim.session.fixes import fix_of
from sim.session.record import Outcome
from sim.session.state import Deed, State


def set_value(state: State, action: act.Set) -> Outcome:
    """Change a setting."""
    refuse_if(state.armed, "Disarm before changing a setting.", "disarmed")
    connecting.refuse_setting(state.board, state.rig.world, action.key)
    world = connecting.with_setting(state.rig.world, action.key, action.value)
    sheet, was = world.airframe.sheet.setup, state.rig.world.setup.controller
    state.evening.log(*hazards.on_setting(was, world.setup.controller, sheet))
    state.rig.change(told(world, fix_of(action)))
    state.known.due_again_after(action)
    return Outcome(f"{action.key} is now {action.value}.")


def swap_part(state: State, action: act.Swap) -> Outcome:
    """Put another part in."""
    state.needs("unplugged")
    refuse_if_flown_with_props(state)
    words = action.part.replace("-", " ")
    gone = fix_of(action) in state.scenario.lacking
    refuse_if(gone, f"There is no {words} in the parts bin tonight.", "not_tonight")
    swap(
        state.rig, action.part, state.scenario.pack_charge, state.chance, state.scenario.bad_spares
    )
    if action.part == "pack":
        state.flying.silence()
    state.known.due_again_after(action)
    return Outcome(f"Done: {words}.")


def calibrate(state: State, action: act.Calibrate) -> Outcome:
    """Do a step of a calibration."""
    connecting.refuse_calibrating(state.board, state.rig.world)
    refuse_if(state.armed, "Disarm before a calibration.", "disarmed")
    words, reading = state.calibrations.step(state.rig, action.what)
    state.rig.change(told(state.rig.world, fix_of(action)))
    state.known.due_again_after(action)
    return Outcome(words, reading)


DEEDS: dict[str, Deed] = {
    "set": set_value,
    "swap": swap_part,
    "calibrate": calibrate,
}
