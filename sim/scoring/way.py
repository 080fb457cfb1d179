"""What getting ready for a check takes: propellers, pack, and carrying the aircraft. Pure."""

from sim.bench.check import Check, Stance
from sim.session import actions as act

AT_THE_BENCH = Stance("bench", "hands", props=False, power=False)


def ready_for(check: Check, at: Stance) -> Stance:
    """Return how the aircraft stands once it is ready for a check. at : how it stands now."""
    wanted = check.stance
    props = wanted.props or (at.props and "props_off" not in check.needs)
    return Stance(
        wanted.place, wanted.hold, props, at.power if wanted.power is None else wanted.power
    )


def way_min(check: Check, at: Stance) -> float:
    """Return the minutes of getting ready for a check, min. at : how the aircraft stands now."""
    then = ready_for(check, at)
    found = 0.0
    if then.props != at.props:
        found += act.FitProps.takes_min if then.props else act.RemoveProps.takes_min
    if then[:2] != at[:2]:
        found += act.Carry.takes_min
    if then.power != at.power:
        found += act.PlugPack.takes_min if then.power else act.UnplugPack.takes_min
    return found
