"""Every check reads something finite, the same for a seed, and shows the faults it should."""

from functools import cache

import numpy as np
import pytest

from sim.bench.checklist import CHECKS
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from tests.bench.checks.steady import steadied

SEEDS = (3, 4, 5)
# a fault of conduct shows in what people do, drives grow hot only after a run-up
ELSEWHERE = {("props-on-at-bench", "propellers"), ("drive-thermal-limit", "touch-after")}
SHOWN = [
    (fault.id, key)
    for fault in CATALOGUE.values()
    for key in fault.revealed_by
    if (fault.id, key) not in ELSEWHERE
]
REFUSES = {"throttle-channel-reversed"}  # the controller won't arm, so nothing turns
TIPS = {
    "board-rotation-untold",
    "loop-sign-reversed",
    "motor-order-swapped",
    "yaw-mix-sign-wrong",
}  # off the legs, or one side of them, before a hand can cut
FLYING_HEIGHT_M = 0.15  # m; feet reach 0.12, so three centimetres of air


@pytest.fixture(scope="module")
def sound(world, ready):
    """Return readings of the sound aircraft by check and seed, each taken once."""

    @cache
    def taken(key, seed):
        return CHECKS[key].take(ready(world, CHECKS[key], seed))

    return taken


@pytest.fixture(scope="module")
def steady(world, ready):
    """Return readings without the errors of eye and hand: steady(check, seed, fault or None)."""

    @cache
    def taken(key, seed, fault=None):
        with pytest.MonkeyPatch.context() as patch:
            steadied(patch)
            build = broken(world, fault) if fault else world
            return CHECKS[key].take(ready(build, CHECKS[key], seed))

    return taken


def broken(world, fault, severity=0.5):
    return CATALOGUE[fault].inject(world, severity, np.random.default_rng(1))


@pytest.mark.parametrize("key", CHECKS)
def test_reads_finite_values(sound, key):
    reading = sound(key, SEEDS[0])
    assert reading.check == key
    assert reading.values
    assert np.isfinite(list(reading.values.values())).all()
    for series in reading.series.values():
        assert len(series.x) == len(series.y) > 1
        assert np.isfinite([series.x, series.y]).all()


@pytest.mark.parametrize("key", CHECKS)
def test_same_seed_same_reading(world, ready, sound, key):
    assert CHECKS[key].take(ready(world, CHECKS[key], SEEDS[0])) == sound(key, SEEDS[0])


def test_other_seed_other_reading(sound):
    """Whatever is measured, not looked at, carries noise."""
    measured = ("level-and-still", "heading-marks", "field-turn", "restrained-run-up")
    for key in (*measured, "steady-throttle", "light-on-legs", "pad-look"):
        assert sound(key, SEEDS[0]).values != sound(key, SEEDS[1]).values


@pytest.mark.parametrize(("fault", "key"), SHOWN)
def test_a_fault_shows_in_its_checks(steady, fault, key):
    """Some value lies further from the sound ones than five times their spread."""
    shown = steady(key, SEEDS[0], fault).values
    usual = [steady(key, s).values for s in SEEDS]
    normal = {name: [values[name] for values in usual] for name in usual[0]}
    if set(shown) != set(normal):
        return  # it reads something a sound aircraft does not have, such as another cell
    away = {
        name: abs(value - np.mean(normal[name])) - 5.0 * np.ptp(normal[name])
        for name, value in shown.items()
    }
    assert max(away.values()) > 1e-9, f"{fault} leaves {key} as it was"


@pytest.mark.parametrize(("fault", "key"), SHOWN)
def test_a_check_ends_disarmed_with_motors_still(world, ready, fault, key):
    rig = ready(broken(world, fault), CHECKS[key])
    CHECKS[key].take(rig)
    assert rig.value("armed") == 0.0
    if "props_on" in CHECKS[key].needs:
        # rad/s; a propeller is off the fingers' speed when it turns once a second
        assert max(rig.value(f"rotors.{i}.motor.speed_rad_s") for i in range(4)) < 10.0


@pytest.mark.parametrize("severity", [0.3, 0.6, 1.0])
@pytest.mark.parametrize("fault", [None, *(f for f in CATALOGUE if f not in REFUSES)])
def test_light_on_the_legs_stays_on_the_pad(world, ready, fault, severity):
    """It is a check before takeoff: it may neither fly nor break the aircraft."""
    check = CHECKS["light-on-legs"]
    rig = ready(broken(world, fault, severity) if fault else world, check)
    heights = []
    rig.listener = lambda history: heights.append(history["height_m"].max())
    check.take(rig)
    assert max(heights) < (0.2 if fault in TIPS else FLYING_HEIGHT_M)
    assert rig.value("crash") == 0.0 or fault in TIPS


