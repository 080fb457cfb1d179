"""Who and what is where: props, pack, goggles, spotter, bystanders, the aircraft itself."""

from typing import Annotated, Literal

from pydantic import Field

from sim.aircraft.fields import PLACES, NotNegative, Place, Strict
from sim.aircraft.site import PlaceName

Hold = Literal["standing", "hands", "clamp"]
Count = Annotated[int, Field(ge=0)]


class Conduct(Strict):
    """State of the people and of the things they handle.

    props_fitted : propellers are on; bare : hubs that have none although others have.
    """

    props_fitted: bool = False
    bare: tuple[Place, ...] = ()
    pack_plugged: bool = False
    transmitter_on: bool = False
    goggles_on: bool = False
    spotter_present: bool = False
    person_in_ring: bool = False
    helper_here: bool = True  # somebody who could be the spotter
    others_ungoggled: Count = 0  # people here besides the pilot who have no goggles on
    strays: Count = 0  # visitors who walk wherever there is something to see
    reaches_per_min: NotNegative = 0.0  # how often somebody puts a hand between the blades
    rings_per_min: NotNegative = 0.0  # interruptions; the card is taken up again further down
    repairs_untried: Count = 0  # in the log, with no check after them
    abort_late_s: NotNegative = 0.0  # what hands that have not agreed and tried need longer
    loose_pieces: Count = 0  # within three metres of the pad
    nose_marked: bool = True
    charge_watched: bool = True
    place: PlaceName = "bench"
    hold: Hold = "hands"
    self_level: bool = True

    @property
    def propellers_on(self) -> frozenset[Place]:
        """Return the corners that have a propeller on."""
        return frozenset(PLACES) - frozenset(self.bare) if self.props_fitted else frozenset()
