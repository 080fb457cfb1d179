"""From a report to its answer and a drill by commands: what is printed, written, and refused."""

import json

import pytest

from sim.session.scenario import load

REPORT = """
story: It left the ground and went over. I think two motors were swapped in their order. Nobody was near.
when: leaving
moved: [flipped, rolled-right]
pilot: cut
changed: [motor]
"""


@pytest.fixture
def report(tmp_path):
    path = tmp_path / "report.yaml"
    path.write_text(REPORT)
    return path


def test_the_next_check_is_named_with_what_it_takes(dryhop, report):
    document = json.loads(dryhop("reproduce", report, "--json").out)
    first, *others = document["next_checks"]
    assert first["gain_bits"] > 0.3
    assert first["minutes"] >= 0.5
    assert not first["propellers_on"]
    pace = [c["gain_bits"] / c["minutes"] for c in (first, *others) if not c["propellers_on"]]
    assert pace == sorted(pace, reverse=True)
    assert sum(o["chance"] for o in first["outcomes"]) <= 1.0 + 1e-6
    said = " ".join(dryhop("reproduce", report).out.split())
    assert "Next check (one bit halves what is open): " in said
    assert "everything within its bands: " in said
    assert "Before any bench check the propellers come off" in said


def test_a_drill_is_written_that_is_valid_and_has_its_seed(dryhop, report, tmp_path):
    drill = tmp_path / "friday.yaml"
    said = dryhop("reproduce", report, "--write", drill, "--cause", "motor-order-swapped")
    assert said.code == 0, said.err
    assert (
        "Left out of the story, as it names the cause: I think two motors were swapped" in said.out
    )
    assert f"Drill: {drill}" in said.out.replace("\n", "")
    assert dryhop("validate", drill).code == 0
    made = load(str(drill))
    assert made.faults[0].id == "motor-order-swapped"
    assert made.seed is not None
    assert "swapped" not in made.story
    assert made.story.startswith("It left the ground and went over.")
    document = json.loads(dryhop("rehearse", drill, "--json").out)
    assert document["seed"] == made.seed


def test_with_json_the_words_about_the_drill_go_elsewhere(dryhop, report, tmp_path):
    drill = tmp_path / "friday.yaml"
    said = dryhop("reproduce", report, "--write", drill, "--json", "--cause", "motor-spin-reversed")
    assert json.loads(said.out)["ranking"]
    assert "Drill: " in said.err
    assert drill.exists()


def test_a_failure_that_does_not_show_is_not_written(dryhop, report, tmp_path):
    drill = tmp_path / "friday.yaml"
    said = dryhop("reproduce", report, "--write", drill, "--cause", "low-volt-alarm-unset")
    assert said.code == 1
    assert "no drill was written" in said.out
    assert not drill.exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--cause", "motor-order-swaped"), "nearest: motor-order-swapped"),
        (("--cause", "cg-offset,"), "not a known fault"),
    ],
)
def test_a_cause_there_is_not_is_a_slip(dryhop, report, tmp_path, words, told):
    said = dryhop("reproduce", report, "--write", tmp_path / "friday.yaml", *words)
    assert said.code == 2
    assert told in said.err


def test_a_name_that_tells_the_cause_is_refused(dryhop, report, tmp_path):
    drill = tmp_path / "motor-order-swapped.yaml"
    said = dryhop("reproduce", report, "--write", drill, "--cause", "motor-order-swapped")
    assert said.code == 1
    assert "gives the fault away" in said.err


def test_a_report_has_no_curves_to_draw(dryhop, report, tmp_path):
    said = dryhop("reproduce", report, "--overlay", tmp_path / "x.svg")
    assert said.code == 1
    assert "There are no curves to draw" in said.err
