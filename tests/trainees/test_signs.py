"""Each measured sign of the careful: on which line, to which side, and where its limit lies.

The table is made by hand round what the sound aircraft reads, with limits between the two edges.
"""

from functools import cache
from math import inf

import pytest

from sim.aircraft.fields import PLACES
from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.bench.evidence import Measured
from sim.bench.lines import every_measure, measures
from sim.bench.moves import Move, by_measure
from sim.bench.reading import Reading
from sim.trainees.judgement import DOUBTFUL, judged
from tests.worlds import sound_world

SIGNS = [
    ("pack-at-rest", "pack-swollen-or-dented", "thicker_than_new_mm", "above"),
    ("pack-at-rest", "pack-cell-weak", "spread_v", "above"),
    ("pack-at-rest", "pack-undercharged", "lowest_cell_v", "below"),
    ("pack-at-rest", "pack-cold", "temperature_degc", "below"),
    ("first-power", "connector-high-resistance", "pull_apart_n", "below"),
    ("first-power", "connector-high-resistance", "contact_darkness", "above"),
    ("rails", "regulator-brownout", "rail_lowest_v", "below"),
    ("voltage-and-alarm", "pack-undercharged", "meter_pack_v", "below"),
    ("restrained-run-up", "connector-high-resistance", "connector_drop_mv", "above"),
    ("restrained-run-up", "mag-current-coupling", "heading_swing_deg", "either"),
    ("restrained-run-up", "pack-undercharged", "after_90_s_v_cell", "below"),
    ("level-and-still", "gyro-bias-moved", "rate_ahead_deg_s", "above"),
    ("pad-look", "gyro-bias-moved", "rate_deg_s", "above"),
    ("pad-look", "level-trim-off", "roll_deg", "either"),
    ("pad-look", "level-trim-off", "pitch_deg", "either"),
    ("pad-look", "floor-steel", "heading_deg", "either"),
    ("six-faces", "accel-cal-bad", "level_m_s2", "either"),
    ("six-faces", "accel-cal-bad", "on_its_back_m_s2", "either"),
    ("heading-marks", "mag-hard-iron-offset", "east_off_deg", "either"),
    ("field-turn", "mag-hard-iron-offset", "once_a_turn_ut", "above"),
    ("field-turn", "mag-soft-iron", "twice_a_turn_ut", "above"),
    ("warm-creep", "gyro-warmup-drift", "change_deg_s", "above"),
    ("compass-ramp", "mag-current-coupling", "hover_heading_deg", "above"),
    ("board-touch", "sensor-mount-loose", "give_mm", "above"),
    ("board-touch", "sensor-mount-stiff", "give_mm", "below"),
    ("breath-and-torch", "baro-uncovered", "height_change_m", "either"),
    ("steady-throttle", "rate-gain-high", "rear_left_roughness_share", "above"),
    ("look-and-tug", "pack-strap-loose", "pack_slides_mm", "above"),
    ("look-and-tug", "arm-joint-loose", "arm_play_mm", "above"),
    ("look-and-tug", "sensor-mount-loose", "board_play_mm", "above"),
    ("look-and-tug", "motor-mount-tilted", "rear_right_bell_off_square_deg", "above"),
    ("propellers-in-hand", "prop-hub-slip", "front_left_twist_holds_n_m", "below"),
    ("propellers-in-hand", "prop-size-mismatch", "front_right_span_mm", "either"),
    ("propellers-in-hand", "prop-size-mismatch", "rear_left_pitch_mark_in", "either"),
    ("propellers-in-hand", "prop-nick-imbalance", "rear_right_heavy_side_g_mm", "above"),
    ("propellers-in-hand", "wire-in-disc", "front_left_clear_mm", "below"),
    ("weigh-and-balance", "over-mass", "mass_kg", "above"),
    ("weigh-and-balance", "cg-offset", "heavy_forward_mm", "either"),
    ("weigh-and-balance", "cg-offset", "heavy_right_mm", "either"),
    ("weigh-and-balance", "leg-snag-or-bent", "rocks_mm", "above"),
    ("weigh-and-balance", "leg-snag-or-bent", "stands_off_level_deg", "above"),
    ("stick-display", "stick-ends-short", "yaw_low_us", "above"),
    ("stick-display", "stick-ends-short", "throttle_high_us", "below"),
    ("stick-display", "stick-centre-off", "pitch_centre_us", "either"),
    ("stick-display", "transmitter-pack-low", "transmitter_pack_v", "below"),
    ("range-walk", "aerial-damaged", "behind_lost_share", "above"),
    ("range-walk", "aerial-damaged", "left_longest_gap_s", "above"),
    ("one-motor", "signal-ground-missing", "rear_left_unsteady_share", "above"),
    ("one-motor", "motor-weak-or-shorted", "front_left_speed_rpm", "above"),
    ("one-motor", "motor-bearing-rough", "front_right_no_load_a", "above"),
    ("one-motor", "motor-bearing-rough", "rear_right_coast_s", "below"),
    ("one-motor", "motor-shaft-bent", "rear_left_shake_m_s2", "above"),
    ("one-motor", "throttle-ends-unmatched", "front_left_start_us", "above"),
    ("one-motor", "throttle-ends-unmatched", "front_left_speed_rpm", "either"),
    ("ramp-and-snap", "signal-ground-missing", "front_left_unsteady_share", "above"),
    ("ramp-and-snap", "throttle-ends-unmatched", "rear_right_speed_rpm", "either"),
    ("ramp-and-snap", "idle-too-high", "idle_slowest_rpm", "above"),
    ("touch-after", "drive-thermal-limit", "rear_left_drive_degc", "above"),
    ("people-and-room", "no-abort-plan", "abort_try_s", "above"),
    ("people-and-room", "draught-from-door", "ribbon_deg", "above"),
    ("pad-survey", "floor-steel", "shift_deg", "either"),
    ("light-on-legs", "rate-gain-high", "ringing_share", "above"),
    ("light-on-legs", "baro-uncovered", "height_jump_m", "either"),
    ("light-on-legs", "over-mass", "throttle_share", "above"),
    ("light-on-legs", "prop-nick-imbalance", "shake_m_s2", "above"),
]
SIDES = {"above": (1.0,), "below": (-1.0,), "either": (1.0, -1.0)}


