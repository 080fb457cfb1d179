"""Lines of a reading, and the measures each is judged by.

A line is one value of a reading. A value of one of the four places has two measures: as it is, and
against the median of all four, as a person looks for the odd one out. The places share their
measures: the aircraft is the same at every corner. What is another at each corner by design, such
as a way of turning, and any other line, is its own measure.
"""

from math import inf, isnan
from statistics import median

from sim.aircraft.fields import PLACES

PLACE = "{place}_"
OFF_FOUR = "_off_four"
WAY_ROUND = "_sign"  # how keys end of which way round a thing is
BY_DESIGN = (WAY_ROUND, "_corner")  # how keys end of what is another at each place


def number(value: float) -> float:
    """Return a value as it is compared; what could not be read lies above everything."""
    return inf if isnan(value) else value


def measures(values: dict[str, float], key: str) -> dict[str, float]:
    """Return what a line is judged by, by measure; KeyError for a line the reading does not have."""
    value = number(values[key])
    place = next((p for p in PLACES if key.startswith(f"{p}_")), None)
    if place is None or key.endswith(BY_DESIGN):
        return {key: value}
    name = key.removeprefix(f"{place}_")
    four = [number(values[f"{p}_{name}"]) for p in PLACES if f"{p}_{name}" in values]
    middle = median(four)
    off = 0.0 if value == middle else value - middle  # two that could not be read are alike
    return {PLACE + name: value, PLACE + name + OFF_FOUR: off}


def every_measure(values: dict[str, float]) -> dict[str, list[float]]:
    """Return the values of each measure of a reading: one, or one for each place."""
    found: dict[str, list[float]] = {}
    for key in values:
        for measure, value in measures(values, key).items():
            found.setdefault(measure, []).append(value)
    return found
