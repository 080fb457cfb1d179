"""Propellers on and off, all at once or corner by corner."""

from typing import cast

from sim.aircraft.fields import PLACES, Place
from sim.bench import fitting
from sim.bench.parts import swap
from sim.keys import PartKey
from sim.procedure import hazards
from sim.session import actions as act
from sim.session.deeds.refusing import refuse_if, refuse_if_turning
from sim.session.fixes import fix_of
from sim.session.record import Outcome
from sim.session.state import Deed, State


def fit_props(state: State, action: act.FitProps) -> Outcome:
    """Fit all propellers that are not on."""
    on = state.rig.world.conduct.propellers_on == set(PLACES)
    refuse_if(on, "The propellers are on already.", "already")
    refuse_if_turning(state)
    state.conduct(props_fitted=True, bare=())
    state.evening.log(*hazards.on_power(state.rig.world.conduct))
    state.flying.settle_phase()
    state.known.due_again("fit-props")
    return Outcome("Propellers fitted: hand, face, tightness, free turn looked at.")


def fit_prop(state: State, action: act.FitProp) -> Outcome:
    """Fit a propeller at one corner."""
    place, piece = action.place, action.piece
    refuse_if_turning(state)
    fitting.refuse_fitting(state.rig.world.conduct, place, piece)
    if piece in fitting.SPARES:
        gone = fix_of(action) in state.scenario.lacking
        refuse_if(gone, "There is no propeller on the shelf tonight.", "not_tonight")
        part = cast(PartKey, f"propeller-{place.replace('_', '-')}")
        swap(state.rig, part, state.scenario.pack_charge, state.chance)
        bad = state.scenario.bad_spares
        fitting.take_from_shelf(state.rig, place, piece, state.chance, bad)
    elif piece != place:
        fitting.exchange(state.rig, place, cast(Place, piece))
    fitting.tighten(state.rig, place, action.face, action.tightness, state.chance)
    state.evening.log(*hazards.on_power(state.rig.world.conduct))
    state.flying.settle_phase()
    state.known.due_again("fit-props")
    state.known.due_again_after(action)
    return Outcome(f"A propeller is on at the {fitting.told(place)}.")


def remove_prop(state: State, action: act.RemoveProp) -> Outcome:
    """Take one off."""
    conduct, place = state.rig.world.conduct, action.place
    bare = place not in conduct.propellers_on
    refuse_if(bare, f"None is on at the {fitting.told(place)}.", "already")
    refuse_if_turning(state)
    left = fitting.on_hubs(conduct, conduct.propellers_on - {place})
    state.conduct(props_fitted=left.props_fitted, bare=left.bare)
    state.flying.settle_phase()
    state.known.due_again("remove-props")
    return Outcome(f"The one at the {fitting.told(place)} is off.")


def remove_props(state: State, action: act.RemoveProps) -> Outcome:
    """Take all off."""
    off = not state.rig.world.conduct.props_fitted
    refuse_if(off, "The propellers are off already.", "already")
    refuse_if_turning(state)
    state.conduct(props_fitted=False, bare=())
    state.flying.settle_phase()
    state.known.due_again_after(action)
    return Outcome("Propellers off and laid aside.")


DEEDS: dict[str, Deed] = {
    "fit-props": fit_props,
    "fit-prop": fit_prop,
    "remove-prop": remove_prop,
    "remove-props": remove_props,
}
