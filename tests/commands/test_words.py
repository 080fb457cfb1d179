"""A report in words given to the command: an answer, one document, or a slip told in a line."""

import json

import pytest

from sim.reproduce.words.table import file_of, read, save, shipped

REPORT = """
title: Over at the first try
when: leaving
moved: [rolled-right, flipped]
heard: []
pilot: cut
changed: [motor]
worked: [stick-display]
"""


@pytest.fixture
def report(tmp_path):
    path = tmp_path / "report.yaml"
    path.write_text(REPORT)
    return path


def test_a_flip_is_explained(dryhop, report):
    said = dryhop("reproduce", report, "--json")
    document = json.loads(said.out)
    assert said.code == 0
    first = document["ranking"][0]
    assert first["faults"] != []
    assert document["seconds"] < 1.0
    assert sum(one["likelihood"] for one in document["ranking"]) <= 1.0 + 1e-6
    assert document["report"]["moved"] == ["rolled-right", "flipped"]
    assert 0.0 <= first["severity_low"] <= first["severity"] <= first["severity_high"] <= 1.0


def test_it_is_said_in_words_with_the_caution(dryhop, report):
    said = dryhop("reproduce", report)
    assert said.code == 0
    assert "Likeliest: " in said.out
    assert "Before any bench" in " ".join(said.out.split())


def test_another_airframe_is_warned_of(dryhop, report):
    report.write_text(REPORT + "airframe: small-127mm\n")
    assert "measured on the trainer" in " ".join(dryhop("reproduce", report).out.split())


def test_a_slip_is_told_in_one_line(dryhop, report):
    report.write_text(REPORT.replace("flipped", "fliped"))
    said = dryhop("reproduce", report)
    assert said.code == 2
    assert said.out == ""
    assert 'moved.1 = "fliped": not one of' in said.err
    assert "nearest: flipped" in said.err


def test_a_report_is_a_kind_of_file_to_validate(dryhop, report):
    assert dryhop("validate", report).code == 0
    report.write_text(REPORT.replace("leaving", "leeving"))
    said = dryhop("validate", report)
    assert said.code == 2
    assert "nearest: leaving" in said.err


def test_symptoms_are_one_kind_of_study_alone(dryhop):
    said = dryhop("study", "--symptoms", "--bands")
    assert said.code == 2
    assert "--symptoms" in said.err
    said = dryhop("study", "--symptoms", "--only", "cg-ofset")
    assert said.code == 2
    assert "nearest: cg-offset" in said.err
    assert dryhop("study", "--symptoms", "--only", "no-spotter").code == 2  # shows in no hop


def test_one_fault_is_flown_anew_and_the_rest_of_the_table_kept(dryhop, tmp_path):
    """A throttle channel turned round does not arm, so its hops are over at once."""
    fault = "throttle-channel-reversed"
    save(list(shipped()), file_of(tmp_path))
    flown = ("study", "--symptoms", "--only", fault, "--runs", 1, "--workers", 1, "--out", tmp_path)
    said = dryhop(*flown, "--json")
    assert said.code == 0
    document = json.loads(said.out)
    assert (document["faults"], document["file"]) == (1, str(file_of(tmp_path)))
    rows = read(file_of(tmp_path))
    assert [r for r in rows if r.fault != fault] == [r for r in shipped() if r.fault != fault]
    own = [r for r in rows if r.fault == fault]
    assert {r.symptoms for r in own} == {"would-not-arm"}
    assert sum(r.hops for r in own if r.hands == "steered") == document["hops"] == 3
