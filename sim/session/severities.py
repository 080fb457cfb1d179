"""How bad a fault is to be, as a drill says it: a share, a range, or fitted to the person."""

from typing import Annotated, Literal

from pydantic import AfterValidator

from sim.aircraft.fields import Share

AT_EDGE_USUAL = 0.5  # severity; own: the middling one, for whom no logbook knows
AT_EDGE = "at-edge"
AtEdge = Literal["at-edge"]
"""A severity at which the cue is as doubtful as the person can do with; see `sim/logbook/edge.py`."""


def _rising(ends: tuple[float, float]) -> tuple[float, float]:
    if ends[0] >= ends[1]:
        raise ValueError("a range must go from less to more")
    return ends


Between = Annotated[tuple[Share, Share], AfterValidator(_rising)]
"""A range of severities; the seed decides where in it."""

Severity = Share | Between | AtEdge


def stated(severity: float | tuple[float, float] | AtEdge) -> float:
    """Return a severity as a number: a range's middle; the middling one where it was fitted to nobody."""
    if isinstance(severity, tuple):
        return 0.5 * sum(severity)
    return AT_EDGE_USUAL if isinstance(severity, str) else severity
