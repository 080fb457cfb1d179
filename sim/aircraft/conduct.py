"""Who and what is where: props, pack, goggles, spotter, bystanders, the aircraft itself."""

from typing import Annotated, Literal

from pydantic import Field

from sim.aircraft.fields import Strict
from sim.aircraft.site import PlaceName

Hold = Literal["standing", "hands", "clamp"]


class Conduct(Strict):
    """State of the people and of the things they handle."""

    props_fitted: bool = False
    pack_plugged: bool = False
    transmitter_on: bool = False
    goggles_on: bool = False
    spotter_present: bool = False
    person_in_ring: bool = False
    helper_here: bool = True  # somebody who could be the spotter
    helper_goggled: bool = True  # the other people have goggles of their own
    visitor_strays: bool = False  # a visitor who walks wherever there is something to see
    reaches_into_discs: bool = False  # somebody whose habit it is, armed or not
    phone_rings: bool = False  # interruptions come, and the card is taken up further down
    repairs_untried: Annotated[int, Field(ge=0)] = 0  # in the log, with no check after them
    abort_briefed: bool = True
    debris_swept: bool = True
    nose_marked: bool = True
    charge_watched: bool = True
    place: PlaceName = "bench"
    hold: Hold = "hands"
    self_level: bool = True