@pytest.mark.parametrize("severity", [0.3, 0.6, 1.0])
@pytest.mark.parametrize("fault", ["rate-gain-high", "level-trim-off"])
def test_light_on_the_legs_is_before_takeoff(world, ready, fault, severity):
    """Takeoff is all feet clear for 0.3 s (design); a check may hop, but not as long as that."""
    check = CHECKS["light-on-legs"]
    rig = ready(broken(world, fault, severity), check)
    seen = []
    rig.listener = lambda history: seen.append(
        np.column_stack([history["time_s"], history["load_n"]])
    )
    check.take(rig)
    time_s, load_n = np.vstack(seen).T
    standing = np.concatenate([time_s[load_n > 0.0], time_s[-1:]])
    assert np.diff(standing).max() < 0.3


def test_sound_aircraft_meets_its_build_sheet(world, sound):
    sheet = world.airframe.sheet
    up = sound("restrained-run-up", SEEDS[0]).values
    # the sheet is written to two digits for a charged pack
    assert up["current_a"] == pytest.approx(sheet.hover_current_a, rel=0.05)
    assert up["drop_v_cell"] == pytest.approx(sheet.loaded_drop_v_cell, rel=0.15)
    legs = sound("light-on-legs", SEEDS[0]).values
    assert legs["ringing_share"] < 3.0 * sheet.ringing_share  # noise, read once
    assert legs["throttle_share"] == pytest.approx(sheet.hover_throttle, rel=0.1)  # on 95 % of it
    rough = sound("steady-throttle", SEEDS[0]).values
    assert max(rough.values()) < 1.3 * sheet.roughness_share


def test_sound_aircraft_reads_level_and_north(steady):
    level = steady("level-and-still", SEEDS[0]).values
    assert max(abs(v) for v in level.values()) < 0.5  # deg; half the limit of a fault
    marks = steady("heading-marks", SEEDS[0]).values
    # deg; steel of the garage bends the field by 0.7 deg at the marks, noise adds some
    assert max(abs(v) for name, v in marks.items() if name.endswith("_deg")) < 2.0
    turn = steady("field-turn", SEEDS[0]).values
    assert turn["largest_ut"] - turn["smallest_ut"] < 1.0  # uT; 2 % of the site's 49


def test_failsafe_and_switch_times(sound, world):
    lost = sound("failsafe", SEEDS[0]).values
    timeout_s = world.airframe.link.timeout_ms / 1000.0
    assert timeout_s < lost["stop_s"] < 2.0  # s; the design's limit
    switch = sound("switches", SEEDS[0]).values
    assert switch["armed_with_throttle_up"] == 0.0
    assert switch["stop_switch_s"] < lost["stop_s"]


def test_stick_display_shows_ends_and_centre(sound):
    values = sound("stick-display", SEEDS[0]).values
    for channel in ("roll", "pitch", "throttle", "yaw"):
        for name, pulse in (("low", 1000.0), ("centre", 1500.0), ("high", 2000.0)):
            # us; jitter of half a microsecond, rounded
            assert values[f"{channel}_{name}_us"] == pytest.approx(pulse, abs=3.0)


def test_what_a_check_needs_is_asked_for(placed):
    nothing = placed(
        props_fitted=True, pack_plugged=False, transmitter_on=False, hold="hands"
    ).conduct
    asked = [one.reason for one in CHECKS["failsafe"].missing(nothing)]
    assert asked == ["powered", "linked", "props_off"]
    assert CHECKS["people-and-room"].missing(nothing) == []
    clamped = CHECKS["restrained-run-up"].missing(nothing)
    assert [one.reason for one in clamped] == ["powered", "linked", "clamped"]
    assert "clamp" in clamped[-1].words


def test_a_check_that_arms_is_refused_where_arming_is(world, ready, placed):
    rig = ready(world, CHECKS["failsafe"])
    rig.change(
        rig.world.model_copy(
            update={"setup": rig.world.setup.model_copy(update={"unset": ("compass",)})}
        )
    )
    with pytest.raises(Refusal, match="compass has not been calibrated"):
        CHECKS["failsafe"].take(rig)
