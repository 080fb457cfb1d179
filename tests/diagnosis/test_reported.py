"""A recording from its flight to the whole answer: the cause, what decided, and words beside it."""

from dataclasses import replace

import pytest

from sim.diagnosis.reported import Answer, Brought, answered, document
from sim.errors import Refusal
from sim.reproduce.answer.curves import moments
from sim.reproduce.answer.overlay import drawing
from sim.reproduce.causes import Cause, Causes
from sim.reproduce.words.report import Report
from tests.reproduce.answer.flights import flown, recorded
from tests.worlds import TRAINER

SAID = Report(story="It went over.", when="leaving", moved=("flipped", "rolled-left"), pilot="cut")


def test_nothing_brought_is_no_question():
    with pytest.raises(Refusal, match="Bring a recording or a report"):
        answered(Brought(TRAINER))


def test_a_report_alone_has_its_own_story_and_symptoms_in_its_own_order():
    told = []
    found = answered(Brought(TRAINER, report=SAID), lambda words, share: told.append(words))
    assert found.story == "It went over."
    assert found.symptoms == ("flipped", "rolled-left", "had-to-cut")
    assert found.curves == ()
    assert found.blind == ()
    assert found.checks
    assert told


def test_where_nothing_fits_no_check_is_named():
    causes = Causes((Cause((), 0.0), Cause(("cg-offset",), 1.0)), 0.1, False)
    found = answered(Brought(TRAINER, report=SAID))
    nothing = replace(found, causes=causes, checks=())
    assert document(nothing, 1.0)["ranking"][0]["faults"] == ["none-fits"]  # type: ignore[index]


@pytest.fixture(scope="module")
def both() -> Answer:
    recording = recorded(flown("motor-order-swapped"))
    return answered(Brought(TRAINER, recording, SAID))


@pytest.mark.slow
def test_a_recording_with_words_beside_it_is_answered_whole(both):
    best = both.causes.posterior()[0][0]
    assert best.faults == ("motor-order-swapped",)
    assert both.story == "It went over."
    assert any("in the air: too little" in line for line in both.blind)
    assert len(both.curves) > 5
    assert both.deciding
    marks = moments(both.deciding)
    assert marks
    assert "<svg" in drawing(both.deciding, marks, "A flip", "a sound one")
    told = document(both, 2.0)
    assert told["decided"]
    assert told["symptoms"] == ["flipped", "rolled-left", "had-to-cut"]
