"""The logbook's commands, as a person runs them."""

import csv
import io
import json
import shutil
from datetime import UTC, datetime
from html import unescape

import pytest

from sim.logbook.book import Book
from sim.runs import card_of
from sim.session import actions as act
from sim.session import scenario
from sim.session.attempt import SCORECARD, Note
from sim.session.folder import RunFolder
from sim.window.settings import Settings, aside, keep, loaded, settings_path
from tests.logbook.entering import card, entry, fault, finished

WEAK = fault("pack-cell-weak", "power", True)
MISSED = fault("over-mass", "airframe", False)
HOSTILE = (
    "<script>alert(1)</script>",
    "Robert'); DROP TABLE attempt;--",
    "[bold red]loud[/bold red] :bomb:",
    "{{ 7 * 7 }} %s {0}",
    "=HYPERLINK(1)",
)  # lines of plain text, so that a note can hold them as names
UNSEEN = ("\x1b[2J", "\u202etxt", "a\x9b0m", "b\u2066c")  # these no note can hold


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    """Be somewhere with nothing kept yet."""
    for name in ("DATA", "CONFIG"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name.lower()))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def attempt(home, name: str, trainee: str, seed: int):
    """Return the run folder of a real attempt, ended at once on the bench."""
    drill = scenario.load("first-evening")
    note = Note(trainee=trainee, by="person", scenario="first-evening", seed=seed)
    folder = home / "runs" / name
    with RunFolder.begin(folder, drill, note) as run:
        run.recorder.do(act.Declare(verdict="stay on the bench", reason="it is late"))
        marks = card_of(run.finish(), trainee, "first-evening")
    (folder / SCORECARD).write_text(json.dumps(marks))
    return folder


def test_what_was_exported_comes_out_the_same_on_another_machine(home, dryhop):
    for seed in (1, 2):
        attempt(home, f"run-{seed}", "Ada", seed)
    here = json.loads(dryhop("logbook", "export", "--format", "json").out)
    assert [one["seed"] for one in here] == [1, 2]
    shutil.copytree(home / "runs", home / "stick")
    book = home / "other.sqlite"
    said = dryhop("logbook", "import", home / "stick", "--book", book, "--json")
    assert json.loads(said.out) == {"new": 2}
    there = json.loads(dryhop("logbook", "export", "--format", "json", "--book", book).out)
    assert [one.pop("folder") for one in there] != [one.pop("folder") for one in here]
    assert there == here
    assert (
        json.loads(dryhop("logbook", "import", "stick", "--book", book, "--json").out)["new"] == 0
    )
    by_line = list(csv.DictReader(io.StringIO(dryhop("logbook", "export", "--book", book).out)))
    assert [float(one["points"]) for one in by_line] == [one["points"] for one in here]


def test_marks_that_came_with_a_run_are_not_believed(home, dryhop):
    folder = attempt(home, "run", "Ada", 1)
    marks = json.loads((folder / SCORECARD).read_text())
    (folder / SCORECARD).write_text(
        json.dumps({**marks, "points": 99.0, "verdict": "cleared to hop"})
    )
    book = home / "other.sqlite"
    dryhop("logbook", "import", folder, "--book", book)
    (one,) = json.loads(dryhop("logbook", "export", "--format", "json", "--book", book).out)
    assert one["points"] == marks["points"]
    assert not one["cleared"]


def test_the_list_of_everybody_tells_not_why(home, dryhop):
    finished(home / "runs", "a", "Ada", "first-evening", card(WEAK, grave=("arm-stop-untested",)))
    assert dryhop("logbook", "next", "Ada").out.count("grave") == 1
    assert "grave" not in dryhop("logbook", "--json").out
    assert "grave" not in dryhop("logbook").out


def test_a_person_sees_the_faults_met_and_the_belief_in_the_count(home, dryhop):
    finished(home / "runs", "a", "Ada", "first-evening", card(WEAK, MISSED))
    told = json.loads(dryhop("logbook", "show", "Ada", "--json").out)
    assert told["faults"][0] == {"fault": "over-mass", "met_n": 1, "proved_n": 0}
    belief = {one["topic"]: one["belief"] for one in told["topics"] if "belief" in one}
    assert belief == {"airframe": 0.04, "power": 0.36}  # 0.2^2 and 1 - 0.8^2, by hand
    assert "over-mass" in dryhop("logbook", "show", "Ada").out


