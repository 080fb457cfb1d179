"""Tilts, sticks to motors, failsafe and switches by hand against the checks that do them in one act."""

from collections.abc import Callable
from functools import partial

import numpy as np
import pytest

from sim.bench.checklist import CHECKS
from sim.bench.inputs import Inputs
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from tests.bench.byhand import exercises as by
from tests.bench.checks.steady import steadied
from tests.worlds import powered_rig

EXERCISES: dict[CheckKey, Callable[[], list[by.Move]]] = {
    "hand-tilt": by.tilts,
    "tilt-while-armed": by.armed_tilts,
    "stick-to-motor": by.stick_moves,
    "failsafe": by.link_lost,
}
SAME: tuple[tuple[CheckKey, FaultId | None], ...] = (
    ("hand-tilt", None),
    ("hand-tilt", "board-rotation-untold"),
    ("hand-tilt", "level-trim-off"),
    ("tilt-while-armed", None),
    ("tilt-while-armed", "loop-sign-reversed"),
    ("tilt-while-armed", "rate-gain-low"),
    ("tilt-while-armed", "rate-gain-high"),
    ("tilt-while-armed", "yaw-mix-sign-wrong"),
    ("tilt-while-armed", "mixer-geometry-wrong"),
    ("stick-to-motor", None),
    ("stick-to-motor", "loop-sign-reversed"),
    ("stick-to-motor", "yaw-mix-sign-wrong"),
    ("stick-to-motor", "motor-order-swapped"),
    ("failsafe", None),
    ("failsafe", "failsafe-holds-last"),
)
NEAR = {"deg": 1.0, "rpm": 260.0, "s": 0.03, "turning": 0.0, "told": 0.0}
# deg: tremor and level of half a second; rpm: tremor at these gains, and how far the integrals have
# come, both below the 350 by which sound aircraft differ; s: rows of 2 ms against 10 ms


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    steadied(monkeypatch)


def automatic(check: CheckKey, rig: Rig) -> Reading:
    return CHECKS[check].take(rig.copy())


@pytest.mark.parametrize(("check", "fault"), SAME)
def test_by_hand_reads_what_the_check_reads(check, fault):
    rig = powered_rig(fault)
    expected = automatic(check, rig)
    found = by.read(check, rig, EXERCISES[check]())
    assert found.missing == ()
    assert set(found.values) == set(expected.values)
    assert found.notes == expected.notes
    for line, value in expected.values.items():
        loud = 0.12 * abs(value) if line.endswith("rpm") else 0.0  # a heading held is let go slowly
        near = NEAR[line.rsplit("_", 1)[1]] + loud
        assert found.values[line] == pytest.approx(value, abs=near), line


@pytest.mark.parametrize(
    "fault", [None, "arm-lock-absent", "stop-switch-unset", "mode-switch-swapped"]
)
def test_switches_by_hand_read_what_the_check_reads(fault):
    rig = powered_rig(fault)
    expected = automatic("switches", rig)
    found = by.read("switches", rig, [*by.forbidden(), *by.stopped()])
    assert set(found.missing) == {"forward_gives_self_level", "back_gives_self_level"}
    for line, value in found.values.items():
        assert value == pytest.approx(expected.values[line], abs=0.03), line
    made = by.recorded(rig, [(by.REST, 0.1)])
    conduct = made.stretches[0].conduct
    other = conduct.model_copy(update={"self_level": not conduct.self_level})
    moved = type(made)(
        (*made.stretches, type(made.stretches[0])(**{**vars(made.stretches[0]), "conduct": other}))
    )
    form = CHECKS["switches"].by_hand
    assert form is not None
    modes = form(rig, moved).values
    for line in ("forward_gives_self_level", "back_gives_self_level"):
        assert modes[line] == expected.values[line]


HALVES = (  # check, moves, lines there, lines that are not
    ("hand-tilt", by.there_and_back(pitch=-30.0), "nose_down_pitch_deg", "right_down_roll_deg"),
    (
        "hand-tilt",
        [(by.REST, 1.0), *by.turn(yaw=45.0)],
        "twist_right_heading_deg",
        "nose_down_roll_deg",
    ),
    (
        "tilt-while-armed",
        ["arm", (by.REST, 1.2), *by.turn(roll=15.0), "disarm"],
        "right_down_rear_left_rpm",
        "nose_down_front_left_rpm",
    ),
    (
        "stick-to-motor",
        ["arm", by.at_throttle(1.0), by.at_throttle(0.5, pitch=0.5), "disarm"],
        "pitch_back_gain_rpm",
        "roll_right_gain_rpm",
    ),
    ("switches", by.stopped(), "stop_switch_s", "armed_askew"),
    ("switches", by.forbidden()[:4], "armed_with_throttle_up", "armed_with_stop_switch_on"),
)


@pytest.mark.parametrize(("check", "moves", "there", "left"), HALVES)
def test_half_done_gives_half(check, moves, there, left):
    found = by.read(check, powered_rig(), moves)
    assert there in found.values
    assert left not in found.values
    assert left in found.missing
    assert there not in found.missing
    assert not set(found.values) & set(found.missing)


