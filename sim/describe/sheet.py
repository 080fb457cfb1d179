"""The values of a build sheet that only show on the aircraft: read off the simulated sound one."""

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.design import world_of
from sim.aircraft.fields import PLACES
from sim.bench.check import brought
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.keys import CheckKey

SEEDS = (1, 2, 3)  # own: noise differs a little from one to the next


def taken(airframe: Airframe, key: CheckKey, seed: int) -> Reading:
    """Return a check's reading of the aircraft as designed, set out as the check asks."""
    check = CHECKS[key]
    return check.take(brought(world_of(airframe), check, seed))


def _mean(readings: list[Reading], *names: str) -> float:
    """Return the largest of some lines of a reading, the mean of some readings."""
    return float(np.mean([max(float(r.values[name]) for name in names) for r in readings]))


def read_off(airframe: Airframe) -> Airframe:
    """Return the airframe with what its sheet says of roughness, ringing and the loaded pack."""
    steady = [taken(airframe, "steady-throttle", seed) for seed in SEEDS]
    light = [taken(airframe, "light-on-legs", seed) for seed in SEEDS]
    drop = _mean(light, "rest_v_cell") - _mean(light, "loaded_v_cell")
    values = {
        "roughness_share": _mean(steady, *(f"{place}_roughness_share" for place in PLACES)),
        "ringing_share": _mean(light, "ringing_share"),
        "loaded_drop_v_cell": drop,
    }
    short = {key: float(f"{value:.2g}") for key, value in values.items()}
    return airframe.model_copy(
        update={"sheet": type(airframe.sheet).model_validate(airframe.sheet.model_dump() | short)}
    )
