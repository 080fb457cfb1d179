"""Bands, moves and what a line speaks for; own numbers, made to be told apart."""

from math import inf, nan
from pathlib import Path

import pytest

from sim.aircraft import library
from sim.bench import bands, evidence, moves
from sim.bench.bands import Band
from sim.bench.evidence import Measured
from sim.bench.lines import every_measure, measures
from sim.bench.moves import Move
from sim.errors import InputError
from sim.keys import FaultId

FOUR = {"front_left_rpm": 90.0, "front_right_rpm": 100.0, "rear_right_rpm": 102.0}
FOUR |= {"rear_left_rpm": 104.0, "volts": 12.0}
VOLTS = Band("rails", "volts", 10.0, 11.0, 12.0, 12.5, 13.0, 200, 60)
OFF = Band("rails", "{place}_rpm_off_four", -8.0, -4.0, 0.0, 4.0, 8.0, 200, 60)
LOW = Move("pack-undercharged", "rails", "volts", "below", 0.9, 10.5, inf)
SLOW = Move("motor-bearing-rough", "rails", "{place}_rpm_off_four", "either", 0.9, -6.0, 6.0)
KNOWN = Measured({(b.check, b.measure): b for b in (VOLTS, OFF)}, moves.by_measure([LOW, SLOW]))


def test_a_place_is_judged_as_it_is_and_against_the_median_of_the_four():
    assert measures(FOUR, "front_left_rpm") == {"{place}_rpm": 90.0, "{place}_rpm_off_four": -11.0}
    assert measures(FOUR, "volts") == {"volts": 12.0}


def test_the_places_share_their_measures():
    assert every_measure(FOUR)["{place}_rpm_off_four"] == [-11.0, -1.0, 1.0, 3.0]


def test_what_is_another_at_each_corner_is_no_measure_of_the_others():
    turns = {"front_left_turns_sign": -1.0, "front_right_turns_sign": 1.0}
    assert every_measure(turns) == {key: [value] for key, value in turns.items()}
    assert measures({"rear_left_turns_corner": 4.0}, "rear_left_turns_corner") == {
        "rear_left_turns_corner": 4.0
    }


def test_what_could_not_be_read_lies_above_and_four_of_it_are_alike():
    assert measures({"volts": nan}, "volts") == {"volts": inf}
    all_dark = {f"{place}_rpm": nan for place in ("front_left", "front_right", "rear_left")}
    assert measures(all_dark, "front_left_rpm")["{place}_rpm_off_four"] == 0.0


@pytest.mark.parametrize(
    ("value", "edge", "side"),
    [
        (11.0, "inner", None),
        (10.99, "inner", "below"),
        (12.5, "inner", None),
        (12.51, "inner", "above"),
        (10.0, "outer", None),
        (9.99, "outer", "below"),
        (13.0, "outer", None),
        (13.01, "outer", "above"),
        (nan, "outer", "above"),
    ],
)
def test_edges_belong_to_the_band(value, edge, side):
    assert VOLTS.side(value, edge) == side


def test_edges_out_of_order_are_refused():
    with pytest.raises(ValueError, match="must rise"):
        Band("rails", "volts", 10.0, 11.0, 12.0, 11.5, 13.0, 200, 60)


@pytest.mark.parametrize(("volts", "speaks"), [(10.99, True), (11.0, False), (12.6, False)])
def test_a_line_speaks_only_on_the_side_the_fault_moves_it_to(volts, speaks):
    values = FOUR | {"volts": volts}
    assert KNOWN.speaks_for("pack-undercharged", "rails", values, "volts") is speaks
    assert not KNOWN.speaks_for("motor-bearing-rough", "rails", values, "volts")


def test_the_outer_edge_asks_for_more():
    values = FOUR | {"volts": 10.5}
    assert KNOWN.spoken_for("rails", values, "volts") == {"pack-undercharged"}
    assert KNOWN.spoken_for("rails", values, "volts", "outer") == frozenset()