@pytest.fixture(scope="session")
def taken(ready):
    """Return the values of a check on the sound aircraft, taken once a test run."""

    @cache
    def made(check):
        return CHECKS[check].take(ready(sound_world(), CHECKS[check], 3)).values

    return made


BESIDE = {"idle-too-high": {"idle_set_us": 1120.0}}  # what a cause shows beside


def band_of(check, measure, middle, step):
    """Return a band one step wide to the inner edge and two to the outer."""
    low, high = middle - step, middle + step
    return Band(check, measure, low - step, low, middle, high, high + step, 1, 0)


def by_hand(check, cause, line, side, values):
    """Return a hand-made table for one sign, and the step it is made of."""
    measure = next(iter(measures(values, line)))
    alike = every_measure(values)[measure]  # the four places share a measure
    middle, step = values[line], 0.1 * (0.2 + abs(values[line])) + max(alike) - min(alike)
    band = band_of(check, measure, middle, step)
    move = Move(cause, check, measure, side, 1.0, middle - 1.5 * step, middle + 1.5 * step)
    return Measured({(check, measure): band}, by_measure([move])), step


def claims(check, cause, values, table):
    reading = Reading(check, values)
    found = judged(reading, sound_world().airframe, table)
    return [f.squawk for f in found if f.squawk.cause == cause]


@pytest.mark.parametrize(("check", "cause", "line", "side"), SIGNS)
def test_shows_past_its_limit_on_its_side_alone(taken, check, cause, line, side):
    values = taken(check) | BESIDE.get(cause, {})
    table, step = by_hand(check, cause, line, side, values)
    for sign in (1.0, -1.0):
        within, past = (
            claims(check, cause, values | {line: values[line] + sign * far * step}, table)
            for far in (1.4, 1.6)
        )
        assert within == []
        if sign in SIDES[side]:
            assert {(c.check, c.line) for c in past} == {(check, line)}
        else:
            assert past == []


@pytest.mark.parametrize(("far", "sure"), [(1.9, DOUBTFUL), (2.1, 4)])
def test_is_sure_only_past_the_outer_edge(taken, far, sure):
    check, cause, line = "weigh-and-balance", "over-mass", "mass_kg"
    values = taken(check)
    table, step = by_hand(check, cause, line, "above", values)
    (claim,) = claims(check, cause, values | {line: values[line] + far * step}, table)
    assert claim.confidence == sure


def table_of(check, *signs):
    """Return a hand-made table of several (cause, line, side, middle, step) of one check."""
    bands, moves = {}, []
    for cause, line, side, middle, step in signs:
        bands[check, line] = band_of(check, line, middle, step)
        moves.append(Move(cause, check, line, side, 1.0, middle - 1.5 * step, middle + 1.5 * step))
    return Measured(bands, by_measure(moves))


def causes(check, values, table):
    found = judged(Reading(check, values), sound_world().airframe, table)
    return {(f.squawk.cause, f.squawk.line) for f in found}


@pytest.mark.parametrize(
    ("ahead", "turned", "shows"),
    [(1.6, 1.7, True), (-1.6, -1.7, True), (1.6, 1.4, False), (1.4, 1.6, False)],
)
def test_a_lean_has_to_show_both_ways_round(taken, ahead, turned, shows):
    """What turns with the aircraft is its own; what does not is the plate's."""
    check = "level-and-still"
    lines = ("pitch_ahead_deg", "pitch_turned_deg")
    table = table_of(check, *(("level-trim-off", line, "either", 0.0, 1.0) for line in lines))
    values = taken(check) | dict(zip(lines, (ahead, turned), strict=True))
    assert causes(check, values, table) == ({("level-trim-off", lines[0])} if shows else set())


