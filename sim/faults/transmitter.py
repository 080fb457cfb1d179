"""Faults of the transmitter's set-up: channels, order, ends, centres, model memory, its own pack."""

from collections.abc import Callable

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.fields import CHANNELS, ChannelName
from sim.aircraft.setup import OTHER_MODEL, OWN_MEMORY
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel.radio import pulse_us, stick_sense
from sim.keys import CheckKey, FaultId, FixKey, ThreatKey

ENDS_US = (1000.0, 2000.0)  # us; the trade's convention for the ends of a stick
CENTRE_US = 1500.0  # us; the trade's convention for its middle
END_ERROR_US = 10.0  # us; what the trade asks for at each end
CENTRE_ERROR_US = 20.0  # us; own: the trade asks for 5, beyond 25 the dead band gives way
EMPTY_V = 7.0  # V; own: 3.5 V a cell, what a two-cell transmitter pack should not go below
IN_ORDER = (0.0, 1.0, 2.0, 3.0)  # each input listens to its own channel


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


def _own_map(truth: Truth) -> bool:
    """Tell whether the transmitter sends by this aircraft's memory, where its channels are judged."""
    return truth.world.setup.transmitter.memory == OWN_MEMORY


def _wrong_way(channel: ChannelName) -> Callable[[Truth], bool]:
    i = CHANNELS.index(channel)

    def present(truth: Truth) -> bool:
        """Tell whether a full stick to the positive side ends as a negative command."""
        radio = truth.craft.radio
        return _own_map(truth) and bool(stick_sense(radio.channels[i], radio.inputs[i]) < 0.0)

    return present


def _channel(
    id: FaultId,
    channel: ChannelName,
    hazard: int,
    opens: ThreatKey,
    fixes: tuple[FixKey, ...],
    seen: str,
    in_the_air: str,
) -> Fault:
    display: tuple[CheckKey, ...] = ("stick-display",)
    checks = display if channel == "throttle" else (*display, "stick-to-motor")
    return Fault(
        id=id,
        family="radio",
        item=f"{channel} channel",
        hazard=hazard,
        opens=opens,
        inject=_reversed(channel),
        present=_wrong_way(channel),
        revealed_by=checks,
        proved_by=checks,
        fixes=fixes,
        in_the_air=in_the_air,
        explanation=(
            f"The {channel} channel is turned round once too often between stick and controller, "
            f"so {seen}. Turn it back in one place only: two reversals cancel."
        ),
    )


def _mixed(world: World, severity: float, rng: np.random.Generator) -> World:
    """Change two sticks over, or from a middling severity on send three of them round."""
    order = list(CHANNELS)
    a, b, c = (0, 1, 3) if rng.random() < 0.5 else (1, 3, 0)  # throttle stays: it would not arm
    if severity < 0.5:
        order[a], order[b] = order[b], order[a]
    else:
        order[a], order[b], order[c] = order[b], order[c], order[a]
    return with_value(world, "setup.transmitter.order", tuple(order))


def _out_of_order(truth: Truth) -> bool:
    return _own_map(truth) and truth.craft.radio.order != IN_ORDER


def _short_ends(world: World, severity: float, rng: np.random.Generator) -> World:
    """Shorten the travel of every stick; the throttle's low end stays, or it would not arm."""
    short = round(50.0 + 100.0 * severity + rng.uniform(0.0, 10.0))  # us; trade: 1150-1850
    for channel in CHANNELS:
        key = f"setup.transmitter.{channel}"
        world = with_value(world, f"{key}.high_us", ENDS_US[1] - short)
        if channel != "throttle":
            world = with_value(world, f"{key}.low_us", ENDS_US[0] + short)
    return world


def _ends_wrong(truth: Truth) -> bool:
    """Tell whether the travel of any stick, from end to end, is off by too much."""
    if not (_own_map(truth) and truth.relies_on("sticks")):
        return False
    full = ENDS_US[1] - ENDS_US[0]
    spans = [
        abs(float(pulse_us(1.0, c)) - float(pulse_us(-1.0, c))) for c in truth.craft.radio.channels
    ]
    return any(abs(span - full) > 2.0 * END_ERROR_US for span in spans)


def _off_centre(world: World, severity: float, rng: np.random.Generator) -> World:
    """Leave trim in on one or two sticks, or shift their middle; the trade sees 20 to 60 us."""
    size = 35.0 + 40.0 * severity  # us; own: the dead band swallows 25
    chosen = rng.permutation([0, 1, 3])[: int(rng.integers(1, 3))]
    for i in chosen:
        side = 1.0 if rng.random() < 0.5 else -1.0
        key = f"setup.transmitter.{CHANNELS[int(i)]}"
        if rng.random() < 0.7:  # own: forgotten trim is the commoner of the two
            world = with_value(world, f"{key}.trim_us", round(side * size))
        else:
            world = with_value(world, f"{key}.centre_us", CENTRE_US + round(side * size))
    return world


