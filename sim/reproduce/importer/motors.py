"""Which motor column is which place: from what the controller asked for, never from what came of it.

The controller believes in an order of motors. Against a rate and a lean it asks for the opposite
turn; of the 24 orders, the one is looked for in which the commands, taken apart into roll, pitch and
yaw, do that best. What the aircraft then did is not looked at: two leads swapped would show there as
another order, and the fault would be mended away. What goes with the sticks is taken out first, so
that their signs do not matter.
"""

from itertools import permutations
from typing import NamedTuple

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.avionics import mixing
from sim.reproduce.importer.signals import QUICK_S, Signals, band, cut, without
from sim.reproduce.recording import Values

LEVEL_PER_S = 4.0  # 1/s; own: rate asked for per lean, the middle of what is usual
LEAST_AIR_S = 1.5  # s; own: shorter, a few swings decide
LEAST_FIT = 1.2  # 1; own: sum of three correlations; 0.9 is met in a flip, 2.0 and more in a hover
LEAST_LEAD = 0.4  # 1; own: by which the best order must be better than the next; 1.1 in a hover

Order = tuple[int, int, int, int]


class Found(NamedTuple):
    """The best order (the column of each place), its fit, and its lead over the next one."""

    order: Order
    fit: float
    lead: float

    @property
    def sure(self) -> bool:
        """Whether it may be guessed."""
        return self.fit >= LEAST_FIT and self.lead >= LEAST_LEAD


def errors(signals: Signals, angles: list[Values | None], rates: list[Values]) -> list[Values]:
    """Return what the controller works against, by axis: minus rate, less minus lean, in the air."""
    step = signals.step_s
    found = []
    for angle, rate in zip(angles, rates, strict=True):
        total = rate if angle is None else rate + LEVEL_PER_S * angle
        found.append(cut(-band(total, QUICK_S, step)[signals.air]))
    return found


def fits(
    signals: Signals, drives: list[Values], worked: list[Values], sticks: list[Values],
    airframe: Airframe,
) -> dict[Order, tuple[float, ...]]:  # fmt: skip
    """Return for each order how each axis' commands go with what they work against."""
    step = signals.step_s
    ways = [band(s, QUICK_S, step)[signals.air] for s in sticks]
    given = np.column_stack(
        [without(cut(band(d, QUICK_S, step)[signals.air]), ways) for d in drives]
    )
    against = [without(e, ways) for e in worked]
    apart = np.linalg.pinv(np.array([tuple(row) for row in mixing(airframe)]))
    found: dict[Order, tuple[float, ...]] = {}
    for a, b, c, d in permutations(range(4)):
        order = (a, b, c, d)
        asked = given[:, order] @ apart.T
        found[order] = tuple(
            float(u @ e / max(np.linalg.norm(u) * np.linalg.norm(e), 1e-12))
            for u, e in zip(asked.T, against, strict=True)
        )
    return found


def best(of_order: dict[Order, tuple[float, ...]]) -> Found:
    """Return the order that fits best."""
    ranked = sorted(((sum(fit), order) for order, fit in of_order.items()), reverse=True)
    (fit, order), (next_fit, _) = ranked[:2]
    return Found(order, fit, fit - next_fit)
