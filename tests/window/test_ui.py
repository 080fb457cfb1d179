"""Widgets by keys alone and by pointer, through the text back end."""

import pytest

from sim.window import theme
from sim.window.canvas import Rect, TextCanvas, fitted, paragraph, wrapped
from sim.window.inputs import Inputs, Stroke
from sim.window.keys import KeyMap
from sim.window.layout import beside
from sim.window.theme import BODY
from sim.window.ui import Ui

BOX = Rect(10, 10, 200, 30)


class Bench:
    """A window of one draw function, stepped by strokes."""

    def __init__(self, draw):
        self.ui, self.draw, self.results = Ui(KeyMap()), draw, []
        self.frame()

    def frame(self, *keys, **more):
        strokes = [
            k if isinstance(k, Stroke) else Stroke(k, k if len(k) == 1 else "") for k in keys
        ]
        inputs = Inputs(strokes=strokes, **more)
        self.ui.begin(TextCanvas(), inputs)
        result = self.draw(self.ui)
        self.ui.end()
        return result


def two_buttons(ui):
    return [ui.button(name, BOX._replace(y=40 * i), name) for i, name in enumerate("ab")]


def test_tab_moves_and_enter_presses():
    bench = Bench(two_buttons)
    assert bench.frame("return") == [False, False]
    bench.frame("tab")
    assert bench.frame("return") == [True, False]
    bench.frame("tab")
    assert bench.frame("return") == [False, True]
    bench.frame(Stroke("tab", shift=True))
    assert bench.frame("return") == [True, False]


def test_a_press_by_pointer_needs_both_down_and_up_on_it():
    bench = Bench(two_buttons)
    assert bench.frame(pointer=(20, 20), pressed=True, down=True) == [False, False]
    assert bench.frame(pointer=(20, 20), released=True) == [True, False]
    bench.frame(pointer=(20, 20), pressed=True, down=True)
    assert bench.frame(pointer=(20, 60), released=True) == [False, False]


def test_an_act_answers_to_its_key_but_not_while_something_is_typed():
    def draw(ui):
        written = ui.field("note", BOX, "", "note")
        return written, ui.act("pack", BOX._replace(y=60))

    bench = Bench(draw)
    assert bench.frame("p") == (None, True)
    bench.frame("tab")
    assert bench.frame("p") == (None, False)
    assert bench.ui.node("note").value == "p" or (
        bench.frame() and bench.ui.node("note").value == "p"
    )
    assert bench.frame("return") == ("p", False)


@pytest.mark.parametrize(("act", "key", "again"), [("practise", "p", False), ("cut", "x", True)])
def test_a_key_held_down_strikes_once_but_the_cut_is_never_missed(act, key, again):
    bench = Bench(lambda ui: ui.act(act, BOX))
    assert bench.frame(key)
    assert bench.frame(Stroke(key, key, again=True)) is again


def test_a_field_takes_back_and_gives_up():
    bench = Bench(lambda ui: ui.field("note", BOX, "old", "note"))
    bench.frame("tab")
    bench.frame("x", "y", "backspace")
    assert bench.frame("return") == "oldx"
    bench.frame("tab")
    bench.frame("z")
    assert bench.frame("escape") is None
    assert bench.ui.focus is None


def test_a_field_is_left_by_enter_and_tab_goes_on_from_there():
    def draw(ui):
        ui.button("before", BOX._replace(y=100), "before")
        written = ui.field("note", BOX, "", "note")
        pressed = ui.button("after", BOX._replace(y=60), "after")
        return written, pressed

    bench = Bench(draw)
    bench.frame("tab")
    bench.frame("tab")
    bench.frame("x")
    assert bench.frame("return") == ("x", False)
    assert (bench.ui.focus, bench.ui.typing) == (None, False)
    assert bench.frame("return") == (None, False)  # no second Enter presses anything
    bench.frame("tab")
    assert bench.ui.focus == "after"


@pytest.mark.parametrize(("on", "soft"), [("note", True), ("act", False)])
def test_caps_dim_while_something_is_typed(on, soft):
    canvas = TextCanvas()
    ui = Ui(KeyMap())
    for _ in range(3):
        canvas.written.clear()
        ui.begin(canvas, Inputs())
        ui.focus = on if on == "note" else "pack"
        ui.field("note", BOX, "", "note")
        ui.act("pack", BOX._replace(y=60))
        ui.end()
    (cap,) = (line for line in canvas.written if line.words == "P")
    assert cap.style.colour == (theme.INK_SOFT if soft else theme.INK)


def test_the_cap_of_what_can_not_be_done_is_dim():
    canvas = TextCanvas()
    ui = Ui(KeyMap())
    ui.begin(canvas, Inputs())
    ui.act("pack", BOX, enabled=False)
    assert next(line for line in canvas.written if line.words == "P").style.colour == theme.INK_SOFT


