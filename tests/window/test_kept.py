"""Drills whose disk lets them down, and drills left in the middle: by keys, with a real disk.

A folder is made unusable by a file that lies where it should be, or by deleting it: that holds for
every user, also for one to whom all permissions are given.
"""

import shutil
import tempfile
import time
from html import unescape
from pathlib import Path

import pytest

from sim.pages.debrief import DEBRIEF, write
from sim.runs import left_in_the_middle, replay, score
from sim.scoring.search import searched
from sim.session import actions as act
from sim.session.folder import is_finished
from sim.session.ownwords import words_of
from sim.window import start
from sim.window.app import App
from sim.window.practice import Practice
from sim.window.said import Said
from sim.window.screens.debrief import Debrief
from sim.window.screens.desk import Desk
from sim.window.screens.home import Home
from sim.window.screens.ownwords import OwnWordsSheets
from sim.window.screens.pause import Pause
from sim.window.screens.saving import UNSAVED
from tests.window.screens.person import FRAME_S, KeyPerson

LONGEST_WAIT = 10_000  # frames; a minute at most


class Somebody(KeyPerson):
    """Strikes keys while the drill under way goes on."""

    def frame(self, strokes=(), held=(), seconds=FRAME_S, **more) -> None:
        self.app.move(frozenset(), seconds)
        super().frame(strokes, held, seconds, **more)

    def wait(self) -> None:
        """Wait until nothing is being done."""
        self.frame()
        for _ in range(LONGEST_WAIT):
            if self.app.drill is None or (self.app.drill.ready and not self.app.drill.busy):
                self.frame()
                return
            time.sleep(0.005)
            self.frame()
        raise AssertionError("still busy")

    def comes_home(self) -> None:
        """Wait until the drills are shown again."""
        for _ in range(LONGEST_WAIT):
            self.frame()
            if isinstance(self.app.screen, Home) and self.app.drill is None:
                return
            time.sleep(0.005)
        raise AssertionError(f"still {self.app.screen}")

    def does(self, *keys: str) -> None:
        """Strike keys, each once what came before is done."""
        for key in keys:
            self.strike(key)
            self.wait()

    def begins(self) -> Practice:
        """Begin the first drill of the list."""
        self.press("practise")
        self.wait()
        assert isinstance(self.app.drill, Practice)
        return self.app.drill


@pytest.fixture
def usual(tmp_path, monkeypatch):
    """Return where runs usually lie."""
    monkeypatch.chdir(tmp_path)
    return Path("runs")


