"""What a fault's predicate looks at, of an aircraft in the hand."""

from sim.aircraft.assemble import assemble
from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.rig import Rig
from sim.faults.fault import Truth


def truth(world: World) -> Truth:
    """Return the truth of an aircraft, its propellers on, that is to hop for 75 s."""
    rig = Rig(world, 1)
    craft = assemble(with_value(world, "conduct.props_fitted", True), rig.target)
    return Truth(world, craft, rig.tables, rig.cells(), 75.0)