def test_the_odd_one_of_four_speaks_and_its_siblings_do_not():
    assert KNOWN.outside("rails", FOUR, "front_left_rpm", "outer") == {
        "{place}_rpm_off_four": "below"
    }
    assert KNOWN.spoken_for("rails", FOUR, "front_left_rpm") == {"motor-bearing-rough"}
    assert KNOWN.spoken_for("rails", FOUR, "rear_left_rpm") == frozenset()


def test_a_line_that_is_not_there_says_nothing():
    assert KNOWN.outside("rails", FOUR, "amps") == {}
    assert not KNOWN.past_limit("pack-undercharged", "rails", FOUR, "amps")


@pytest.mark.parametrize(("volts", "called"), [(10.49, True), (10.5, False), (99.0, False)])
def test_the_careful_call_past_their_limit_on_its_side_only(volts, called):
    values = FOUR | {"volts": volts}
    assert KNOWN.past_limit("pack-undercharged", "rails", values, "volts") is called


@pytest.mark.parametrize(("rpm", "called"), [(93.9, True), (94.1, False), (107.1, True)])
def test_either_side_counts_where_the_fault_goes_either_way(rpm, called):
    values = FOUR | {"front_left_rpm": rpm, "rear_left_rpm": 100.0, "rear_right_rpm": 102.0}
    assert KNOWN.past_limit("motor-bearing-rough", "rails", values, "front_left_rpm") is called


def test_tables_come_back_as_they_were_written(tmp_path: Path):
    bands.save([VOLTS, OFF], tmp_path / "b.csv")
    assert bands.read(tmp_path / "b.csv") == KNOWN.bands
    moves.save([LOW, SLOW], tmp_path / "m.csv")
    assert moves.read(tmp_path / "m.csv") == [LOW, SLOW]


def test_a_spoiled_line_is_named(tmp_path: Path):
    path = tmp_path / "m.csv"
    moves.save([LOW], path)
    path.write_text(path.read_text().replace("below", "under"))
    with pytest.raises(InputError) as refused:
        moves.read(path)
    (problem,) = refused.value.problems
    assert (problem.line, problem.key, problem.value) == (2, "side", "'under'")


def test_a_line_tells_if_sound_aircraft_differ_on_any_of_its_measures_to_both_sides():
    one_sided = Band("rails", "amps", 0.0, 1.0, 1.0, 2.0, 3.0, 200, 60)
    known = Measured({(b.check, b.measure): b for b in (VOLTS, OFF, one_sided)}, {})
    values = FOUR | {"amps": 1.0, "unknown": 0.0}
    assert known.telling("rails", values) == [*FOUR]  # places by what they are off the four alone


@pytest.mark.parametrize(
    ("value", "far"), [(0.0, 0.0), (1.0, 1.0), (3.0, 3.0), (-1.0, 0.5), (-4.0, 2.0)]
)
def test_how_far_off_is_told_in_widths_to_the_inner_edge_of_its_side(value, far):
    band = Band("rails", "rail_lowest_v", -9.0, -2.0, 0.0, 1.0, 9.0, 1, 0)
    assert band.half_widths(value) == far


def test_off_a_band_without_width_is_off_without_limit():
    band = Band("rails", "restarts", 0.0, 0.0, 0.0, 0.0, 0.0, 1, 0)
    assert band.half_widths(1.0) == float("inf")
    assert band.half_widths(0.0) == 0.0


def test_what_a_fault_leaves_on_a_check_that_does_not_show_it_is_no_line_to_point_at():
    """Propellers on at the bench warm the drives; whoever stands there sees them all the same."""
    props: FaultId = "props-on-at-bench"
    pack: FaultId = "pack-undercharged"
    marks = [
        Move(props, "touch-after", "{place}_drive_degc", "above", 0.8, -inf, 40.0),
        Move(pack, "pack-at-rest", "lowest_cell_v", "below", 0.9, 3.9, inf),
    ]
    assert Measured({}, moves.by_measure(marks)).moving == {pack}
    counted = Move(props, "propellers", "fitted", "above", 1.0, -inf, 0.5)
    assert Measured({}, moves.by_measure([*marks, counted])).moving == {pack, props}
    for name in library.names("airframes"):
        assert props not in evidence.measured(name).moving