def test_letters_lead_through_a_list_but_those_on_caps_do_what_they_say():
    names = ["arm", "pack", "board", "plug"]
    done = []

    def draw(ui):
        for i, rect in ui.scroll("row", Rect(0, 0, 300, 200), len(names), names=names):
            ui.row(f"row:{i}", rect, names[i])
        if ui.act("pack", BOX._replace(y=300)):
            done.append("pack")

    bench = Bench(draw)
    bench.frame("tab")
    bench.frame("b")
    assert bench.ui.focus == "row:2"
    bench.frame("p")
    assert (bench.ui.focus, done) == ("row:2", ["pack"])


def test_arrows_walk_a_long_list_and_tab_leaves_it():
    def draw(ui):
        pressed = None
        scroll = ui.scroll("row", Rect(0, 0, 300, 5 * ui.row_height), 40)
        for i, rect in scroll:
            if ui.row(f"row:{i}", rect, f"line {i}"):
                pressed = i
        ui.button("after", BOX._replace(y=500), "after")
        return pressed

    bench = Bench(draw)
    for _ in range(13):
        bench.frame("down")
    assert bench.ui.focus == "row:12"
    assert bench.frame("return") == 12
    bench.frame("pagedown")
    bench.frame()
    assert bench.ui.focus == "row:17"
    bench.frame("tab")
    assert bench.ui.focus == "after"


@pytest.mark.parametrize(
    ("key", "value"), [("right", 0.6), ("left", 0.4), ("home", 0.0), ("end", 1.0)]
)
def test_a_slider_by_keys(key, value):
    bench = Bench(lambda ui: ui.slider("s", BOX, "volume", 0.5, 0.0, 1.0, 0.1))
    bench.frame("tab")
    assert bench.frame(key) == pytest.approx(value)  # steps of 0.1 are not exact in binary


def test_a_choice_goes_round():
    bench = Bench(lambda ui: ui.choice("c", BOX, "units", ("metric", "imperial"), "metric"))
    bench.frame("tab")
    assert bench.frame("right") == "imperial"
    assert bench.frame("left") == "imperial"
    assert bench.frame("return") == "imperial"


def test_the_tree_tells_what_is_there():
    bench = Bench(two_buttons)
    node = bench.ui.node("a")
    assert (node.role, node.name, node.enabled, node.focused) == ("button", "a", True, False)
    with pytest.raises(KeyError):
        bench.ui.node("c")


def test_a_disabled_button_is_passed_over_and_can_not_be_pressed():
    def draw(ui):
        return ui.button("a", BOX, "a", enabled=False), ui.button("b", BOX._replace(y=60), "b")

    bench = Bench(draw)
    bench.frame("tab")
    assert bench.frame("return") == (False, True)


def test_words_are_broken_and_cut_to_a_width():
    canvas = TextCanvas()
    width = canvas.measure("twenty letters wide!", BODY)[0]
    lines = wrapped(canvas, "a longer line that has to be broken\nand another", BODY, width)
    assert all(canvas.measure(line, BODY)[0] <= width for line in lines)
    assert " ".join(lines).split() == [
        "a",
        "longer",
        "line",
        "that",
        "has",
        "to",
        "be",
        "broken",
        "and",
        "another",
    ]
    assert fitted(canvas, "short", BODY, width) == "short"
    assert fitted(canvas, "x" * 90, BODY, width).endswith("…")
    assert paragraph(canvas, Rect(0, 0, width, 99), "one two", BODY) > 0


PLACES = [Rect(x, y, 40, 20) for y in (0, 50, 100) for x in (0, 60, 120)][
    :8
]  # the last row is short


def test_up_and_down_go_to_the_nearest_place_that_way():
    assert [beside(PLACES, 1, way) for way in ("left", "right", "up", "down")] == [0, 2, 1, 4]
    assert beside(PLACES, 5, "down") == 7  # nothing straight below
    assert beside(PLACES, 7, "up") == 4
    assert beside(PLACES, 7, "right") == 7
    assert beside(PLACES, 0, "left") == 0
    assert beside(PLACES, 2, "right") == 3  # the row is read on


def test_spots_in_a_picture_are_one_list_that_takes_the_arrows():
    def draw(ui):
        ui.button("before", BOX._replace(y=300), "before")
        hit = ui.spots("spot", [(f"place {i}", "", place) for i, place in enumerate(PLACES)])
        ui.button("after", BOX._replace(y=400), "after")
        return hit

    bench = Bench(draw)
    for key, focus in (
        ("tab", "before"),
        ("tab", "spot:0"),
        ("down", "spot:3"),
        ("right", "spot:4"),
        ("up", "spot:1"),
    ):
        bench.frame(key)
        assert bench.ui.focus == focus
    assert bench.frame("return") == 1
    bench.frame("tab")
    assert bench.ui.focus == "after"  # past all of them
    assert bench.frame(pointer=(70, 60), pressed=True, down=True) is None
    assert bench.frame(pointer=(70, 60), released=True) == 4
