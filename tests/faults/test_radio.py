"""Faults of link and transmitter: there when put in, gone when put right, felt in the air."""

from functools import cache
from typing import cast

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.check import sticks
from sim.bench.interlocks import reasons_not_to_arm
from sim.bench.parts import swapped
from sim.bench.rig import HANDS_OFF, Rig
from sim.bench.transmitter import pack_v, transmitted
from sim.faults import radio
from sim.faults.catalogue import present_faults
from sim.keys import FaultId, PartKey
from sim.session import calibrating
from tests.faults.truths import truth
from tests.worlds import sound_world

SEVERITIES = (0.3, 0.6, 1.0)
FAULTS = {fault.id: fault for fault in radio.FAULTS}
REVERSALS = sorted(name for name in FAULTS if name.endswith("-channel-reversed"))


@cache
def sound() -> World:
    return sound_world(pack_plugged=True, transmitter_on=True)


def injected(name: FaultId, severity: float, seed: int = 0) -> World:
    return FAULTS[name].inject(sound(), severity, np.random.default_rng(seed))


def started(world: World) -> Rig:
    rig = Rig(world, 5)
    rig.run(HANDS_OFF, 2.5)
    return rig


def design(key: str) -> object:
    value: object = sound()
    for name in key.split("."):
        value = getattr(value, name)
    return value


def fixed(world: World, name: FaultId) -> World:
    for fix in FAULTS[name].fixes:
        kind, _, part = fix.partition(":")
        if kind == "swap":
            world = swapped(world, cast(PartKey, part), 0.97, np.random.default_rng(8))
        elif fix == "calibrate:sticks":
            world = calibrating.sticks(started(world))[0]
        else:
            world = with_value(world, fix, design(fix))
    return world


def test_the_family_is_whole() -> None:
    assert len(FAULTS) == 15
    assert present_faults(truth(sound())) == frozenset()


@pytest.mark.parametrize("name", sorted(FAULTS))
@pytest.mark.parametrize("severity", SEVERITIES)
def test_it_is_there_alone_and_goes_with_its_fix(name: FaultId, severity: float) -> None:
    for seed in range(3):
        world = injected(name, severity, seed)
        found = present_faults(truth(world))
        assert name in found
        assert found <= {name, *FAULTS[name].also}
    assert not FAULTS[name].present(truth(fixed(world, name)))
    assert present_faults(truth(fixed(world, name))) == frozenset()


@pytest.mark.parametrize("name", REVERSALS)
def test_two_reversals_cancel(name: FaultId) -> None:
    channel = name.split("-")[0]
    one = with_value(sound(), f"setup.transmitter.{channel}.direction", -1)
    assert present_faults(truth(one)) == {name}
    assert present_faults(truth(with_value(one, f"setup.inputs.{channel}", -1))) == frozenset()


def test_the_order_can_be_spoken() -> None:
    world = injected("channel-order-mixed", 0.7)
    words = "roll pitch throttle yaw"
    assert present_faults(truth(with_value(world, "setup.transmitter.order", words))) == frozenset()


def test_without_rules_it_arms_with_the_throttle_up() -> None:
    up = sticks(0.5)
    for world, refused in ((sound(), True), (injected("arm-lock-absent", 0.5), False)):
        rig = started(world)
        rig.run(up, 0.2)
        assert bool(reasons_not_to_arm(rig, up)) is refused


def test_without_rules_it_still_needs_power_and_link() -> None:
    rig = started(injected("arm-lock-absent", 0.5))
    rig.run(HANDS_OFF._replace(transmitter_on=0.0), 1.0)
    assert reasons_not_to_arm(rig)
    rig.change(with_value(rig.world, "conduct.pack_plugged", False))
    assert reasons_not_to_arm(rig)


def test_a_swapped_mode_switch_gives_the_other_mode() -> None:
    right, swapped_ = sound(), injected("mode-switch-swapped", 0.5)
    assert transmitted(HANDS_OFF, right, 0.0).self_level == 1.0
    assert transmitted(HANDS_OFF, swapped_, 0.0).self_level == 0.0
    back = with_value(swapped_, "conduct.self_level", False)
    assert transmitted(HANDS_OFF, back, 0.0).self_level == 1.0


def test_an_empty_transmitter_goes_off_in_the_end() -> None:
    low, full = injected("transmitter-pack-low", 1.0), sound()
    assert transmitted(HANDS_OFF, low, 0.0).transmitter_on == 1.0
    assert transmitted(HANDS_OFF, low, 1200.0).transmitter_on == 0.0
    assert transmitted(HANDS_OFF, full, 1200.0).transmitter_on == 1.0


@pytest.mark.parametrize(
    ("fresh_v", "minutes", "volts"),
    [
        (7.8, 60.0, 7.5),  # flat: 5 mV a minute
        (7.0, 30.0, 6.4),  # steep: four times that
        (7.1, 50.0, 6.4),  # 20 minutes down to 7.0, then steep
        (6.4, 0.0, 6.4),
    ],
)
def test_a_transmitter_pack_falls_faster_near_its_end(fresh_v, minutes, volts) -> None:
    world = with_value(sound(), "build.radio.transmitter_pack_v", fresh_v)
    assert pack_v(world, 60.0 * minutes) == pytest.approx(volts)


def test_a_transmitter_pack_is_drawn_from_only_while_on() -> None:
    rig = started(sound())
    on_s = rig.transmitter_s
    assert on_s > 0.0
    rig.run(HANDS_OFF, 2.0)
    rig.drive_only(["front_left"], 0.1, 1.0)
    assert rig.transmitter_s == pytest.approx(on_s + 3.0)
    rig.change(with_value(rig.world, "conduct.transmitter_on", False))
    rig.run(HANDS_OFF, 5.0)
    assert rig.transmitter_s == rig.copy().transmitter_s == pytest.approx(on_s + 3.0)
    rig.swap_transmitter_pack()
    assert rig.transmitter_s == 0.0


def test_trim_left_in_makes_it_lean() -> None:
    def stick(world: World) -> float:
        rig = started(world)
        return abs(rig.value("radio.pulse_us.0") - 1500.0)

    trimmed = with_value(sound(), "setup.transmitter.roll.trim_us", 60.0)
    assert stick(sound()) < 3.0
    assert stick(trimmed) > 55.0
