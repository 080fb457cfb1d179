"""Faults of the radio link and the transmitter's set-up."""

from collections.abc import Callable

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.fields import CHANNELS, ChannelName
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel.radio import stick_sense
from sim.kernel.vehicle import TICK_S

STOP_S = 2.0  # s; design: motors stand within this time of losing the link
RUN_DOWN_S = 0.5  # s; own: measured on the trainer's bare motors, 0.45 s


def _reversed(channel: ChannelName) -> Callable[[World, float, np.random.Generator], World]:
    def inject(world: World, severity: float, rng: np.random.Generator) -> World:
        """Turn one channel round, at the transmitter or at the controller."""
        key = f"setup.transmitter.{channel}.direction"
        if rng.random() < 0.3:  # own: some people reverse it in the controller instead
            key = f"setup.inputs.{channel}"
        part = world
        for name in key.split("."):
            part = getattr(part, name)
        return with_value(world, key, -int(part))  # type: ignore[call-overload]

    return inject


def _wrong_way(channel: ChannelName) -> Callable[[Truth], bool]:
    i = CHANNELS.index(channel)

    def present(truth: Truth) -> bool:
        """Tell whether a full stick to the positive side ends as a negative command."""
        radio = truth.craft.radio
        return bool(stick_sense(radio.channels[i], radio.inputs[i]) < 0.0)

    return present


def _channel(channel: ChannelName, hazard: int, seen: str, in_the_air: str) -> Fault:
    return Fault(
        id=f"{channel}-channel-reversed",
        family="radio",
        item=f"{channel} channel",
        hazard=hazard,
        inject=_reversed(channel),
        present=_wrong_way(channel),
        revealed_by=("stick-display", "stick-to-motor"),
        proved_by=("stick-display", "stick-to-motor"),
        fixes=(f"setup.transmitter.{channel}.direction", f"setup.inputs.{channel}"),
        in_the_air=in_the_air,
        explanation=(
            f"The {channel} channel is turned round once too often between stick and controller, "
            f"so {seen}. Turn it back in one place only: two reversals cancel."
        ),
    )


def _failsafe_inject(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "setup.controller.failsafe", "hold")


def _failsafe_present(truth: Truth) -> bool:
    stops = truth.craft.radio.failsafe_stops > 0.0
    return not stops or truth.craft.radio.timeout_ticks * TICK_S + RUN_DOWN_S > STOP_S


FAULTS = (
    _channel(
        "pitch",
        5,
        "stick back makes the nose drop",
        "Every correction goes the wrong way and grows: the aircraft runs off to front or rear.",
    ),
    _channel(
        "roll",
        5,
        "stick right makes it lean left",
        "Every correction goes the wrong way and grows: the aircraft runs off sideways.",
    ),
    _channel(
        "yaw",
        3,
        "stick right turns the nose left",
        "It turns the wrong way, and a pilot close by loses orientation.",
    ),
    Fault(
        id="failsafe-holds-last",
        family="radio",
        item="failsafe",
        hazard=5,
        inject=_failsafe_inject,
        present=_failsafe_present,
        revealed_by=("failsafe", "settings-sheet"),
        proved_by=("failsafe",),
        fixes=("setup.controller.failsafe",),
        in_the_air="On loss of the link the last command goes on: it climbs or flies away.",
        explanation=(
            "When no frames arrive the controller keeps the last command instead of stopping the "
            "motors. Set it to stop, then switch the transmitter off to see that it does."
        ),
        caution="Test with the propellers off.",
    ),
)
