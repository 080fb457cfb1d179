"""Limits stop where what is read stops: no play below zero, no more than all frames lost."""

import pytest

from sim.aircraft import library
from sim.bench.bands import Band, bands
from sim.bench.ends import limits
from sim.keys import CheckKey


def at(check: CheckKey, measure: str, low_outer, low_inner, high_inner, high_outer):
    middle = (low_inner + high_inner) / 2.0
    return limits(Band(check, measure, low_outer, low_inner, middle, high_inner, high_outer, 1, 1))


@pytest.mark.parametrize("low", [-0.03, 0.0])
def test_what_cannot_be_below_zero_has_no_lower_limit(low):
    assert at("range-walk", "ahead_lost_share", low, 0.0, 0.11, 0.19) == (None, 0.19)
    assert at("light-on-legs", "ringing_hz", low, 5.0, 22.0, 33.0) == (None, 33.0)


def test_a_limit_above_zero_stays():
    assert at("light-on-legs", "ringing_hz", 0.1, 5.0, 22.0, 33.0) == (0.1, 33.0)


def test_what_goes_to_both_sides_keeps_both_limits_though_this_aircraft_leans_to_one():
    both = at("weigh-and-balance", "heavy_forward_mm", -1.0, 2.0, 4.0, 7.0)
    assert both == (-1.0, 7.0)
    assert at("weigh-and-balance", "{place}_heavy_off_four", -0.2, 0.1, 0.2, 0.3) == (-0.2, 0.3)


def test_what_this_aircraft_alone_shows_below_zero_keeps_its_limit():
    assert at("light-on-legs", "ringing_hz", -2.0, -0.5, 22.0, 33.0) == (-2.0, 33.0)


def test_a_part_of_a_whole_ends_at_the_whole_and_a_bar_at_both_its_ends():
    assert at("first-power", "contact_darkness", 0.1, 0.2, 0.9, 1.2) == (0.1, None)
    assert at("stick-display", "roll_low_share", -1.004, -1.0, -0.98, -0.95) == (None, -0.95)
    assert at("stick-display", "roll_high_share", 0.95, 0.98, 1.0, 1.004) == (0.95, None)
    assert at("stick-display", "roll_centre_share", -0.04, -0.02, 0.02, 0.04) == (-0.04, 0.04)
    assert at("pack-at-rest", "lowest_cell_v", 0.5, 0.6, 0.9, 1.2) == (
        0.5,
        1.2,
    )  # one volt is no end


@pytest.mark.parametrize("name", library.names("airframes"))
def test_lines_of_every_airframe_end_where_sizes_do_and_nowhere_else(name):
    """Which lines have a direction is said here by hand."""
    ways = ("roll", "pitch", "yaw", "heading", "forward", "right_deg", "back_deg", "off_", "_other_rpm",
            "shift", "trim", "thicker", "warmer", "height_", "right_down", "nose_down", "twist_right",
            "level_roll", "level_pitch", "heavy_right", "_sign")  # fmt: skip
    sizes = ("moves_others", "hover_heading", "off_square", "stands_off_level")
    for (check, measure), band in bands(name).items():
        if band.low_outer >= 0.0 or measure.endswith(("_low_share", "_count")):
            continue
        size = any(s in measure for s in sizes) or not any(way in measure for way in ways)
        low, _ = limits(band)
        against = measure.endswith("_off_four")
        assert (low is None) == (size and not against), (check, measure)
