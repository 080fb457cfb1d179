"""What somebody reported, by keys alone: a file opened, its columns confirmed, the answer, a drill."""

import os
import threading
import time
from typing import Any

import pytest

from sim.errors import InputError, Problem, Refusal
from sim.reproduce.answer.ranking import Ranked
from sim.reproduce.causes import Cause
from sim.window.screens.home import Home
from sim.window.screens.reported.answer import AnswerSheet, share
from sim.window.screens.reported.brought import BroughtSheet, listed
from sim.window.screens.reported.columns import ColumnsSheet, plain_words
from sim.window.screens.reported.working import Working
from tests.window.screens.person import KeyPerson
from tools.samples.reported import answer, log

PATIENCE_S = 60.0  # s; own: a busy machine
TALL = 4000  # px; own: so tall that nothing scrolls


@pytest.fixture
def folder(tmp_path):
    for n, name in enumerate(("first.csv", "then.yaml", "notes.txt", ".hidden.csv")):
        path = tmp_path / name
        path.write_text("x")
        os.utime(path, (n, n))
    return tmp_path


def sits(app, screen):
    app.go(screen)
    return KeyPerson(app, height=TALL)


# --- the files ------------------------------------------------------------------------------------


def test_the_newest_file_comes_first_and_only_what_may_be_opened(folder):
    assert [path.name for path in listed(folder)] == ["then.yaml", "first.csv"]
    assert listed(folder / "no-such") == []


def test_enter_opens_the_file_marked(app, folder):
    opened: list[Any] = []
    person = sits(app, BroughtSheet(app.screen, folder, opened.append))
    person.strike("down", "return")
    assert [path.name for path in opened] == ["first.csv"]
    assert "recording" in person.said
    assert "report" in person.said
    person.strike("c")
    assert len(opened) == 2


def test_a_folder_or_file_may_be_written(app, folder, tmp_path_factory):
    opened: list[Any] = []
    sheet = BroughtSheet(app.screen, tmp_path_factory.mktemp("empty"), opened.append)
    person = sits(app, sheet)
    assert sheet.files == []
    person.to("folder")
    person.strike(*["backspace"] * 200)
    person.types(str(folder))
    person.strike("return")
    assert sheet.folder == folder
    assert len(sheet.files) == 2
    person.to("folder")
    person.strike(*["backspace"] * 200)
    person.types(str(folder / "then.yaml"))
    person.strike("return")
    assert opened == [folder / "then.yaml"]


def test_what_is_wrong_with_a_file_is_told(app, folder):
    def opens(path):
        raise InputError((Problem(path.name, 3, "time", "x", "not a number"),))

    person = sits(app, BroughtSheet(app.screen, folder, opens))
    person.strike("return")
    person.frame()
    assert "then.yaml:3: time = x: not a number" in person.said


def test_home_leads_there_and_back(app, folder):
    home = Home(print, print, reported=lambda back: app.go(BroughtSheet(back, folder, print)))
    person = sits(app, home)
    person.strike("v")
    person.frame()
    assert "Folder or file" in person.said
    person.strike("escape")
    assert app.screen is home


# --- the columns ----------------------------------------------------------------------------------


@pytest.fixture
def columns(app, tmp_path):
    from sim.reproduce.importer.confirming import Sheet

    confirmed: list[Any] = []
    sheet = ColumnsSheet(app.screen, tmp_path / "friday.csv", Sheet(log()), confirmed.append)
    return sits(app, sheet), sheet, confirmed


def test_guesses_stand_with_what_they_rest_on(columns):
    person, _, _ = columns
    assert "rc roll, µs, ?" in person.said
    assert "sign open: it can be the fault, and is asked for" in " ".join(person.canvas.lines())
    assert "Does rc roll grow or fall when the roll stick goes right?" in person.said
    person.strike("c")
    assert not columns[2]


def choose(person, app, id_, value):
    person.to(id_)
    for _ in range(40):
        if app.ui.node(id_).value == value:
            return
        person.strike("right")
        person.frame()
    raise AssertionError(f"{id_} has no {value}")


