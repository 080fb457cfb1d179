"""What timing leaves open, and what loops that answer gusts hide."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from sim.aircraft.fields import PLACES
from sim.reproduce.recorded.features import Feature
from sim.reproduce.recorded.noise import (
    FLICK,
    LATER_S,
    LEFT,
    LIFTED,
    RINGS,
    answered,
    flicking,
    giving,
    noise_of,
    ringing,
    swinging,
    timing,
)
from sim.reproduce.recorded.nuisance import BLADES, COLUMN_OF, NUISANCES

COLUMN = {name.replace(" ", "_"): i for name, i in COLUMN_OF.items()}
STEP_S = 0.02


def features(recorded, name="turning", axis=0):
    one = Feature(name, axis, 0.05 * np.arange(len(recorded), dtype=np.float64))
    return cast(
        Any,
        SimpleNamespace(
            list=[one],
            which=np.zeros(len(recorded), dtype=np.int64),
            recorded=np.asarray(recorded, dtype=float),
            flight=SimpleNamespace(step_s=STEP_S),
        ),
    )


def columns(n, **by_name):
    found = np.zeros((n, len(NUISANCES)))
    for name, values in by_name.items():
        found[:, COLUMN[name]] = values
    return found


def test_a_change_may_come_anywhere_between_two_rows():
    """The standard deviation of an even chance over a width is the width by the root of twelve."""
    late = columns(3, drives_late=[0.0, 0.003, -0.006], sticks_late=[0.0, 0.0, 0.008])
    sigma = {n.name: n.sigma for n in NUISANCES}
    off_s = STEP_S / np.sqrt(12.0)
    drives = np.array([0.0, 0.003, 0.006]) / sigma["drives late"] * off_s
    sticks = np.array([0.0, 0.0, 0.008]) / sigma["sticks late"] * off_s
    assert timing(late, STEP_S) == pytest.approx(np.hypot(drives, sticks))
    assert timing(columns(3, mass=1.0), STEP_S) == pytest.approx(np.zeros(3))


def test_what_is_left_open_makes_a_number_count_for_less():
    seen = features(np.zeros(4))
    scale = LEFT["turning", 0].scale * (STEP_S / 0.01) ** LEFT["turning", 0].grows
    noise = noise_of(seen, scale * np.array([0.0, 0.0, 1.0, 3.0]))
    assert noise.scale == pytest.approx([scale])
    assert noise.shape == pytest.approx(np.sqrt([1.0, 1.0, 2.0, 10.0]))


CALM, BUSY = slice(0, 80), slice(101, 109)


@pytest.fixture
def nudged():
    """Return changes of rate of a calm flight with one strong nudge in it."""
    recorded = 0.01 * np.random.default_rng(0).standard_normal(200)
    recorded[100:110] += 1.0
    return recorded


def test_loops_that_answer_gusts_hide_what_rotors_lift_in_calm_air_alone(nudged):
    """What one rotor lifts, and how late, counts where nothing much moves; as columns of a tenth of its pitch."""
    waves = np.sin(np.arange(200.0))
    found = answered(features(nudged), columns(200, blades_rear_left=waves))
    (own,) = [x for x in found.T if np.any(x)]
    share = own[CALM] @ waves[CALM] / (waves[CALM] @ waves[CALM]) / (LIFTED / BLADES)
    assert share == pytest.approx(0.5, abs=0.05)  # half where it is as calm as usual, by definition
    assert np.abs(own[BUSY]).max() < 0.01 * np.abs(own[CALM]).max()
    late = answered(features(nudged), columns(200, drives_late=waves))
    sigma_s = NUISANCES[COLUMN_OF["drives late"]].sigma
    assert late.sum(axis=1) == pytest.approx(own / (LIFTED / BLADES) * (LATER_S / sigma_s))


def test_inertia_hides_wherever_it_turns_and_only_in_its_own_axis(nudged):
    waves = np.cos(np.arange(200.0))
    found = answered(features(nudged), columns(200, roll_inertia=waves))
    assert found.sum(axis=1) == pytest.approx(waves - waves.mean())
    assert not answered(features(nudged), columns(200, pitch_inertia=waves)).any()
    pitch = features(nudged, axis=1)
    assert answered(pitch, columns(200, pitch_inertia=waves)) == pytest.approx(found)
    assert not answered(features(nudged, "force"), columns(200, roll_inertia=waves)).any()


def test_what_holds_an_aircraft_level_is_never_hidden(nudged):
    """Steady drives hold up what is out of balance: no gust asks for them."""
    steady = columns(200, roll_inertia=0.3, drives_late=-0.2, blades_front_left=0.7)
    assert answered(features(nudged), steady) == pytest.approx(np.zeros((200, 6)))
    moving = columns(200, roll_inertia=0.3 + np.sin(np.arange(200.0)))
    assert answered(features(nudged), moving).mean(axis=0) == pytest.approx(np.zeros(6))


def swings(seen, share, hz):
    """Return the swing of drives of a half that swing by a share of it, so often; give them to features."""
    times = 0.01 * np.arange(600)
    drive = 0.5 * (1.0 + share * np.sin(2.0 * np.pi * hz * times))
    seen.flight = SimpleNamespace(
        step_s=0.01, times_s=times, recording={f"drive_{place}": drive for place in PLACES}
    )
    seen.times_s = seen.list[0].times_s
    return swinging(seen.flight)


def swung(share, hz, name="amp"):
    """Return what such drives leave open of ten of a feature."""
    seen = features(np.full(40, -10.0), name)
    return ringing(seen, swings(seen, share, hz))


def test_drives_that_ring_leave_open_what_they_ask_of_the_pack():
    """The mean square of a sine is half that of its height."""
    for share in (0.2, 0.4):
        expected = RINGS["amp"] * 0.5 * share**2 * 10.0
        assert np.median(swung(share, 20.0)) == pytest.approx(expected, rel=0.05)  # four periods
    assert swung(0.4, 20.0, "volt") * RINGS["amp"] == pytest.approx(
        swung(0.4, 20.0) * RINGS["volt"]
    )


@pytest.mark.parametrize(("share", "left"), [(0.0, 1.0), (0.2, 0.5), (0.6, 0.02)])
def test_a_loose_mount_is_let_off_where_drives_do_not_ring(share, left):
    """A swing of a fifth is a mean square of a fiftieth: half of it counts there."""
    seen = features(np.zeros(100), "turning")
    swing = swings(seen, share, 20.0)
    loose = np.sin(np.arange(100.0))[:, None] * [[1.0, -2.0]] + 0.3
    found = giving(seen, loose, swing)
    assert found.mean(axis=0) == pytest.approx([0.0, 0.0], abs=1e-12)
    expected = left * (loose - loose.mean(axis=0))
    whole = slice(15, 85)  # at the ends the swing is measured over less
    assert found[whole] == pytest.approx(expected[whole], abs=0.05)
    seen.list = [seen.list[0]._replace(name="force")]
    assert not giving(seen, loose, swing).any()


def test_drives_that_are_moved_by_hand_do_not_ring():
    assert swung(0.4, 0.5).max() < 0.05 * swung(0.4, 20.0).min()  # a hand takes two seconds
    assert not swung(0.0, 20.0).any()
    assert not swung(0.4, 20.0, "force").any()


BAND, LIMIT_RAD_S, GAIN = 0.05, 3.0, 0.1
CRAFT = {
    "controller__dead_band": [BAND],
    "controller__yaw_rate_limit_rad_s": [LIMIT_RAD_S],
    "controller__yaw__p": [GAIN],
}


def flicked(stick, name="command", axis=2):
    seen = features(np.zeros(40), name, axis)
    times = 0.01 * np.arange(300)
    stick = np.full(len(times), stick)
    seen.flight = SimpleNamespace(times_s=times, recording={"stick_yaw": stick})
    seen.times_s = seen.list[0].times_s
    return flicking(seen, cast(Any, SimpleNamespace(craft=CRAFT)))


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_at_the_edge_of_its_dead_band_a_yaw_stick_asks_for_a_rate_or_for_none(side):
    """Half of the jump between the two, band times limit, in rad/s, and by the gain in command."""
    jump = BAND * LIMIT_RAD_S
    assert flicked(side * BAND, "error") == pytest.approx(FLICK * jump)
    assert flicked(side * BAND) == pytest.approx(FLICK * jump * GAIN)
    assert flicked(side * BAND, "push") == pytest.approx(FLICK * jump * GAIN)


def test_a_yaw_stick_let_go_or_far_out_leaves_nothing_open():
    for stick in (0.0, 0.15, -1.0):
        assert flicked(stick).max() < 0.01 * FLICK * BAND * LIMIT_RAD_S * GAIN
    assert not flicked(BAND, axis=0).any()  # roll has no dead band
    assert not flicked(BAND, name="turning").any()  # what it does to drives is logged
