"""The five parts that together fix the truth of a drill."""

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import Build, PackSpec
from sim.aircraft.conduct import Conduct
from sim.aircraft.fields import Strict
from sim.aircraft.setup import Setup
from sim.aircraft.site import Site


class World(Strict):
    """Airframe, pack kind, build, setup, site and conduct."""

    airframe: Airframe
    pack_spec: PackSpec
    build: Build
    setup: Setup
    site: Site
    conduct: Conduct = Conduct()
