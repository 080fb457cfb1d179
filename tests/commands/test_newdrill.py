"""A drill made on the command line: by options and by questions, refused with the reason, written whole."""

import json

import pytest

from sim.commands.newdrill import answers
from sim.maker.form import QUESTIONS
from sim.maker.rating import SEEDS, Rated
from sim.session.scenario import load
from tools.samples.made import rating

GOOD = ("--title", "After the rain", "--fault", "pack-cold")


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path


@pytest.fixture
def found(monkeypatch):
    """Rehearsals that are over at once; which drill was rehearsed is kept."""
    there: list = [rating()]

    def rated(drill, minutes, tell):
        tell("Rehearsed", 0.5)
        there.append((drill, minutes))
        return there[0]

    monkeypatch.setattr("sim.maker.rating.rated", rated)
    return there


def test_by_options(dryhop, home, found):
    said = dryhop(
        "new-drill", *GOOD, "--fault", "mag-hard-iron-offset", "--severity", "0.3-0.7",
        "--story", "Two members bring it out.", "--site", "club-hall", "--rung", "6",
        "--needs", "power", "--needs", "first-evening", "--helper", "none",
    )  # fmt: skip
    path = home / "data" / "dryhop" / "drills" / "after-the-rain.yaml"
    assert said.code == 0, said.err
    assert f"Drill: {path}" in said.out
    assert "3 of 3 came to a good end, 6 of 6 topics proved, 84 min." in said.out
    assert "Expected difficulty: +0.4 ± 0.5" in said.out
    drill = load(str(path))
    assert [(f.id, f.severity) for f in drill.faults] == [
        ("pack-cold", (0.3, 0.7)),
        ("mag-hard-iron-offset", (0.3, 0.7)),
    ]
    assert (drill.rung, drill.needs, drill.site) == (6, ("power", "first-evening"), "club-hall")
    assert drill.careful_min == rating().careful_min
    assert dryhop("validate", path).code == 0
    assert found[1][1] is None


def test_what_lies_there_stays_unless_told_otherwise(dryhop, home, found):
    to = home / "a.yaml"
    assert dryhop("new-drill", *GOOD, "--out", to, "--minutes", "80").code == 0
    assert found[1][1] == 80.0
    before = to.read_text()
    said = dryhop("new-drill", *GOOD, "--story", "Another one.", "--out", to)
    assert (said.code, len(found)) == (2, 2)  # refused before anything is rehearsed
    assert "lies there already" in said.err
    assert to.read_text() == before
    assert dryhop("new-drill", *GOOD, "--story", "Another one.", "--out", to, "--replace").code == 0
    assert load(str(to)).story == "Another one."


def test_as_json(dryhop, home, found):
    said = dryhop("new-drill", *GOOD, "--severity", "at-edge", "--out", "a.yaml", "--json")
    document = json.loads(said.out)
    assert (document["drill"], document["careful_min"]) == ("a.yaml", 90.0)
    assert document["difficulty"] == pytest.approx(0.4)
    assert len(document["rehearsals"]) == 3 * len(SEEDS)
    assert document["rehearsals"][0]["stand_in"] == "careful"
    assert load("a.yaml").faults[0].severity == "at-edge"


def test_drawn_and_sound(dryhop, home, found):
    drawn = ("--title", "Anything", "--family", "power", "--family", "site", "--count", "2")
    assert dryhop("new-drill", *drawn, "--out", "a.yaml").code == 0
    draw = load("a.yaml").draw
    assert draw is not None
    assert (draw.families, draw.count) == (("power", "site"), 2)
    assert dryhop("new-drill", "--title", "Anything", "--sound", "--out", "b.yaml").code == 0
    assert (load("b.yaml").faults, load("b.yaml").draw) == ((), None)


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--title", "T"), 2, "name a --fault or a --family"),
        (("--fault", "pack-cold"), 2, "title: is missing"),
        (("--title", "T", "--fault", "pack-cald"), 2, "nearest: pack-cold"),
        ((*GOOD, "--severity", "2"), 2, "at most 1"),
        ((*GOOD, "--rung", "5", "--helper", "hints"), 2, "there is no help"),
        ((*GOOD, "--rung", "6", "--severity", "at-edge"), 2, "no severity at-edge"),
        ((*GOOD, "--airframe", "no-such"), 2, "airframe"),
        ((*GOOD, "--airframe", "no-such.yaml"), 2, "not a file"),
        ((*GOOD, "--out", "a.txt"), 2, "ends in .yaml"),
        (("--title", "A cold evening", "--fault", "pack-cold"), 1, "without “cold”"),
        ((*GOOD, "--story", "The pack is old."), 1, "The story gives away"),
        ((*GOOD, "--out", "cold-start.yaml"), 1, "The name of the file gives away"),
    ],
)
def test_what_cannot_be_is_told_before_anything_is_rehearsed(
    dryhop, home, found, words, code, says
):
    said = dryhop("new-drill", *words)
    assert said.code == code, said.err
    assert says in said.err
    assert said.err.count("\n") == 1
    assert len(found) == 1
    assert list(home.rglob("*.yaml")) == []


def test_a_drill_nobody_comes_well_out_of_is_not_written(dryhop, home, found):
    found[0] = Rated(
        tuple(one._replace(cleared=False) for one in rating().tries), 75.0, rating().hard
    )
    said = dryhop("new-drill", *GOOD, "--out", "a.yaml")
    assert said.code == 1
    assert "more than careful work" in said.out
    assert said.err.strip() == "a.yaml was not written."
    assert list(home.rglob("*.yaml")) == []


def test_by_questions(dryhop, home, found, monkeypatch):
    given = iter([
        "", "After the rain", "Two members bring it out.", "?", "pack-cald", "pack-cold", "", "0.3-0.7",
        "", "club-hall", "9", "2", "", "radio", "",
    ])  # fmt: skip
    monkeypatch.setattr("typer.prompt", lambda *words, **more: next(given))
    said = dryhop("new-drill", "--out", "a.yaml")
    assert said.code == 0, said.err
    assert "This can't be left empty." in said.out
    assert "nearest: pack-cold" in said.out
    assert "at most 6" in said.out
    assert "mag-hard-iron-offset, " in said.out  # the list asked for
    drill = load("a.yaml")
    assert (drill.rung, drill.site, drill.needs) == (2, "club-hall", ("radio",))
    assert next(given, None) is None


def test_every_question_is_asked_and_its_empty_answer_told():
    asked = []

    def ask(words):
        asked.append(words)
        return "power" if words.startswith("Families") else "T" if "title" in words else ""

    texts = answers(ask, print)
    assert asked == [question.shown for question in QUESTIONS]
    assert set(texts) == {question.key for question in QUESTIONS}
    assert sum("[Enter: " in words for words in asked) == len(QUESTIONS) - 1
