"""Which checks have a form by hand, and how a tape and what is found on it behave."""

import numpy as np
import pytest

from sim.bench.byhand import FORMS
from sim.bench.check import sticks
from sim.bench.checklist import CHECKS
from sim.bench.inputs import Inputs, Turning
from sim.bench.reading import Reading
from sim.bench.recorded import KEPT_S, Recorded, Tape, longest
from sim.commands.catalogues import checks_data
from tests.bench.byhand.exercises import REST, recorded, there_and_back
from tests.worlds import powered_rig


def test_the_list_of_checks_says_which_can_be_done_by_hand():
    told = {check["key"] for check in checks_data() if check["by_hand"]}
    assert told == set(FORMS) == {key for key, check in CHECKS.items() if check.by_hand}
    assert {"stick-display", "switches", "failsafe", "hand-tilt", "tilt-while-armed"} < told


def test_rows_are_two_milliseconds_apart_whatever_the_frames():
    made = recorded(powered_rig(), [(REST, 0.5)])
    assert np.diff(made.whole["time_s"]) == pytest.approx(np.full(249, 0.002))


def test_the_end_of_a_long_tape_falls_off():
    rig = powered_rig()
    tape = rig.tape = Tape(rig)
    for _ in range(11):
        rig.advance(REST, 30.0)
    whole = tape.recorded().whole
    length = whole["time_s"][-1] - whole["time_s"][0]
    assert KEPT_S - 30.0 <= length <= KEPT_S + 0.01


def test_spans_are_found_whole_and_by_their_length():
    made = recorded(powered_rig(), [*_stick(0.5, 0.2), *_stick(0.5, 0.4)])
    up = made.whole["stick_roll"] > 0.1
    assert [round(span.seconds, 2) for span in made.where(up)] == [0.2, 0.4]
    assert [round(span.seconds, 2) for span in made.where(up, 0.3)] == [0.4]
    best = longest(made.where(up))
    assert best is not None
    assert round(best.seconds, 2) == 0.4
    assert best.first(0.1)["time_s"][-1] - best.begins_s == pytest.approx(0.1, abs=0.003)
    assert made.where(~up | up)[0].seconds == pytest.approx(1.2, abs=0.003)
    assert Recorded(()).where(np.zeros(0, bool)) == []
    assert longest([]) is None


def _stick(at, seconds):
    return [(Inputs(sticks(roll=at)), seconds), (REST, 0.3)]


def test_each_stretch_says_what_the_hands_did():
    turning = Turning(roll=-0.4)
    made = recorded(powered_rig(), [(Inputs(sticks(), turning), 0.1), (REST, 0.1)])
    rate = made.each(lambda s: 0.0 if s.turning is None else s.turning.roll)
    assert len(rate) == len(made.whole)
    assert set(rate[:45]) == {-0.4}
    assert set(rate[-45:]) == {0.0}


def test_disarming_by_hand_is_told_from_what_the_controller_does():
    by_hand = recorded(powered_rig(), [(REST, 0.1), "arm", (REST, 0.5), "disarm", (REST, 0.2)])
    assert len(by_hand.disarmed_by_hand()) == 1
    killed = Inputs(sticks()._replace(stop=1.0))
    itself = recorded(powered_rig(), [(REST, 0.1), "arm", (REST, 0.5), (killed, 0.2)])
    assert itself.whole["armed"][-1] == 0.0
    assert itself.disarmed_by_hand() == []


def test_hands_that_hold_still_are_still_and_hands_that_turn_are_not():
    made = recorded(powered_rig(), [(REST, 1.0), *there_and_back(roll=30.0, hold_s=1.0)])
    spans = made.still(0.2, 0.5)
    assert len(spans) == 3
    assert all(0.7 < span.seconds < 1.1 for span in spans)
    assert made.still(0.2, 0.5, np.zeros(len(made.whole), bool)) == []


@pytest.mark.parametrize(
    "way", [(1.0, 1.0, 1.0), (-1.0, 1.0, -1.0), (1.0, 0.0, -1.0), (0.0, -1.0, 0.0)]
)
def test_hands_turn_about_all_axes_no_faster_than_about_one(way):
    rate = Turning(*way).rate_rad_s(1.6)
    assert np.linalg.norm(rate) == pytest.approx(1.6)
    assert np.sign(rate).tolist() == list(way)
    assert tuple(Turning(*(0.1 * x for x in way)).rate_rad_s(1.6)) == pytest.approx(
        tuple(0.16 * x for x in way)
    )


def test_a_later_reading_counts_and_what_it_lacks_is_filled_up():
    early = Reading("stick-display", {"a": 1.0, "b": 2.0}, ("n",), missing=("c",))
    late = Reading("stick-display", {"b": 3.0}, ("n", "m"), missing=("a", "c"))
    both = late.after(early)
    assert both.values == {"a": 1.0, "b": 3.0}
    assert both.missing == ("c",)
    assert both.notes == ("n", "m")
    assert late.after(None) is late
