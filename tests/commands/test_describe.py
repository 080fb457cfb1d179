"""`dryhop describe` from questions or a file of answers to an airframe file that is good."""

import json

import pytest
import typer

from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import dump_yaml, load_model
from sim.describe.account import CAUTION
from sim.describe.answers import Answers
from sim.describe.formulas import FORMULAS
from tests.describe.builds import BUILDS, answers
from tests.describe.test_questions import BENCH, Person


@pytest.fixture
def keyboard(monkeypatch):
    """Let somebody answer as BENCH says, with some answers changed."""

    def sits(**changes: str) -> None:
        person = Person({**BENCH, **changes})
        monkeypatch.setattr(typer, "prompt", lambda words, **_: person.ask(words))

    return sits


def kept(path, name: str, **changes):
    path.write_text("# Invented.\n" + dump_yaml(answers(name, **changes).model_dump(exclude_none=True)))  # fmt: skip
    return path


def test_asked_at_the_keyboard(dryhop, keyboard, tmp_path):
    keyboard()
    out, notes = tmp_path / "own.yaml", tmp_path / "answers.yaml"
    said = dryhop("describe", "--out", out, "--answers", notes)
    assert said.code == 0
    assert said.out.count(CAUTION) == 2
    for formula in FORMULAS.values():
        assert formula.what in said.out
    assert "      m g d^2" not in said.out  # nothing was swung; how to is told, with its formula
    assert "divide by ten. m g d^2 T^2/(16 pi^2 l) (bifilar pendulum; Jardin" in said.out
    assert "Better: Weigh one motor with its leads." in said.out
    assert "times the weight" in said.out
    airframe = load_model(out, Airframe)
    assert airframe.name == "my-own"
    assert airframe.origin == "described"
    assert f"P {airframe.sheet.setup.roll.p:.4g}" in said.out
    assert load_model(notes, Answers).hover_current_a == 7.5
    good = dryhop("validate", out, notes)
    assert good.code == 0
    assert good.out == f"{out}: good\n{notes}: good\n"
    # again from the notes, over the older file: the same
    before = out.read_text()
    assert dryhop("describe", "--out", out, "--answers", notes).code == 0
    assert out.read_text() == before


@pytest.mark.parametrize("name", BUILDS)
def test_five_builds_from_their_answers(dryhop, tmp_path, name):
    out = tmp_path / "a.yaml"
    said = dryhop("describe", "--answers", kept(tmp_path / "n.yaml", name), "--out", out, "--json")
    assert said.code == 0
    document = json.loads(said.out)
    assert document["caution"] == CAUTION
    assert document["file"] == str(out)
    airframe = load_model(out, Airframe)
    assert document["airframe"] == airframe.model_dump(mode="json")
    text = out.read_text()
    assert CAUTION in text
    for row in document["estimates"]:
        assert f"# {row['what']}: {row['value']:g} {row['unit']} = {row['formula']}" in text
        assert row["source"]
        assert bool(row["measure"]) is not row["measured"]
    swung = [r for r in document["estimates"] if r["key"] == "yaw_inertia_kg_m2"]
    assert ("16 pi^2" in swung[0]["formula"]) is (name == "school-project")
    assert {f["level"] for f in document["findings"]} <= {"good", "look"}
    assert dryhop("validate", out).code == 0


def test_an_aircraft_that_cannot_fly_gets_no_file(dryhop, tmp_path):
    out = tmp_path / "a.yaml"
    notes = kept(tmp_path / "n.yaml", "from-a-drawer", motor__kv_rpm_v=800.0)
    said = dryhop("describe", "--answers", notes, "--out", out)
    assert said.code == 1
    assert "too little to fly" in said.err
    assert not out.exists()


def test_a_frame_that_cannot_be(dryhop, tmp_path):
    notes = kept(tmp_path / "n.yaml", "from-a-drawer")
    notes.write_text(notes.read_text().replace("diameter_in: 5.0", "diameter_in: 8.0"))
    said = dryhop("describe", "--answers", notes, "--out", tmp_path / "a.yaml")
    assert said.code == 2
    assert "propellers of 8 inches would touch" in said.err


def test_nothing_else_is_overwritten(dryhop, tmp_path):
    out = tmp_path / "diary.yaml"
    out.write_text("dear: diary\n")
    notes = kept(tmp_path / "n.yaml", "from-a-drawer")
    said = dryhop("describe", "--answers", notes, "--out", out)
    assert said.code == 2
    assert f"{out}: something else lies there already" in said.err
    assert out.read_text() == "dear: diary\n"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("  p: 0.0", "  q: 0.0", "unknown key"),
        ("cells: 3\npack", "cells: 4\npack", "cells must be those of the pack"),
        ("table: 5x3", "table: 5x9", "propeller.table = 5x9: must be one of: 10x4.7"),
    ],
)
def test_a_spoilt_airframe_file_is_told(dryhop, tmp_path, old, new, says):
    out = tmp_path / "a.yaml"
    dryhop("describe", "--answers", kept(tmp_path / "n.yaml", "from-a-drawer"), "--out", out)
    text = out.read_text()
    assert old in text
    out.write_text(text.replace(old, new))
    said = dryhop("validate", out)
    assert said.code == 2
    assert says in said.err


def test_shipped_airframes_packs_and_sites_are_good(dryhop):
    from sim.paths import assets_dir

    for kind in ("airframes", "packs", "sites"):
        files = sorted((assets_dir() / kind).glob("*.yaml"))
        assert dryhop("validate", *files).out.count(": good\n") == len(files) > 1
