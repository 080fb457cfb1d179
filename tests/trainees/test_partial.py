"""Readings done by hand in part: every judge takes them, and says nothing of what was not read."""

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.aircraft.changes import with_value
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.faults.catalogue import CATALOGUE
from sim.trainees.judgement import JUDGES
from tests.bench.checks.steady import steadied
from tests.worlds import sound_world, suspects

SHOWN = {
    check: [f for f in CATALOGUE.values() if check in (*f.proved_by, *f.revealed_by)]
    for check in JUDGES
}
SEED = 1


@pytest.fixture(scope="module")
def taken(ready):
    """Return the values of a check, on a sound aircraft or with a fault, taken once."""

    @cache
    def made(check, fault=None):
        with pytest.MonkeyPatch.context() as patch:
            steadied(patch)
            world = sound_world()
            if fault is not None:
                world = CATALOGUE[fault].inject(world, 1.0, np.random.default_rng(SEED))
            return CHECKS[check].take(ready(world, CHECKS[check], SEED)).values

    return made


def claims(check, values, lines):
    """Return what the careful make of some lines of a reading, each claim resting on one of them."""
    part = {line: value for line, value in values.items() if line in lines}
    seen = [finding.squawk for finding in suspects(Reading(check, part))]
    for claim in seen:
        assert claim.line in part, (claim, sorted(part))
    return {claim.cause for claim in seen}


def parts(values):
    """Return none, each line alone, and all but each."""
    yield set()
    for line in values:
        yield {line}
        yield set(values) - {line}


@pytest.mark.parametrize("check", sorted(JUDGES))
def test_a_part_of_a_sound_reading_shows_nothing_the_whole_does_not(taken, check):
    values = taken(check)
    whole = claims(check, values, values)
    for lines in parts(values):
        assert claims(check, values, lines) <= whole, sorted(lines)


@pytest.mark.parametrize("check", sorted(check for check, faults in SHOWN.items() if faults))
@settings(max_examples=25, deadline=None, derandomize=True)
@given(data=st.data())
def test_any_part_of_any_reading_is_judged(taken, check, data):
    fault = data.draw(st.sampled_from([f.id for f in SHOWN[check]]), label="fault")
    values = taken(check, fault)
    lines = data.draw(st.sets(st.sampled_from(sorted(values))), label="lines read")
    claims(check, values, lines)


@pytest.mark.parametrize(
    ("check", "fault", "lines", "told"),
    [
        ("switches", "arm-lock-absent", {"armed_with_throttle_up"}, True),
        ("switches", "arm-lock-absent", {"stop_switch_s"}, False),
        ("switches", "stop-switch-unset", {"stop_switch_s"}, True),
        ("hand-tilt", "board-rotation-untold", {"nose_down_roll_deg", "nose_down_pitch_deg"}, True),
        ("hand-tilt", "board-rotation-untold", {"right_down_roll_deg", "right_down_pitch_deg"}, True),
        ("hand-tilt", "board-rotation-untold", {"nose_down_roll_deg"}, False),
        ("heading-marks", "mag-hard-iron-offset", {"north_off_deg", "east_off_deg"}, False),
    ],
)  # fmt: skip
def test_a_part_tells_what_its_lines_tell(taken, check, fault, lines, told):
    known = {"tilt_deg", "board_turn_told_deg", "upside_down_told"}
    assert (fault in claims(check, taken(check, fault), lines | known)) is told


@pytest.mark.parametrize("turn", [90.0, -45.0, 180.0])
@pytest.mark.parametrize("move", ["nose_down", "right_down"])
def test_either_tilt_alone_tells_how_the_board_sits(taken, ready, move, turn):
    """The setting that takes a board's turn out is the same from either tilt."""
    world = with_value(sound_world(), "build.sensors.board_turn_deg", turn)
    values = CHECKS["hand-tilt"].take(ready(world, CHECKS["hand-tilt"], SEED)).values
    known = ("tilt_deg", "board_turn_told_deg", "upside_down_told")
    lines = {*known, f"{move}_roll_deg", f"{move}_pitch_deg"}
    part = {line: values[line] for line in lines}
    (finding,) = suspects(Reading("hand-tilt", part))
    (setting,) = finding.settings
    assert setting.value == turn
