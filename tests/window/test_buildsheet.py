"""The build sheet's page: every line that is judged, by the bands themselves, beside what was read."""

import pytest

from sim.aircraft import library
from sim.bench.bands import bands
from sim.bench.lines import every_measure
from sim.bench.reading import Reading
from sim.session import scenario
from sim.window.buildsheet import DESIGN, EITHER, SHEET_COLUMN, judged, section, words_of
from sim.window.evidence import IN_WORDS
from sim.window.values import kind_of, reading_told
from tests.window.test_drill import TextWindow

NAME = scenario.load("first-evening").airframe


def sections(airframe, name, readings=None):
    """Return the whole sheet."""
    of = judged(name)
    return [section(airframe, of, at, readings or {}) for at in range(1 + len(of))]


@pytest.fixture(scope="module")
def airframe():
    return library.airframe(NAME)


@pytest.fixture
def whole(airframe):
    return sections(airframe, NAME)


def line_of(whole, check, key):
    section = next(s for s in whole if s.check == check)
    return next(line for line in section.lines if line.key == key)


def test_every_measure_that_is_judged_stands_on_the_sheet_once(whole):
    shown = [(s.check, line.key) for s in whole if s.check for line in s.lines]
    judged = {
        where
        for where in bands(NAME)
        if not where[1].endswith(SHEET_COLUMN)
        and not (where[1].endswith("_off_four") and kind_of(where[1][8:-9]) in IN_WORDS)
    }
    assert len(shown) == len(set(shown))
    assert set(shown) == judged


def test_normal_and_limits_are_the_two_edges_of_the_band(whole):
    band = bands(NAME)["restrained-run-up", "drop_v_cell"]
    line = line_of(whole, "restrained-run-up", "drop_v_cell")
    low, high = (reading_told("drop_v_cell", x) for x in (band.low_inner, band.high_inner))
    assert line.normal == f"{low.value} … {high.amount}"
    low, high = (reading_told("drop_v_cell", x) for x in (band.low_outer, band.high_outer))
    assert line.limit == f"{low.value} … {high.amount}"
    assert str(band.builds) in line.source
    assert str(band.evenings) in line.source


def test_what_all_sound_aircraft_show_has_no_limits_and_yes_or_no_no_span(whole):
    assert line_of(whole, "people-and-room", "people_in_ring")[3:5] == ("no", "")
    assert line_of(whole, "people-and-room", "goggles_on")[3:5] == (EITHER, "")


def test_the_design_comes_from_the_airframe(whole, airframe):
    lines = {line.key: line for line in whole[0].lines}
    assert (whole[0].title, whole[0].check) == (DESIGN, None)
    assert lines["mass_kg"].normal == reading_told("mass_kg", airframe.mass_kg).amount
    current = reading_told("current_a", airframe.sheet.hover_current_a).amount
    assert lines["current_a"].normal == current
    heavier = airframe.model_copy(update={"mass_kg": 2.0 * airframe.mass_kg})
    assert sections(heavier, NAME)[0].lines[0].normal != lines["mass_kg"].normal


def test_an_aircraft_nobody_has_measured_has_its_design_alone(airframe):
    assert [s.title for s in sections(airframe, "nobody-measured-it")] == [DESIGN]


def test_what_was_read_stands_beside_it_at_all_four_corners(airframe):
    values = {
        f"{p}_no_load_a": 0.5 + i / 10
        for i, p in enumerate(("front_left", "front_right", "rear_right", "rear_left"))
    }
    reading = Reading("one-motor", values)
    line = line_of(
        sections(airframe, NAME, {"one-motor": reading}), "one-motor", "{place}_no_load_a"
    )
    assert line.read == "0.50  0.60  0.70  0.80 A"
    assert every_measure(values)["{place}_no_load_a"] == list(values.values())
    assert words_of(line.key, 0.5) == "current, no load, each corner"


def test_the_page_shows_it_sheet_by_sheet(tmp_path):
    window = TextWindow(tmp_path)
    window.hands().settle()
    window.strike("n")
    window.hands().settle()
    window.strike("9")
    window.frame()
    said = " ".join(window.canvas.lines())
    assert DESIGN in said
    assert window.app.ui.focus == "sheet:0"
    window.strike("]")
    window.frame()
    said = " ".join(window.canvas.lines())
    assert "People and room" in said
    assert "read: yes" in said
    assert "normal no" in said
    assert "Source: measured on" in said
    window.strike("[")
    window.frame()
    assert DESIGN in " ".join(window.canvas.lines())
    window.app.leave()