def test_who_signed_a_check_out_and_when_is_shown(home, dryhop):
    folder = finished(home / "runs", "one", "Ada", "check-out", card())
    assert "signed by" not in dryhop("logbook", "show", "Ada").out
    dryhop("logbook", "sign", folder, "--instructor", "Iris Made-Up")
    today = f"{datetime.now(UTC).astimezone():%Y-%m-%d}"
    told = dryhop("logbook", "show", "Ada").out.partition("signed by")[2]
    assert "Iris Made-Up" in told
    assert today in told
    (signed,) = json.loads(dryhop("logbook", "show", "Ada", "--json").out)["signed"]
    assert signed["instructor"] == "Iris Made-Up"
    assert signed["at"].endswith("+00:00")
    assert "Iris" not in dryhop("logbook").out


def test_the_check_says_what_is_not_as_it_was(home, dryhop):
    folder = finished(home / "runs", "a", "Ada", "first-evening", card(WEAK))
    assert dryhop("logbook", "check").code == 0
    (folder / SCORECARD).write_text("{}")
    said = dryhop("logbook", "check", "--json")
    assert said.code == 1
    found = json.loads(said.out)
    assert (found["file"], found["gone"]) == ("ok", [])
    assert found["changed"] == [str((folder / SCORECARD).resolve())]


def test_forgetting_leaves_no_trace_of_a_name(home, dryhop):
    finished(home / "runs", "a", "Zebediah", "first-evening", card(WEAK))
    (finished(home / "runs", "left", "Zebediah", "twins", card(WEAK)) / SCORECARD).unlink()
    finished(home / "runs", "b", "Bo", "first-evening", card(WEAK))
    keep(settings_path(), Settings(trainee="Zebediah"))
    aside(settings_path(), "a copy of settings that held the name")
    assert dryhop("logbook", "forget", "Zebediah").code == 1  # nobody there to say yes
    assert dryhop("logbook", "forget", "Zebediah", "--yes").code == 0
    assert loaded(settings_path())[0].trainee == ""
    for path in home.rglob("*"):
        assert path.is_dir() or b"Zebediah" not in path.read_bytes(), path
    assert dryhop("logbook", "forget", "Zebediah", "--yes").code == 2


@pytest.mark.parametrize("name", HOSTILE)
def test_text_stays_text_in_all_that_is_printed(home, dryhop, name):
    book = home / "book.sqlite"
    with Book(book) as open_book:
        open_book.take_in([entry(name, "first-evening", 7, 0, card(WEAK), home / "runs" / name)])
    assert name[:5] in dryhop("logbook", "--book", book).out  # a table folds what is longer
    assert name in dryhop("logbook", "show", name, "--book", book).out
    assert dryhop("logbook", "next", name, "--book", book).code == 0
    for form in ("json", "xapi"):
        said = dryhop("logbook", "export", "--format", form, "--book", book)
        assert name in json.dumps(json.loads(said.out), ensure_ascii=False)
    dryhop("logbook", "report", "--out", "page.html", "--book", book)
    page = (home / "page.html").read_text()
    assert "<script" not in page
    assert name in unescape(page)
    assert len(json.loads(dryhop("logbook", "--book", book, "--json").out)) == 1


@pytest.mark.parametrize("name", UNSEEN)
def test_what_is_not_seen_gets_into_no_logbook(home, dryhop, name):
    """Neither as a name nor as a verdict somebody wrote into a scorecard: it is worked out anew."""
    folder = attempt(home, "run", "Ada", 1)
    marks = json.loads((folder / SCORECARD).read_text())
    (folder / SCORECARD).write_text(json.dumps({**marks, "verdict": name}))
    said = dryhop("logbook", "show", "Ada")
    assert "stay on the bench" in said.out
    note = folder / "attempt.json"
    note.write_text(note.read_text().replace("Ada", name))
    shutil.rmtree(home / "data")
    assert json.loads(dryhop("logbook", "--json").out) == []
