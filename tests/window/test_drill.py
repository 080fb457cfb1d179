"""Whole drills through the screens, by keys alone, on the text back end."""

import time

import numpy as np
import pytest

from sim.bench.evidence import measured
from sim.kernel.radio import Sticks
from sim.scoring.scorecard import CLEARED
from sim.session import actions as act
from sim.session import scenario
from sim.trainees import careful
from sim.trainees.driver import Hands
from sim.window.app import App
from sim.window.canvas import TextCanvas
from sim.window.inputs import Inputs, Stroke
from sim.window.practice import Practice
from sim.window.screens.desk import Desk
from tests.window.keyhands import ON_THE_PAD, KeyHands
from tests.window.thumbs import FRAME_S, KEYS_OF
from tests.worlds import TRAINER

ACT_OF = {
    "left": "roll-left",
    "right": "roll-right",
    "up": "nose-down",
    "down": "nose-up",
    "a": "yaw-left",
    "d": "yaw-right",
    "w": "stick-up",
    "s": "stick-down",
}
HELD_BESIDE = {
    "shift": "firm",
    "z": "hands-on",
    "space": "throttle-cut",
    "r": "fine-up",
    "f": "fine-down",
}


class TextWindow:
    """A window without pixels whose clock is the test."""

    def __init__(self, folder, drill="first-evening", seed=7):
        self.app = App(folder / "window.json")
        self.canvas = TextCanvas()
        self.practice = Practice(scenario.load(drill), drill, seed, "a test", folder / "run")
        self.cards = []
        self.app.take(self.practice)
        self.app.go(Desk(self.app, self.practice, self.debrief, lambda app, back: None))

    def debrief(self, app, practice):
        self.cards.append(practice.card)

    def frame(self, held=frozenset(), dt_s=FRAME_S, strokes=(), **more):
        acts = frozenset((ACT_OF | HELD_BESIDE)[key] for key in held)
        self.app.move(acts, dt_s)
        self.canvas.written.clear()
        self.app.frame(self.canvas, Inputs(strokes=list(strokes), held=held, **more), dt_s)
        if self.practice.busy:
            time.sleep(0.001)

    def strike(self, key):
        text = key if len(key) == 1 else ""
        self.frame(strokes=[Stroke(key, text)])

    def types(self, words):
        for letter in words:
            self.strike(letter)

    def hands(self):
        return KeyHands(self.app, self.strike, self.types, self.frame)


@pytest.fixture
def window(tmp_path):
    made = TextWindow(tmp_path)
    yield made
    made.app.leave()


def test_keys_known_to_the_hands_are_those_of_the_window():
    from sim.window.keys import KeyMap

    assert {KeyMap().key(act) for act in ACT_OF.values()} == {
        k for p in KEYS_OF.values() for k in p
    }


def test_reversed_pitch_from_start_to_cleared_by_keys_alone(window):
    keys = window.hands()
    keys.settle()
    hands = Hands(keys, window.practice.session)
    careful.perform(hands, window.practice.scenario, np.random.default_rng(0))
    keys.settle()
    window.frame()
    (card,) = window.cards[:1]
    assert card["verdict"] == CLEARED, card
    assert keys.struck > 100


def test_a_cut_during_a_check_is_done_right_after_it(window):
    keys = window.hands()
    keys.settle()
    practice = window.practice
    window.strike("n")
    window.strike("x")
    keys.settle()
    window.frame()
    keys.settle()
    assert practice.last is not None
    assert practice.last.action.do == "disarm"


def said(window):
    """Return all that is written, as one line."""
    return " ".join(window.canvas.lines())


def test_a_slip_takes_the_focus_and_the_way_back_leads_one_step_back(window):
    keys = window.hands()
    keys.settle()
    ui, desk = window.app.ui, window.app.screen
    window.strike("q")
    window.frame()
    assert ui.focus == "squawk-item:0"
    before = window.practice.session.rig.tick
    window.strike("down")
    window.strike("return")
    window.frame()
    assert ui.focus == "squawk-cause:0"
    window.strike("return")
    window.frame()
    assert ui.focus == "sure:0"
    window.strike("escape")
    window.frame()
    assert ui.focus == "squawk-cause:0"
    assert desk.slip is not None
    window.strike("escape")
    window.strike("escape")
    window.frame()
    assert desk.slip is None
    assert window.practice.session.rig.tick == before  # nothing was turned meanwhile


def test_finishing_is_asked_once(window):
    keys = window.hands()
    keys.settle()
    window.strike("e")
    window.frame()
    window.strike("down")
    window.strike("return")
    keys.settle()
    assert window.practice.card is None
    assert window.app.screen.slip is None


def read_people(window):
    """Read the first item of the first card: who stands where."""
    keys = window.hands()
    keys.settle()
    window.strike("n")
    keys.settle()
    window.frame()
    return keys


def go_to(window, line):
    """Bring the keys to a line of the sheet."""
    window.strike("r")
    for _ in range(window.app.screen.lines.seen.index(line)):
        window.strike("right")
    assert window.app.screen.lines.held(window.app.ui).line == line


