"""Faults of the radio link and of the switches that go over it."""

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.faults import transmitter
from sim.faults.fault import Fault, Truth
from sim.kernel.clock import TICK_S

STOP_S = 2.0  # s; design: motors stand within this time of losing the link
RUN_DOWN_S = 0.5  # s; own: bare motors stand within that

RANGE_LOSS = 0.15  # share of frames; own: what bodies and cars take on a reduced walk is a third
NEAR_LOSS = 0.05  # share of frames; own: beside the aircraft a sound link loses none
WILD_RATE_DEG_S = 350.0  # deg/s; trade experience: 150-250 for a first hop, 900 is for racing
WILD_YAW_DEG_S = 180.0  # deg/s; own: twice round a quarter turn a second, a novice loses the nose


def _failsafe_inject(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "setup.controller.failsafe", "hold")


def _failsafe_present(truth: Truth) -> bool:
    stops = truth.craft.radio.failsafe_stops > 0.0
    return not stops or truth.craft.radio.timeout_ticks * TICK_S + RUN_DOWN_S > STOP_S


def _damaged(world: World, severity: float, rng: np.random.Generator) -> World:
    """Kink the aerial: 10 to 20 dB less leave most frames lost on the walk, some beside it."""
    world = with_value(world, "build.radio.loss_at_range", 0.55 + 0.4 * severity)
    return with_value(world, "build.radio.loss_near", 0.03 + 0.17 * severity)


def _loses_frames(truth: Truth) -> bool:
    fitted = truth.world.build.radio
    return fitted.loss_at_range > RANGE_LOSS or fitted.loss_near > NEAR_LOSS


def _lawless(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "setup.controller.arming_rules", False)


def _no_stop(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "setup.controller.stop_switch", False)


def _swapped(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "setup.transmitter.mode_switch_right", False)


def _wild(world: World, severity: float, rng: np.random.Generator) -> World:
    """Set the rates of a racer; the trade sees up to 900 degrees a second."""
    rate, yaw = 450.0 + 450.0 * severity, 250.0 + 200.0 * severity  # deg/s
    world = with_value(world, "setup.controller.rate_limit_deg_s", rate)
    return with_value(world, "setup.controller.yaw_rate_limit_deg_s", yaw)


def _rates_wild(truth: Truth) -> bool:
    control = truth.world.setup.controller
    return (
        control.rate_limit_deg_s > WILD_RATE_DEG_S or control.yaw_rate_limit_deg_s > WILD_YAW_DEG_S
    )


LINK = (
    Fault(
        id="failsafe-holds-last",
        family="radio",
        item="failsafe",
        hazard=5,
        opens="link-lost",
        inject=_failsafe_inject,
        present=_failsafe_present,
        revealed_by=("failsafe", "settings-sheet"),
        proved_by=("failsafe",),
        fixes=("setup.controller.failsafe",),
        in_the_air="On loss of the link the last command goes on: it climbs or flies away.",
        lucky="the link never broke.",
        explanation=(
            "When no frames arrive the controller keeps the last command instead of stopping the "
            "motors. Set it to stop, then switch the transmitter off to see that it does."
        ),
        caution="Test with the propellers off.",
    ),
    Fault(
        id="aerial-damaged",
        family="radio",
        item="receiver aerial",
        hazard=4,
        opens="link-lost",
        inject=_damaged,
        present=_loses_frames,
        revealed_by=("range-walk", "look-and-tug"),
        proved_by=("range-walk",),
        fixes=("swap:aerial",),
        in_the_air="It answers in jerks, and cuts out when the body stands between.",
        lucky="it stayed a few steps from you, with nobody in between.",
        explanation=(
            "The receiver's aerial is kinked or cut, so most of the signal is lost. Beside the "
            "aircraft it hardly shows; thirty paces away at reduced power, turned to its weak "
            "side, it does."
        ),
    ),
)

SWITCHES = (
    Fault(
        id="arm-lock-absent",
        family="radio",
        item="arming rules",
        hazard=5,
        opens="switch-on-at-power",
        inject=_lawless,
        present=lambda truth: not truth.world.setup.controller.arming_rules,
        revealed_by=("switches", "settings-sheet"),
        proved_by=("switches",),
        fixes=("setup.controller.arming_rules",),
        in_the_air="Before any flight: it starts in the hands, with the throttle up or lying askew.",
        lucky="nobody touched the arm switch at the wrong moment.",
        explanation=(
            "The controller arms when it must refuse: throttle up, stop switch on, not level. Set "
            "the rules and try each of the forbidden cases, propellers off."
        ),
        caution="Propellers off for every try.",
    ),
    Fault(
        id="stop-switch-unset",
        family="radio",
        item="stop switch",
        hazard=4,
        opens="cut-too-late",
        inject=_no_stop,
        present=lambda truth: truth.craft.controller.stop_switch == 0.0,
        revealed_by=("switches", "settings-sheet"),
        proved_by=("switches",),
        fixes=("setup.controller.stop_switch",),
        in_the_air="There is no way to stop it at once: the abort comes too late.",
        lucky="nothing had to be stopped at once.",
        explanation=(
            "The stop switch is assigned to nothing. Assign it, then stop the turning motors with "
            "it: they must be dead within a blink, and stand when they have run down."
        ),
        caution="Propellers off.",
    ),
    Fault(
        id="mode-switch-swapped",
        family="radio",
        item="mode switch",
        hazard=4,
        opens="switch-on-at-power",
        inject=_swapped,
        present=lambda truth: not truth.world.setup.transmitter.mode_switch_right,
        revealed_by=("switches", "tilt-while-armed", "light-on-legs"),
        proved_by=("switches",),
        fixes=("setup.transmitter.mode_switch_right",),
        in_the_air="It does not level itself: it goes on leaning, and a novice tips it over.",
        explanation=(
            "The position meant for self-level gives rate control and the other way round. Read "
            "the mode aloud for each position of the switch."
        ),
    ),
    Fault(
        id="stick-rates-wild",
        family="radio",
        item="stick rates",
        hazard=3,
        opens="answers-unlike-the-hand",
        inject=_wild,
        present=_rates_wild,
        revealed_by=("settings-sheet",),
        proved_by=("settings-sheet",),
        fixes=("setup.controller.rate_limit_deg_s", "setup.controller.yaw_rate_limit_deg_s"),
        in_the_air="It whips round at the smallest touch of a stick.",
        explanation=(
            "The turn rates at full stick are those of a racer. For a first hop 150 to 250 degrees "
            "a second are plenty, and half of that about the vertical."
        ),
    ),
)

FAULTS = transmitter.FAULTS + LINK + SWITCHES