def _centre_wrong(truth: Truth) -> bool:
    if not (_own_map(truth) and truth.relies_on("sticks")):
        return False
    self_centring = [truth.craft.radio.channels[i] for i in (0, 1, 3)]
    return any(abs(float(pulse_us(0.0, c)) - CENTRE_US) > CENTRE_ERROR_US for c in self_centring)


def _other_memory(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "setup.transmitter.memory", OTHER_MODEL.memory)


def _running_flat(world: World, severity: float, rng: np.random.Generator) -> World:
    volts = 6.95 - 0.55 * severity  # V; own: from tired to a few minutes before it switches off
    return with_value(world, "build.radio.transmitter_pack_v", volts)


REVERSALS = (
    _channel(
        "pitch-channel-reversed",
        "pitch",
        5,
        "corrects-wrong-way",
        ("setup.transmitter.pitch.direction", "setup.inputs.pitch"),
        "stick back makes the nose drop",
        "Each correction by the pilot goes the wrong way: the aircraft runs off to front or rear.",
    ),
    _channel(
        "roll-channel-reversed",
        "roll",
        5,
        "corrects-wrong-way",
        ("setup.transmitter.roll.direction", "setup.inputs.roll"),
        "stick right makes it lean left",
        "Each correction by the pilot goes the wrong way: the aircraft runs off sideways.",
    ),
    _channel(
        "yaw-channel-reversed",
        "yaw",
        3,
        "corrects-wrong-way",
        ("setup.transmitter.yaw.direction", "setup.inputs.yaw"),
        "stick right turns the nose left",
        "It turns the wrong way, and a pilot close by loses orientation.",
    ),
    _channel(
        "throttle-channel-reversed",
        "throttle",
        5,
        "throttle-astray",
        ("setup.transmitter.throttle.direction", "setup.inputs.throttle"),
        "stick down is full power",
        "It never gets there where arming is refused at full throttle, which it reads with the stick "
        "down. Where nothing refuses, it goes to full power the moment it arms.",
    ),
)

FAULTS = (
    *REVERSALS,
    Fault(
        id="channel-order-mixed",
        family="radio",
        item="channel order",
        hazard=5,
        opens="throttle-astray",
        inject=_mixed,
        present=_out_of_order,
        revealed_by=("stick-display",),
        proved_by=("stick-display",),
        fixes=("setup.transmitter.order",),
        in_the_air="A stick does what another should: nobody can fly it.",
        explanation=(
            "The controller takes the channels in another order than the transmitter sends them. "
            "Move one stick at a time: only its own bar may move."
        ),
    ),
    Fault(
        id="stick-ends-short",
        family="radio",
        item="stick ends",
        hazard=2,
        opens="answers-unlike-the-hand",
        inject=_short_ends,
        present=_ends_wrong,
        revealed_by=("stick-display",),
        proved_by=("stick-display",),
        fixes=("calibrate:sticks",),
        in_the_air="It answers weakly, the more so the shorter they are: full stick is not full command.",
        explanation=(
            "The sticks do not reach the ends the controller expects, 1000 and 2000 microseconds. "
            "Adjust the end points until the display reads both within ten."
        ),
    ),
    Fault(
        id="stick-centre-off",
        family="radio",
        item="stick centres",
        hazard=3,
        opens="answers-unlike-the-hand",
        inject=_off_centre,
        present=_centre_wrong,
        revealed_by=("stick-display",),
        proved_by=("stick-display",),
        fixes=("calibrate:sticks",),
        in_the_air="Hands off, it leans or turns slowly to one side.",
        explanation=(
            "With the stick let go the controller still reads a command: trim was left in or the "
            "middle is off. Zero the trims first, then bring the middle to 1500 microseconds."
        ),
    ),
    Fault(
        id="model-memory-wrong",
        family="radio",
        item="model memory",
        hazard=5,
        opens="throttle-astray",
        inject=_other_memory,
        present=lambda truth: not _own_map(truth),
        revealed_by=("stick-display", "stick-to-motor"),
        proved_by=("stick-display",),
        fixes=("setup.transmitter.memory",),
        in_the_air="Sticks are changed over and turned round: nobody can fly it.",
        explanation=(
            "The transmitter was left on another model's memory. Many things are wrong at once "
            "because one is: read the name on the screen before you touch any of them."
        ),
    ),
    Fault(
        id="transmitter-pack-low",
        family="radio",
        item="transmitter pack",
        hazard=3,
        opens="link-lost",
        inject=_running_flat,
        present=lambda truth: truth.world.build.radio.transmitter_pack_v < EMPTY_V,
        revealed_by=("stick-display", "range-walk"),
        proved_by=("stick-display", "range-walk"),
        fixes=("swap:transmitter-pack",),
        in_the_air="The transmitter switches itself off and the link is lost.",
        lucky="the transmitter's pack just lasted.",
        explanation=(
            "The transmitter's own pack is nearly empty. It goes on working until, within "
            "minutes, it switches itself off. Read its meter before every session."
        ),
    ),
)