def test_all_questions_answered_by_keys_and_confirmed(app, columns):
    person, sheet, confirmed = columns
    choose(person, app, "attitude", "worked out aboard")
    motors = iter(("motor2", "motor1", "motor4", "motor3"))
    for n, channel in enumerate(sheet.order):
        open_ = {q.key for q in sheet.sheet.questions if q.channel == channel}
        if not open_:
            continue
        person.to("channel:0") if n == 0 else None
        app.ui.focus = f"channel:{n}"
        person.frame()
        person.frame()
        if "column" in open_:
            choose(person, app, "column", next(motors))
        if "sign" in open_:
            choose(person, app, "sign", "grows")
    assert sheet.sheet.missing == []
    person.press("work-out")
    [settled] = confirmed
    assert settled.attitude == "aboard"
    assert settled.sources["drive_rear_left"].column == "motor3"
    assert settled.sources["stick_yaw"].sign == 1


def test_the_map_is_kept_beside_the_recording(columns, tmp_path):
    person, _, _ = columns
    person.strike("y")
    person.frame()
    kept = tmp_path / "friday-map.yaml"
    assert f"Kept: {kept}" in person.said
    assert "column: rc roll" in kept.read_text()


def test_a_question_is_asked_without_the_words_of_the_file():
    asked = "in what unit is t? One of: s, ms"
    assert plain_words(asked) == "In what unit is t?"
    assert plain_words("does x grow (1) or fall (-1) when it goes up?").startswith("Does x grow or")


# --- work under way -------------------------------------------------------------------------------


def wait(person, until):
    end = time.monotonic() + PATIENCE_S
    while not until() and time.monotonic() < end:
        time.sleep(0.01)
        person.frame()
    assert until()


def test_work_shows_how_far_it_is_and_gives_what_came_of_it(app):
    came: list[Any] = []
    go = threading.Event()

    def work(tell):
        tell("Halfway through the recording", 0.5)
        assert go.wait(PATIENCE_S)
        return 42

    person = sits(app, Working(app.screen, "Looking", work, came.append))
    wait(person, lambda: "Halfway through the recording" in person.said)
    assert "50 %" in person.said
    go.set()
    wait(person, lambda: came)
    assert came == [42]


def test_work_that_fails_leads_back_and_says_why(app):
    def work(tell):
        raise Refusal("No row of it is in the air.", "value")

    back = BroughtSheet(app.screen, app.path.parent, print)
    person = sits(app, Working(back, "Looking", work, print))
    wait(person, lambda: app.screen is back)
    person.frame()
    assert "No row of it is in the air." in person.said


def test_work_may_be_stopped(app):
    stopped = threading.Event()

    def work(tell):
        try:
            while True:
                tell("On and on", 0.1)
                time.sleep(0.01)
        finally:
            stopped.set()

    back = BroughtSheet(app.screen, app.path.parent, print)
    person = sits(app, Working(back, "Looking", work, print))
    person.strike("escape")
    assert app.screen is back
    assert stopped.wait(PATIENCE_S)


# --- the answer -----------------------------------------------------------------------------------


def test_the_answer_tells_causes_what_decided_and_the_next_check(app):
    person = sits(app, AnswerSheet(app.screen, answer(), print))
    said = " ".join(person.canvas.lines())
    for words in (
        "Likeliest: prop-wrong-hand, front left",
        "Not told apart from prop-upside-down",
        "a reversed yaw channel would look as sound",
        "Each propeller in hand",
        "never touch a propeller under power",
        "out of its band at a corner: prop-wrong-hand",
        "Before any bench check the propellers come off",
        "change of roll rate, rad/s",
        "as a sound one",
    ):
        assert words in said


def test_practise_this_takes_the_cause_marked(app):
    begun: list[Any] = []
    person = sits(app, AnswerSheet(app.screen, answer(), begun.append))
    person.strike("down", "p")
    assert [one.faults for one in begun] == [("prop-upside-down",)]


def test_none_can_t_be_practised_and_says_so_plainly(app):
    begun: list[Any] = []
    person = sits(app, AnswerSheet(app.screen, answer(none=15.0), begun.append))
    assert "None: it flew as a sound aircraft does" in person.said
    person.strike("p")
    assert begun == []


