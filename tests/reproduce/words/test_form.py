"""The form: answers to a report, by ticks; what is not known is left out."""

from sim.reproduce.words.form import CHECK_SAYS, QUESTIONS, Form
from sim.reproduce.words.observed import GROUPS
from sim.reproduce.words.report import OF_FLIGHT, Report


def keys(form):
    return [question.key for question in form.asked]


def test_a_blank_form_is_a_report_that_knows_nothing():
    form = Form()
    assert form.report == Report()
    assert set(keys(form)) == {q.key for q in QUESTIONS} - {"check"}


def test_every_question_is_a_key_of_the_report():
    assert {q.key for q in QUESTIONS} == set(Report.model_fields) - {"airframe"}


def test_ticks_make_a_report():
    form = Form()
    form.write("when", "leaving")
    form.tick("moved", "rolled-right")
    form.tick("moved", "flipped")
    form.know("heard", True)
    assert form.report == Report(when="leaving", moved=("rolled-right", "flipped"), heard=())
    form.tick("moved", "rolled-right")
    form.know("heard", False)
    assert form.report == Report(when="leaving", moved=("flipped",))


def test_some_words_stand_alone():
    form = Form()
    form.tick("sticks", "weak")
    form.tick("sticks", "let-go")
    assert form.ticked("sticks") == ("let-go",)
    form.tick("sticks", "wild")
    assert form.ticked("sticks") == ("wild",)
    form.tick("changed", "nothing")
    form.tick("changed", "motor")
    assert form.ticked("changed") == ("motor",)


def test_at_the_bench_a_check_is_asked_and_no_flight():
    form = Form({"moved": ["flipped"], "when": "hover"})
    form.write("when", "at-the-bench")
    assert "check" in keys(form)
    assert not set(OF_FLIGHT) & set(keys(form))
    form.write("check", "hand-tilt")
    assert form.report == Report(when="at-the-bench", check="hand-tilt")
    form.write("when", None)  # what was answered before is there again
    assert form.report == Report(moved=("flipped",))


def test_what_does_not_go_together_is_said():
    form = Form({"when": "never", "moved": ["flipped"]})
    assert form.report is None
    assert form.said.startswith("Moved must be empty")


def test_each_word_says_something():
    for question in QUESTIONS:
        assert all(question.says.values())
    assert len(CHECK_SAYS) > 30
    assert len(GROUPS["moved"]) == 18
