"""Every fault by its identifier."""

from sim.faults import (
    airframe,
    conduct,
    control,
    drives,
    power,
    propellers,
    propulsion,
    radio,
    sensing,
    site,
)
from sim.faults.fault import Fault, Truth
from sim.keys import FaultId

CATALOGUE: dict[FaultId, Fault] = {
    fault.id: fault
    for family in (
        radio,
        sensing,
        control,
        power,
        airframe,
        propellers,
        propulsion,
        drives,
        site,
        conduct,
    )
    for fault in family.FAULTS
}


def present_faults(truth: Truth) -> frozenset[FaultId]:
    """Return the identifiers of all faults the aircraft has now, however they came about."""
    return frozenset(name for name, fault in CATALOGUE.items() if fault.present(truth))