def test_where_nothing_fits_no_check_is_named(app):
    person = sits(app, AnswerSheet(app.screen, answer(fits=False), print))
    assert "None fits: no fault of the catalogue" in person.said
    assert "No check is expected to tell any more of it." in person.said
    assert "none fits" in person.said


def test_a_report_without_a_recording_has_no_curves(app):
    person = sits(app, AnswerSheet(app.screen, answer(recording=False), print))
    assert "A report has no curves." in person.said


# --- the way through --------------------------------------------------------------------------------


def test_the_main_way_leads_to_one_open_question_after_the_other(app, columns):
    person, sheet, confirmed = columns
    person.strike("c")
    person.frame()
    assert app.ui.focus == "attitude"
    person.strike("right", "c")
    person.frame()
    assert (sheet.channel, app.ui.focus) == ("stick_roll", "sign")
    assert "When the roll stick goes right, rc roll" in person.said
    person.strike("right", "c")
    person.frame()
    assert sheet.channel != "stick_roll"
    assert not confirmed


def test_enter_on_a_channel_leads_to_what_is_open_of_it(app, columns):
    person, sheet, _ = columns
    person.strike("return")
    person.frame()
    assert (sheet.channel, app.ui.focus) == ("stick_roll", "sign")


def test_what_is_left_out_while_it_is_open_is_told(app, columns):
    person, sheet, _ = columns
    sheet.sheet.choose("height_m", "column", "rc yaw")
    person.frame()
    assert "Left out while open: height, up positive." in " ".join(person.canvas.lines())


@pytest.mark.parametrize("name", ["columns", "answer"])
def test_whoever_comes_back_finds_the_marked_row_in_hand(app, columns, name):
    person, sheet, _ = columns
    screen, row = (sheet, "channel") if name == "columns" else (None, "cause")
    screen = screen or AnswerSheet(app.screen, answer(), print)
    app.go(screen)
    person.frame()
    person.strike("down")
    person.frame()
    app.go(BroughtSheet(screen, app.path.parent, print))
    person.frame()
    person.strike("escape")
    person.frame()
    assert app.screen is screen
    assert app.ui.focus == f"{row}:1"


def test_a_wrong_path_stays_to_be_put_right(app, folder):
    def opens(path):
        raise FileNotFoundError(2, "No such file", str(path))

    person = sits(app, BroughtSheet(app.screen, folder, opens))
    person.to("folder")
    person.types("x")
    person.strike("return")
    person.frame()
    assert app.ui.focus == "folder"
    assert app.ui.node("folder").value == f"{folder}x"


def test_another_cause_marked_says_so_above_what_is_alike(app):
    person = sits(app, AnswerSheet(app.screen, answer(), print))
    assert "Marked:" not in person.said
    person.strike("down")
    person.frame()
    assert "Marked: prop-upside-down" in person.said


def test_large_letters_leave_the_causes_their_names(app):
    app.change(text_scale=2.0)
    person = sits(app, AnswerSheet(app.screen, answer(), print))
    row = app.ui.node("cause:0")
    assert (row.name, row.value) == ("prop-wrong-hand", row.value.partition(",")[0])
    assert "Marked: prop-wrong-hand" in " ".join(person.canvas.lines())


def test_enter_on_none_leads_nowhere_and_loses_nothing(app):
    person = sits(app, AnswerSheet(app.screen, answer(none=15.0), print))
    sheet = app.screen
    person.strike("return")
    person.frame()
    assert app.ui.focus == "cause:0"
    person.strike("down", "return")
    person.frame()
    assert app.ui.focus == "practise"
    assert app.screen is sheet


def test_large_letters_cut_no_channel_in_the_list(app, columns):
    person, _, _ = columns
    app.change(text_scale=2.0)
    person.frame()
    words = person.canvas.lines()
    assert "command of the front left motor" in words
    assert not [line for line in words if line.endswith("…")]


def test_what_has_no_degrees_stands_without_a_severity():
    whole = Ranked(Cause(("mode-switch-swapped",), 0.0, None, (1.0, 1.0, 1.0)), 0.95)
    worse = Ranked(Cause(("over-mass",), 0.0, None, (0.2, 0.4, 0.6)), 0.95)
    assert share(whole) == "95 in 100"
    assert share(worse) == "95 in 100, 0.40 (0.20 to 0.60)"
