"""Faults of control set-up and gains."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.setup import AxisGains
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel.linear import Margins, craft_margins
from sim.kernel.pack import PackState

GAIN_MARGIN_DB = 6.0  # dB; flight-control practice (MIL-F-9490D, read second-hand)
PHASE_MARGIN_DEG = 45.0  # deg; the same
RESTED = PackState(
    0.9, 0.9, 0.0, 0.0, 0.0
)  # own: gains are judged on a fresh pack, not a sagging one


def _scaled(gains: AxisGains, factor: float) -> AxisGains:
    return AxisGains(p=gains.p * factor, i=gains.i * factor, d=gains.d * factor)


def _too_much(world: World, severity: float, rng: np.random.Generator) -> World:
    """Multiply the roll and pitch gains; the nominal loop bears a factor of 1.6."""
    factor = 3.0 + 0.8 * severity
    control = world.setup.controller
    world = with_value(world, "setup.controller.roll", _scaled(control.roll, factor))
    return with_value(world, "setup.controller.pitch", _scaled(control.pitch, factor))


def loop_margins(truth: Truth) -> tuple[Margins, Margins]:
    """Return gain and phase margins of roll and pitch in hover on a rested pack."""
    key = (truth.craft.controller, truth.craft.body, truth.craft.rotors, truth.craft.pack)
    return _margins(key, _Uncompared(truth))


@dataclass(frozen=True, eq=False)
class _Uncompared:
    """Carries the truth past the cache, which goes by the key alone."""

    truth: Truth

    def __hash__(self) -> int:
        return 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Uncompared)


@lru_cache(maxsize=64)
def _margins(key: object, carried: _Uncompared) -> tuple[Margins, Margins]:
    truth = carried.truth
    return craft_margins(truth.craft, truth.tables, RESTED)


def _margins_short(truth: Truth) -> bool:
    return any(
        m.gain_db < GAIN_MARGIN_DB or m.phase_deg < PHASE_MARGIN_DEG for m in loop_margins(truth)
    )


FAULTS = (
    Fault(
        id="rate-gain-high",
        family="control",
        item="gains",
        hazard=3,
        inject=_too_much,
        present=_margins_short,
        revealed_by=("settings-sheet", "steady-throttle", "light-on-legs"),
        proved_by=("steady-throttle", "light-on-legs"),
        fixes=("setup.controller.roll.p", "setup.controller.pitch.p"),
        in_the_air="A fast shake that does not die out; motors and drives heat up.",
        explanation=(
            "The rate gains are so high that, with the lag of motors, filters and delays, a "
            "correction arrives when it is no longer one. The loop rings. Lower the gains until it "
            "has 6 dB and 45 degrees in hand."
        ),
        caution="Try it light on the legs first, with everybody clear.",
    ),
)
