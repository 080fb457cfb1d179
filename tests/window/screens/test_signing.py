"""A check-out signed on the debrief, by keys alone."""

import pytest

from sim.session.signed import signature_of
from sim.window.screens.debrief import Debrief, Leads
from tests.session.test_signed import run_in
from tests.window.screens.person import KeyPerson
from tools.samples.sheets import card_of, nothing


def shown(app, folder):
    app.go(Debrief(card_of(), folder, Leads(nothing, nothing)))
    return KeyPerson(app)


def test_the_instructor_signs_on_the_debrief_of_a_check_out(app, tmp_path):
    folder = run_in(tmp_path / "run")
    person = shown(app, folder)
    assert "The instructor signs" in person.said
    person.to("instructor")
    person.types("Iris")
    person.strike("return")
    person.frame()
    signed = signature_of(folder)
    assert signed is not None
    assert signed.instructor == "Iris"
    assert "Signed by the instructor" in person.said
    assert "Iris, 20" in person.said
    assert "The instructor signs" not in person.said
    assert "Signed by the instructor" in shown(app, folder).said


@pytest.mark.parametrize("drill", ["twins", "first-evening"])
def test_nobody_signs_another_drill(app, tmp_path, drill):
    said = shown(app, run_in(tmp_path / "run", drill)).said
    assert "signs" not in said
    assert "Signed" not in said