def test_lines_taken_from_the_sheet_are_written_on_the_card(window):
    keys = read_people(window)
    for line in ("people_in_ring", "goggles_on"):
        go_to(window, line)
        window.strike("w")
        keys.settle()
        window.frame()
    value = window.practice.last.action.value
    assert value.startswith("people_in_ring 1, goggles_on 0, ")
    assert window.app.screen.card.written["arrival", "people"] == value
    (note,) = (n.value for n in window.app.ui.tree if n.id == "item:0")
    assert note.startswith("somebody inside the ring yes, your goggles on no, ")
    assert window.app.screen.slip is None


def test_what_was_read_stands_beside_what_is_written(window):
    keys = read_people(window)
    keys.do(act.Answer(card="arrival", item="people", value="all fine"))
    value = window.practice.last.action.value
    assert value.startswith("all fine, ")
    telling = measured(TRAINER).telling("people-and-room", reading_of(window))
    assert set(telling) & {piece.split(" ")[0] for piece in value.split(", ")}
    window.frame()
    keys.reach("answer-arrival-people")
    (field,) = (n for n in window.app.ui.tree if n.role == "field")
    assert field.value == "all fine"  # the lines are no words to be changed


def reading_of(window):
    return window.practice.view.readings["people-and-room"].values


def test_the_card_takes_a_reading_without_a_line_in_hand(window):
    keys = read_people(window)
    window.strike("w")
    keys.settle()
    assert window.practice.last.action.do == "answer"
    values = reading_of(window)
    for piece in window.practice.last.action.value.split(", "):
        key, number = piece.split(" ")
        assert float(number) == pytest.approx(values[key], rel=5e-4)


def test_a_line_picked_lays_the_slip_and_the_squawk_rests_on_it(window):
    keys = read_people(window)
    desk = window.app.screen
    go_to(window, "goggles_on")
    window.strike("return")
    window.frame()
    assert window.app.ui.focus == "squawk-item:0"
    assert "Rests on “your goggles on”, read as no (people and room)." in said(window)
    keys.press("squawk-item:2")
    keys.press("squawk-cause:1")
    keys.press("sure:3")
    keys.settle()
    squawk = window.practice.last.action
    assert (squawk.check, squawk.line, squawk.confidence) == ("people-and-room", "goggles_on", 4)
    assert desk.slip is None
    window.frame()
    assert "Rests on “your goggles on”, read as no (people and room)" in said(window)


def test_a_slip_without_a_line_says_so_and_takes_a_line_picked_later(window):
    keys = read_people(window)
    window.strike("q")
    window.frame()
    assert "it will not count as noticing" in said(window)
    keys.press("squawk-item:2")
    go_to(window, "people_in_ring")
    window.strike("return")
    window.frame()
    assert window.app.ui.focus == "squawk-cause:0"  # the item chosen before stands
    assert "it will not count as noticing" not in said(window)
    keys.press("squawk-cause:0")
    keys.press("sure:0")
    keys.settle()
    assert window.practice.last.action.line == "people_in_ring"


def test_a_squawk_on_nothing_is_written_and_its_sheet_says_so(window):
    keys = read_people(window)
    keys.do(act.Squawk(item="people", cause="no-spotter", confidence=1))
    assert window.practice.last.action.check is None
    window.frame()
    assert "Rests on nothing: it will not count as noticing" in said(window)


def test_a_line_under_the_pointer_is_picked_by_one_press(window):
    read_people(window)
    ui = window.app.ui
    (at,) = (n.rect.centre for n in ui.tree if n.name == "spotter present")
    window.frame(pointer=at, pressed=True, down=True)
    window.frame(pointer=at, released=True)
    window.frame()
    assert window.app.screen.picked == ("people-and-room", "spotter_present")


def test_causes_offered_do_not_depend_on_the_line(window):
    keys = read_people(window)
    window.strike("q")
    keys.press("squawk-item:2")
    window.frame()
    free = [n.name for n in window.app.ui.tree if n.id.startswith("squawk-cause:")]
    for line in window.app.screen.lines.seen:
        go_to(window, line)
        window.strike("return")
        window.frame()
        offered = [n.name for n in window.app.ui.tree if n.id.startswith("squawk-cause:")]
        assert offered == free


def test_when_the_club_locks_up_the_debrief_is_shown(window):
    keys = window.hands()
    keys.settle()
    view = window.practice.view
    assert f"0 of {view.evening_min:.0f} min (careful {view.careful_min:.0f})" in said(window)
    window.practice.session.state.evening.minutes = view.evening_min  # as if it had been a long one
    keys.do(act.Read(check="people-and-room"))
    window.frame()
    (card,) = window.cards[:1]
    assert card["locked_up"]
    assert card["minutes"] > view.evening_min