@pytest.mark.parametrize(
    ("off", "cause"),
    [
        ((2.0, 0.0, -2.0, 0.0), "mag-hard-iron-offset"),
        ((2.0, -2.0, 2.0, -2.0), "mag-soft-iron"),
    ],
)
@pytest.mark.parametrize("kind", ["off_deg", "field_ut"])
def test_iron_is_told_by_how_often_a_turn_it_shows(taken, off, cause, kind):
    check = "heading-marks"
    marks = ("north", "east", "south", "west")
    middle = 0.0 if kind == "off_deg" else 49.0
    table = table_of(
        check,
        *(
            (iron, f"{mark}_{kind}", "either", middle, 1.0)
            for mark in marks
            for iron in ("mag-hard-iron-offset", "mag-soft-iron")
        ),
    )
    values = taken(check) | {f"{m}_{kind}": middle + x for m, x in zip(marks, off, strict=True)}
    assert causes(check, values, table) == {(cause, f"north_{kind}")}


def test_of_two_lines_the_one_further_off_is_pointed_at(taken):
    check, cause = "weigh-and-balance", "cg-offset"
    lines = ("heavy_forward_mm", "heavy_right_mm")
    table = table_of(
        check, (cause, lines[0], "either", 0.0, 1.0), (cause, lines[1], "either", 0.0, 2.0)
    )
    for values, line in (((1.6, 3.1), lines[0]), ((-1.6, -3.3), lines[1])):
        seen = taken(check) | dict(zip(lines, values, strict=True))
        assert causes(check, seen, table) == {(cause, line)}


@pytest.mark.parametrize(
    ("worse", "cause"),
    [(1.4, "pack-undercharged"), (1.6, "pack-high-resistance")],
)
def test_a_pack_that_sags_is_worn_if_its_own_resistance_says_so(taken, worse, cause):
    """Volts per ampere against the sheet's, less what the connector takes; 1.5 times is worn."""
    check, line = "restrained-run-up", "after_90_s_v_cell"
    table = table_of(
        check,
        *((c, line, "below", 3.8, 0.1) for c in ("pack-undercharged", "pack-high-resistance")),
    )
    sheet = sound_world().airframe.sheet
    drop = worse * sheet.loaded_drop_v_cell / sheet.hover_current_a * 10.0
    values = taken(check) | {
        "current_a": 10.0,
        "connector_drop_mv": 90.0,
        "drop_v_cell": drop + 0.030,
        line: 3.6,
    }
    assert causes(check, values, table) == {(cause, line)}


def test_trim_shifts_the_ends_too_and_is_what_is_named(taken):
    check = "stick-display"
    table = table_of(
        check,
        ("stick-centre-off", "roll_centre_us", "either", 1500.0, 10.0),
        ("stick-ends-short", "roll_low_us", "above", 1000.0, 10.0),
    )
    low = taken(check) | {"roll_low_us": 1016.0}
    assert causes(check, low, table) == {("stick-ends-short", "roll_low_us")}
    assert causes(check, low | {"roll_centre_us": 1516.0}, table) == {
        ("stick-centre-off", "roll_centre_us")
    }


def one_sign(check, cause, measure, high):
    """Return a hand-made table of one sign above its limit, its band from 1.3 to 1.7."""
    move = Move(cause, check, measure, "above", 1.0, -inf, high)
    return Measured({(check, measure): band_of(check, measure, 1.5, 0.1)}, by_measure([move]))


def test_inside_the_inner_edge_nothing_shows_whatever_the_limit(taken):
    check, cause, line = "weigh-and-balance", "over-mass", "mass_kg"
    table = one_sign(check, cause, line, 1.55)
    assert causes(check, taken(check) | {line: 1.59}, table) == set()
    assert causes(check, taken(check) | {line: 1.61}, table) == {(cause, line)}


def test_a_sign_of_two_lines_is_pointed_at_where_it_speaks(taken):
    """Turning against its arrow lies inside the band of the signs, for two of four turn so."""
    check, cause, line = "one-motor", "motor-spin-reversed", "rear_right_coast_s"
    table = one_sign(check, cause, "{place}_coast_s", 1.65)
    seen = taken(check)
    seen = seen | {"front_left_turns_sign": -seen["front_left_turns_sign"]}
    seen |= {f"{place}_coast_s": 1.5 for place in PLACES}
    assert causes(check, seen | {line: 1.62}, table) == {(cause, line)}
    assert causes(check, seen, table) == {(cause, "front_left_turns_sign")}
