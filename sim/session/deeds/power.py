"""Power and connection: transmitter, pack, cable, set-up connection, software."""

from sim.aircraft.fields import NO_OFFSET
from sim.aircraft.scatter import renewed
from sim.bench.rig import HANDS_OFF
from sim.procedure import hazards
from sim.session import actions as act
from sim.session import connecting
from sim.session.calibrating import START_UP_S, Calibrations
from sim.session.deeds.refusing import refuse_if
from sim.session.record import Outcome
from sim.session.state import Deed, State


def switch_transmitter(state: State, action: act.SwitchTransmitter) -> Outcome:
    """Switch the transmitter."""
    state.conduct(transmitter_on=action.on)
    state.rig.run(HANDS_OFF, 0.2)
    return Outcome(f"Transmitter {'on' if action.on else 'off'}.")


def plug_pack(state: State, action: act.PlugPack) -> Outcome:
    """Plug the pack in; the controller starts."""
    conduct = state.rig.world.conduct
    refuse_if(conduct.pack_plugged, "The pack is plugged in already.", "already")
    burnt = connecting.plugged_wrong(state.rig.world)
    if burnt is not None:
        state.evening.log("wrong-polarity-plugged")
        state.rig.change(burnt)
        return Outcome("A crack, a flash, smoke: you pull the pack out again. It is dead.")
    if state.rig.world.build.pack.swollen:
        state.evening.log("swollen-pack-plugged")
    state.conduct(pack_plugged=True)
    if conduct.hold != "hands":  # set down, it lies still while it starts
        still = {"build.sensors.gyro_moved_deg_s": NO_OFFSET}
        state.rig.change(renewed(state.rig.world, still, state.chance))
    state.evening.log(*hazards.on_power(state.rig.world.conduct))
    state.known.due_again_after(action)
    state.rig.run(HANDS_OFF, START_UP_S)
    return Outcome("Plugged in; the controller has started.")


def unplug_pack(state: State, action: act.UnplugPack) -> Outcome:
    """Pull the pack out."""
    conduct = state.rig.world.conduct
    refuse_if(not conduct.pack_plugged, "The pack is not plugged in.", "already")
    refuse_if(
        state.flying.seen().rotors_turning and conduct.props_fitted,
        "The propellers are still turning: disarm and wait.",
        "rotors_still",
    )
    state.conduct(pack_plugged=False)
    state.board.power_gone()
    state.calibrations = Calibrations()
    state.rig.run(HANDS_OFF, 0.5)
    return Outcome("Unplugged.")


def cable(state: State, action: act.Cable) -> Outcome:
    """Put the set-up cable in or pull it out."""
    words = connecting.plug_cable(state.board, state.rig.world, action.plugged)
    state.rig.tie(action.plugged)
    return Outcome(words)


def connect(state: State, action: act.Connect) -> Outcome:
    """Open the set-up connection."""
    return Outcome(connecting.connect(state.board, state.rig.world, action))


def disconnect(state: State, action: act.Disconnect) -> Outcome:
    """Close it."""
    return Outcome(state.board.disconnect())


def load_software(state: State, action: act.LoadSoftware) -> Outcome:
    """Load the controller's software."""
    world, words = connecting.load(state.board, state.rig.world)
    state.rig.change(world)
    return Outcome(words)


DEEDS: dict[str, Deed] = {
    "switch-transmitter": switch_transmitter,
    "plug-pack": plug_pack,
    "unplug-pack": unplug_pack,
    "cable": cable,
    "connect": connect,
    "disconnect": disconnect,
    "load-software": load_software,
}
