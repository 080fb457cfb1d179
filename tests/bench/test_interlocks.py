"""Why the controller will not arm: one reason at a time, and all at once."""

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.setup import CompassCalibration
from sim.bench.interlocks import (
    field_strength_ut,
    measured_field_ut,
    reasons_not_to_arm,
    refuse_to_arm,
)
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Refusal
from sim.kernel.frames import from_angles


@pytest.fixture
def rig(world):
    """Return a rig standing on the pad, ready to arm, its setup changed as given."""

    def made(seconds=2.6, **changes):
        changed = world
        for key, value in changes.items():
            changed = with_value(changed, key.replace("__", "."), value)
        standing = Rig(changed, 3)
        standing.run(HANDS_OFF, seconds)
        return standing

    return made


def only(reasons, code, words):
    assert [one.reason for one in reasons] == [code]
    assert words in reasons[0].words


def test_a_sound_aircraft_arms(rig):
    assert reasons_not_to_arm(rig()) == []


def test_compass_never_calibrated(rig):
    only(
        reasons_not_to_arm(rig(setup__unset=("compass",))),
        "compass",
        "has not been calibrated to the end",
    )


@pytest.mark.parametrize(("share", "refused"), [(0.049, False), (0.08, True)])
def test_compass_that_does_not_fit(rig, share, refused):
    stored = CompassCalibration(residual_share=share, coverage=0.9)
    reasons = reasons_not_to_arm(rig(setup__compass=stored))
    if refused:
        only(reasons, "compass", "scatter by 8 %")
    else:
        assert reasons == []


@pytest.mark.parametrize(("coverage", "refused"), [(0.61, False), (0.4, True)])
def test_compass_turned_too_little(rig, coverage, refused):
    stored = CompassCalibration(residual_share=0.01, coverage=coverage)
    reasons = reasons_not_to_arm(rig(setup__compass=stored))
    if refused:
        only(reasons, "compass", "only 40 %")
    else:
        assert reasons == []


def test_magnet_close_by(rig):
    """14 uT along the 45 uT of down field are more than a quarter of 49; 8 uT are not."""
    near = rig(build__sensors__mag_hard_iron_ut=(0.0, 0.0, 14.0))
    only(reasons_not_to_arm(near), "compass", "The compass feels")
    assert reasons_not_to_arm(rig(build__sensors__mag_hard_iron_ut=(0.0, 0.0, 8.0))) == []


def test_field_strength_is_the_vectors_length(rig):
    sound = rig()
    earth = sound.world.site.earth_field
    size = np.sqrt(earth.north_ut**2 + earth.east_ut**2 + earth.down_ut**2)
    assert field_strength_ut(sound) == pytest.approx(size)
    # uT; one sample of 0.3 uT noise, and the garage's steel at the pad
    assert measured_field_ut(sound) == pytest.approx(size, abs=2.0)


def test_throttle_up(rig):
    standing = rig()
    for throttle, refused in ((0.03, False), (0.5, True)):
        held = HANDS_OFF._replace(throttle=throttle)
        standing.run(held, 0.2)
        reasons = reasons_not_to_arm(standing, held)
        assert any(one.reason == "throttle_down" for one in reasons) is refused


def test_reversed_throttle_counts_as_up(rig):
    reasons = reasons_not_to_arm(rig(setup__transmitter__throttle__direction=-1))
    only(reasons, "throttle_down", "throttle is not all the way down")


@pytest.mark.parametrize(("lean_deg", "refused"), [(15.0, False), (25.0, True)])
def test_tilted(world, placed, lean_deg, refused):
    held = Rig(placed(hold="clamp", place="bench"), 3)
    held.place(from_angles(np.radians(lean_deg), 0.0, 0.0))
    held.run(HANDS_OFF, 2.6)
    reasons = reasons_not_to_arm(held)
    if refused:
        only(reasons, "level", "not level")
    else:
        assert reasons == []


def test_not_started_yet(rig):
    only(reasons_not_to_arm(rig(seconds=1.9)), "started", "still starting")


def test_no_power(placed):
    dead = Rig(placed(pack_plugged=False), 3)
    dead.run(HANDS_OFF, 3.0)
    only(reasons_not_to_arm(dead), "powered", "no power")


def test_no_link(placed):
    alone = Rig(placed(transmitter_on=False), 3)
    alone.run(HANDS_OFF, 3.0)
    only(reasons_not_to_arm(alone), "linked", "no link")


def test_stop_switch(rig):
    only(
        reasons_not_to_arm(rig(), HANDS_OFF._replace(stop=1.0)),
        "stop_switch_off",
        "stop switch is on",
    )


def test_all_reasons_are_told_at_once(rig):
    standing = rig(setup__unset=("compass",))
    up = HANDS_OFF._replace(throttle=0.5, stop=1.0)
    standing.run(up, 0.2)
    codes = ["throttle_down", "stop_switch_off", "compass"]
    assert [one.reason for one in reasons_not_to_arm(standing, up)] == codes
    with pytest.raises(Refusal, match=r"^It will not arm\. The throttle .*has not been") as refused:
        refuse_to_arm(standing)  # its own sticks are down, what has come by radio is up
    assert refused.value.reasons == {"will_not_arm", "throttle_down", "compass"}
