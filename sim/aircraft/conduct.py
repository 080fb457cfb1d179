"""Who and what is where: props, pack, goggles, spotter, bystanders, the aircraft itself."""

from typing import Literal

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
    abort_briefed: bool = True
    debris_swept: bool = True
    nose_marked: bool = True
    charge_watched: bool = True
    place: PlaceName = "bench"
    hold: Hold = "hands"
    self_level: bool = True
