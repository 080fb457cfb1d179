"""What each action does to an attempt, by its `do`; a module for each subject.

A deed returns what is said of it, or raises Refusal and has changed nothing.
"""

from sim.session.deeds import arming, changes, checks, helping, places, power, propellers
from sim.session.state import Deed

DEEDS: dict[str, Deed] = {
    **power.DEEDS,
    **propellers.DEEDS,
    **places.DEEDS,
    **checks.DEEDS,
    **changes.DEEDS,
    **arming.DEEDS,
    **helping.DEEDS,
}