OFF = Inputs(HANDS_OFF._replace(transmitter_on=0.0))
NOTHING = (  # check, moves that exercise nothing of it, words
    ("hand-tilt", [(by.REST, 3.0)], "not been tilted"),
    ("hand-tilt", [(by.REST, 1.0), *by.turn(roll=-30.0), *by.turn(roll=30.0)], "not been tilted"),
    ("hand-tilt", [*by.turn(pitch=-30.0, hold_s=0.3), *by.turn(pitch=30.0)], "not been tilted"),
    ("tilt-while-armed", by.tilts(15.0, 20.0, 1.2), "arm, hold it"),  # nobody armed
    ("tilt-while-armed", ["arm", (by.REST, 3.0), "disarm"], "Nothing was to be heard"),
    ("stick-to-motor", [by.at_throttle(1.0), by.at_throttle(0.5, roll=0.5)], "arm, give"),
    ("stick-to-motor", ["arm", by.at_throttle(1.0), "disarm"], "move one stick"),
    ("stick-to-motor", ["arm", *by.stick("roll", 0.5), "disarm"], "a quarter of throttle"),
    ("failsafe", ["arm", by.at_throttle(2.0), "disarm"], "link was not lost"),
    ("failsafe", [(OFF, 4.0)], "motors turning"),
    ("failsafe", by.stopped(), "link was not lost"),  # the stop switch is not the link
    ("switches", [(OFF, 0.4), "arm", "disarm", (by.REST, 0.5)], "No switch"),  # not lost so soon
    ("switches", by.link_lost(), "No switch has been tried"),
    ("switches", [(by.REST, 1.0), "arm", "disarm", (by.REST, 1.0)], "No switch has been tried"),
)


@pytest.mark.parametrize(("check", "moves", "words"), NOTHING)
def test_nothing_done_is_refused_and_said_what_to_do(check, moves, words):
    with pytest.raises(Refusal, match=words):
        by.read(check, powered_rig(), moves)


def test_motors_stopped_by_disarming_tell_nothing_of_the_link():
    """Whoever disarms after the transmitter is off has not seen the failsafe, however it is set."""
    for fault in (None, "failsafe-holds-last"):
        moves = ["arm", by.at_throttle(1.0), by.at_throttle(0.2, transmitter_on=0.0), "disarm"]
        with pytest.raises(Refusal, match="hands off the disarming"):
            by.read("failsafe", powered_rig(fault), [(by.REST, 0.1), *moves, (by.REST, 3.0)])


def test_impatience_tells_nothing_of_motors_that_turn_on():
    rig = powered_rig("failsafe-holds-last")
    with pytest.raises(Refusal, match="wait three seconds"):
        by.read("failsafe", rig, by.link_lost(1.0))


def test_two_forbidden_things_at_once_tell_of_neither():
    both = Inputs(HANDS_OFF._replace(throttle=0.5, stop=1.0))
    with pytest.raises(Refusal, match="No switch has been tried"):
        by.read("switches", powered_rig(), [(both, 0.5), "arm", "disarm", (by.REST, 0.3)])


def scatter(check, moves, line, seeds=10):
    seen = []
    for seed in range(seeds):
        rig = Rig(powered_rig().world, seed)
        rig.run(HANDS_OFF, 2.5)
        seen.append(by.read(check, rig, moves()).values[line])
    return float(np.std(seen)), float(np.mean(seen))


def test_five_degrees_of_tilt_tell_six_times_less_surely_than_thirty(monkeypatch):
    monkeypatch.undo()
    line = "nose_down_pitch_deg"
    plain, mean = scatter("hand-tilt", partial(by.tilts, 30.0, 45.0, 1.5), line)
    weak, weak_mean = scatter("hand-tilt", partial(by.tilts, 5.0, 45.0, 1.5), line)
    assert mean == pytest.approx(-30.0, abs=0.5)
    assert weak_mean == pytest.approx(-30.0, abs=2.5)
    assert (
        weak > 3.0 * plain
    )  # the eye's fifth of a degree is six times more of five than of thirty


def test_a_little_stick_is_told_for_half_and_heard_less_surely(monkeypatch):
    monkeypatch.undo()
    line = "roll_right_gain_rpm"
    plain, mean = scatter("stick-to-motor", by.stick_moves, line)
    weak, weak_mean = scatter("stick-to-motor", partial(by.stick_moves, 0.22), line)
    assert weak_mean == pytest.approx(mean, rel=0.15)
    assert weak > 1.3 * plain


def test_the_world_is_as_it_was():
    """A form reads what was recorded and lets no time pass."""
    rig = powered_rig()
    made = by.recorded(rig, by.tilts(hold_s=1.0))
    bits = rig.fingerprint()
    form = CHECKS["hand-tilt"].by_hand
    assert form is not None
    form(rig, made)
    assert rig.fingerprint() == bits


def test_faults_of_these_tests_are_there():
    assert all(name in CATALOGUE for _, name in SAME if name)
