"""Shaping of a stick's travel, and the stick modes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.aircraft.fields import CHANNELS
from sim.window.sticks.modes import DEFAULT_MODE, MODES, functions, on_sticks, stick_of
from sim.window.sticks.positions import SAFE, Positions, shape

ROUNDING = 1e-12
travels = st.floats(-1.0, 1.0)
bands = st.floats(0.0, 0.5)
shares = st.floats(0.0, 1.0)
positions = st.builds(Positions, travels, travels, shares, travels)
modes = st.sampled_from(sorted(MODES))


@given(travels, bands, shares)
def test_shape_is_odd_and_keeps_within_the_line(value, band, expo):
    shaped = shape(value, band, expo)
    assert shape(-value, band, expo) == -shaped
    assert abs(shaped) <= abs(value) + ROUNDING


@given(travels, travels, bands, shares)
def test_shape_never_falls(one, other, band, expo):
    low, high = sorted((one, other))
    assert shape(low, band, expo) <= shape(high, band, expo) + ROUNDING


@given(bands, shares, st.floats(1.0, 3.0))
def test_shape_keeps_its_ends(band, expo, beyond):
    assert shape(beyond, band, expo) == 1.0
    assert shape(-beyond, band, expo) == -1.0


@given(st.floats(-1.0, 1.0), bands, shares)
def test_shape_is_nothing_inside_the_band(share, band, expo):
    assert shape(share * band, band, expo) == 0.0


@given(travels)
def test_shape_without_band_and_expo_changes_nothing(value):
    assert shape(value, 0.0, 0.0) == value


def test_shape_blends_a_cube():
    assert shape(0.5, 0.0, 1.0) == pytest.approx(0.125)
    assert shape(0.5, 0.0, 0.4) == pytest.approx(0.6 * 0.5 + 0.4 * 0.125)
    assert shape(0.6, 0.2, 0.0) == pytest.approx(0.5)


@given(positions, modes)
def test_sticks_and_functions_are_there_and_back(where, mode):
    back = functions(on_sticks(where, mode), mode)
    for name in CHANNELS:
        assert back.of(name) == pytest.approx(where.of(name), abs=ROUNDING)


@pytest.mark.parametrize(
    ("mode", "left", "right"),
    [
        (1, ("yaw", "pitch"), ("roll", "throttle")),
        (2, ("yaw", "throttle"), ("roll", "pitch")),
        (3, ("roll", "pitch"), ("yaw", "throttle")),
        (4, ("roll", "throttle"), ("yaw", "pitch")),
    ],
)
def test_each_mode_carries_what_the_trade_says(mode, left, right):
    layout = MODES[mode]
    assert (layout.left_x, layout.left_y) == left
    assert (layout.right_x, layout.right_y) == right
    assert stick_of(left[1], mode) == ("left", "y")
    assert stick_of(right[0], mode) == ("right", "x")


def test_the_usual_mode_is_the_second():
    assert DEFAULT_MODE == 2
    drawn = on_sticks(Positions(roll=0.3, pitch=0.4, throttle=0.75, yaw=-0.2))
    assert drawn.left == (-0.2, 0.5)
    assert drawn.right == (0.3, -0.4)  # nose up is the stick back


@pytest.mark.parametrize("mode", MODES)
def test_hands_off_is_the_throttle_down_and_all_else_in_the_middle(mode):
    (lx, ly), (rx, ry) = on_sticks(SAFE, mode)
    throttle, pitch = (ry, ly) if mode in (1, 3) else (ly, ry)
    assert (lx, rx, pitch, throttle) == (0.0, 0.0, 0.0, -1.0)
