"""How near a hand comes to the aircraft with each action."""

from sim.bench.checklist import CHECKS
from sim.procedure.hazards import Reach
from sim.session import actions as act


def reach_of(action: act.Action) -> Reach:
    """Return how near a hand comes: to the plug, among the discs, or not at all.

    Settings, calibrations and most readings are made at the transmitter or over the connection.
    """
    match action:
        case act.PlugPack() | act.UnplugPack():
            return "plug"
        case act.Read(check=check) | act.Begin(check=check):
            return "aircraft" if CHECKS[check].hands_on else "nothing"
        case (
            act.Cable()
            | act.FitProps()
            | act.FitProp()
            | act.RemoveProps()
            | act.RemoveProp()
            | act.Carry()
            | act.Turn()
            | act.Swap()
        ):
            return "aircraft"
    return "nothing"