@pytest.fixture
def second(tmp_path, monkeypatch):
    """Return where runs go when the usual place takes none."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    return tmp_path / "data" / "dryhop" / "runs"


@pytest.fixture
def nowhere(tmp_path, second):
    """See to it that no other place takes a run."""
    for name in ("data", "temporary"):
        shutil.rmtree(tmp_path / name, ignore_errors=True)  # the logbook may lie there by now
        (tmp_path / name).write_text("a file")


@pytest.fixture
def somebody(usual, second, tmp_path):
    app = App(tmp_path / "window.json")
    app.change(shown_round=True, trainee="Ada")
    start.first_screen(app)
    yield Somebody(app)
    app.leave()


def finish(somebody):
    somebody.does("e")
    somebody.press("finish:0")
    somebody.wait()
    somebody.frame()
    assert isinstance(somebody.app.screen, OwnWordsSheets)
    somebody.types("kept calm")
    somebody.press("work-out")
    somebody.wait()


def test_a_deleted_folder_is_told_and_the_drill_kept_elsewhere(somebody, second):
    drill = somebody.begins()
    somebody.does("t")
    shutil.rmtree(drill.folder)
    somebody.does("p")
    assert drill.folder.parent == second
    assert not drill.unsaved
    assert f"From here on the drill is kept in {drill.folder}." in somebody.app.notice
    assert drill.view.conduct.pack_plugged
    finish(somebody)
    assert isinstance(somebody.app.screen, Debrief)
    assert somebody.app.screen.folder == drill.folder
    assert is_finished(drill.folder)
    assert words_of(drill.folder) == drill.words
    assert replay(drill.folder) > 0


def test_a_drill_no_disk_takes_goes_on_and_is_saved_where_somebody_says(
    somebody, nowhere, tmp_path
):
    drill = somebody.begins()
    shutil.rmtree(drill.folder)
    somebody.does("t", "p")
    assert "No such file or directory" in drill.unsaved
    assert drill.view.conduct.pack_plugged
    assert "Not saved" in somebody.said
    somebody.strike("escape")
    assert isinstance(somebody.app.screen, Pause)
    somebody.strike("", "")  # the sheet is as long as what is on it, once that has been drawn
    assert drill.unsaved.split(":")[0] in somebody.said.replace("\n", "")
    somebody.press("give-up")
    somebody.frame()
    assert "will be lost" in somebody.said
    somebody.press("save-drill")  # the place named at first takes nothing
    assert drill.unsaved
    assert "data" in somebody.app.notice
    somebody.to("save-to")
    for _ in range(len(str(somebody.app.ui.node("save-to").value))):
        somebody.strike("backspace")
    somebody.types(str(tmp_path / "stick"))
    somebody.strike("return")
    somebody.press("save-drill")
    assert not drill.unsaved
    assert drill.folder.parent == tmp_path / "stick"
    somebody.frame()
    assert "save-drill" not in {node.id for node in somebody.app.ui.tree}
    somebody.strike("escape")
    assert isinstance(somebody.app.screen, Desk)
    finish(somebody)
    assert replay(drill.folder) > 0
    assert score(drill.folder) == drill.card


def test_a_finished_drill_no_disk_takes_has_its_debrief_and_can_still_be_saved(
    somebody, nowhere, tmp_path
):
    drill = somebody.begins()
    somebody.does("t")
    shutil.rmtree(drill.folder)
    finish(somebody)
    somebody.frame()
    assert isinstance(somebody.app.screen, Debrief)
    assert UNSAVED in somebody.said
    (tmp_path / "data").unlink()
    assert drill.words is not None
    assert drill.words.plus == ("kept calm",)
    somebody.strike("e")
    assert not drill.unsaved
    assert words_of(drill.folder) == drill.words
    somebody.frame()
    assert UNSAVED not in somebody.said
    assert str(drill.folder) in somebody.app.notice
    assert is_finished(drill.folder)
    assert score(drill.folder) == drill.card


def test_where_no_folder_can_be_made_a_drill_begins_in_the_next_best_place(somebody, usual, second):
    usual.write_text("a file")
    drill = somebody.begins()
    assert drill.folder.parent == second
    assert "runs" in somebody.app.notice
    assert str(drill.folder) in somebody.app.notice
    somebody.does("t")
    assert drill.view.conduct.transmitter_on


def test_where_no_place_takes_a_drill_the_drills_say_so(somebody, usual, nowhere):
    usual.write_text("a file")
    somebody.press("practise")
    somebody.comes_home()
    somebody.frame()
    assert "runs" in somebody.said
    assert "File exists" in somebody.said or "Not a directory" in somebody.said
    assert somebody.app.drill is None


def test_a_drill_left_in_the_middle_is_taken_up_where_it_was(somebody):
    drill = somebody.begins()
    somebody.does("t", "n")
    reading = drill.last.reading
    assert reading is not None
    answer = f"answer-{somebody.app.screen.card._slot[0]}-{somebody.app.screen.card._slot[1]}"
    somebody.to(answer)
    somebody.types("looks fine")
    somebody.strike("return")
    somebody.wait()
    before, minutes, done = drill.session.rig.fingerprint(), drill.view.minutes, len(drill.log)
    written = dict(somebody.app.screen.card.written)
    assert [value.split(", ")[0] for value in written.values()] == ["looks fine"]
    somebody.strike("escape")
    somebody.press("give-up")
    somebody.strike("return")
    somebody.frame()
    assert isinstance(somebody.app.screen, Home)
    assert "Left in the middle" in somebody.said
    assert any(node.name.endswith("Ada") for node in somebody.app.ui.tree)
    somebody.press("left:0")
    somebody.wait()
    again = somebody.app.drill
    assert again is not drill
    assert again.folder == drill.folder
    assert again.session.rig.fingerprint() == before
    assert again.view.minutes == minutes
    assert len(again.log) == done
    assert [said.action.do for _, said in again.log] == ["switch-transmitter", "read", "answer"]
    desk = somebody.app.screen
    assert isinstance(desk, Desk)
    assert desk.card.written == written
    assert desk.reading is not None
    assert desk.reading.values == reading.values
    finish(somebody)
    assert replay(again.folder) > 0
    start.home(somebody.app)
    somebody.frame()
    assert "Left in the middle" not in somebody.said


def test_what_was_left_and_then_damaged_is_told(somebody):
    drill = somebody.begins()
    somebody.does("t", "p")
    start.home(somebody.app)
    journal = drill.folder / "journal.jsonl"
    journal.write_text(journal.read_text().replace("switch-transmitter", "switch-transmittor"))
    somebody.frame()
    somebody.press("left:0")
    somebody.comes_home()
    assert "journal line 2" in somebody.app.notice
    assert left_in_the_middle()[0].folder == drill.folder


def test_a_run_that_cannot_be_watched_leads_back_to_the_drills(somebody, usual, nowhere):
    usual.write_text("a file")
    somebody.press("watch")
    somebody.comes_home()
    assert "runs" in somebody.app.notice


def test_answers_of_before_are_known_again_unless_they_were_refused(somebody):
    drill = somebody.begins()
    page = somebody.app.screen.card
    action = act.Answer(card="place", item="x", value="seen")
    page.recall(Said(action, "", frozenset({"over"})))
    assert not page.written
    page.recall(Said(action, ""))
    assert page.written == {("place", "x"): "seen"}
    page.recall(Said(act.Answer(card="place", item="complete", value="call"), ""))
    assert page.called == {"place"}
    assert drill.ready


def test_the_search_is_worked_out_once_for_sheet_and_page(somebody, monkeypatch):
    worked_out = []

    def counted(case, weighing):
        worked_out.append(case)
        return searched(case, weighing)

    monkeypatch.setattr("sim.window.debriefing.searched", counted)
    somebody.app.also = write
    drill = somebody.begins()
    finish(somebody)
    page = (drill.folder / DEBRIEF).read_text(encoding="utf-8")
    assert "kept calm" in page
    told = drill.told.search
    assert told is not None
    assert told.beside in unescape(" ".join(page.split()))
    assert len(worked_out) == 1