def test_after_a_fall_on_its_back_there_is_still_a_way_to_the_debrief(window):
    keys = window.hands()
    keys.settle()
    for action in (*ON_THE_PAD, act.Arm()):
        keys.do(action)
    flip = Sticks(1.0, 0.0, 0.9, 0.0, 1.0, 1.0, 0.0)
    window.practice.session.rig.put("body.rate_rad_s.x", 14.0)  # rad/s; enough to turn it over
    for _ in range(100):
        keys.steer(flip, False, 0.02)
    window.strike("x")
    for _ in range(1000):
        window.frame()
        if isinstance(window.app.screen, Desk):
            break
    assert isinstance(window.app.screen, Desk)
    assert window.practice.view.crash
    keys.do(act.UnplugPack())
    keys.do(act.Finish())
    keys.settle()
    window.frame()
    assert window.cards


def clicked(window, id_):
    """Click on a widget with the pointer: press one frame, release the next."""
    keys = window.hands()
    keys.settle()
    node = window.app.ui.node(id_)
    middle = node.rect.x + 30.0, node.rect.centre[1]
    window.frame(pointer=middle, pressed=True, down=True)
    window.frame(pointer=middle, released=True)
    keys.settle()
    window.frame()


def test_a_click_chooses_an_item_and_the_button_or_enter_does_it(window):
    keys = window.hands()
    keys.settle()
    begun = window.practice.last
    clicked(window, "item:1")
    card = window.app.screen.card
    assert card.item == 1
    assert window.practice.last is begun  # nothing was done
    clicked(window, "item")
    assert window.practice.last.action == act.Read(check=card.card.items[1].check)


@pytest.mark.parametrize(("page", "line"), [("2", "check:2"), ("5", "part:3"), ("6", "prepare:1")])
def test_a_click_marks_a_line_of_a_list_and_the_button_does_it(window, page, line):
    keys = window.hands()
    keys.settle()
    window.strike(page)
    window.frame()
    begun = window.practice.last
    clicked(window, line)
    assert window.practice.last is begun
    clicked(window, "item")
    assert window.practice.last is not begun


def test_after_an_answer_the_next_open_item_is_in_hand(window):
    keys = read_people(window)
    card = window.app.screen.card
    keys.reach("answer-arrival-people")
    window.types("all seen")
    window.strike("return")
    keys.settle()
    window.frame()
    assert card.item == 1
    assert window.app.ui.focus == "item:1"
    window.app.ui.focus = "item:0"
    window.frame()
    window.strike("n")  # the one in hand is done: on to the next open one, which is not done yet
    window.frame()
    assert (card.item, window.practice.last.action.do) == (1, "answer")
    window.strike("n")
    keys.settle()
    assert window.practice.last.action == act.Read(check=card.card.items[1].check)


def test_a_call_over_open_lines_is_doubted_once(window):
    keys = window.hands()
    keys.settle()
    window.strike("c")
    window.frame()
    card = window.app.screen.card
    open_ = len(card.card.items)
    assert f"{('one', 'two', 'three')[open_ - 1]} lines open" in said(window) or open_ == 1
    assert not card.called
    window.strike("c")
    keys.settle()
    assert card.called == {"arrival"}


def click(window, node):
    """Press and let go of the pointer on something."""
    window.frame()
    at = window.app.ui.node(node).rect.centre
    window.frame(pointer=at, pressed=True, down=True)
    window.frame(pointer=at, released=True)
    window.frame()


@pytest.mark.parametrize(
    ("page", "row", "does"),
    [("4", "step:9", "cable"), ("g", "carry:6", "carry"), ("5", "part:3", "swap")],
)
def test_a_click_only_marks_and_enter_does_it(window, page, row, does):
    keys = window.hands()
    keys.settle()
    window.strike(page)
    before = len(window.practice.log)
    click(window, row)
    keys.settle()
    assert (len(window.practice.log), window.app.ui.focus) == (before, row)
    window.strike("return")
    keys.settle()
    assert window.practice.last.action.do == does


def test_the_items_key_does_the_check_then_opens_the_answer_then_goes_on(window):
    keys = read_people(window)
    ui = window.app.ui
    assert ui.node("item").name == "Write what you saw"
    window.strike("n")
    window.frame()
    assert ui.focus == "answer-arrival-people"
    window.types("fine")
    window.strike("return")
    keys.settle()
    window.frame()
    assert window.practice.last.action.value.startswith("fine")
    assert ui.focus == "item:1"


def test_an_answer_left_empty_writes_nothing_and_gives_the_keys_back(window):
    read_people(window)
    window.strike("n")
    window.frame()
    before = len(window.practice.log)
    window.strike("return")
    window.frame()
    assert (window.app.ui.focus, len(window.practice.log)) == ("item:0", before)


def test_a_squawk_is_struck_out_by_enter_not_by_a_click(window):
    keys = window.hands()
    keys.settle()
    keys.do(act.Squawk(item="compass", cause="mag-hard-iron-offset", confidence=2))
    click(window, "squawk:0")
    assert window.practice.view.squawks
    window.strike("return")
    keys.settle()
    assert not window.practice.view.squawks
