"""The debrief tells what could be known when, opens the run there, and the drill to practise next."""

from pathlib import Path

import pytest

from sim.window.canvas import TextCanvas
from sim.window.screens.debrief import Debrief, Leads
from tests.window.screens.person import KeyPerson
from tools.labels import shown
from tools.samples.after import FOLDER, SAID, came_to
from tools.samples.drill import DRILL


@pytest.fixture
def led():
    return []


@pytest.fixture
def screen(app, led):
    """Return the debrief of a stand-in that found everything and forgot the stop switch."""
    card, told = came_to("partial-75")
    leads = Leads(
        lambda: led.append(("home",)),
        lambda: led.append(("again",)),
        lambda name: led.append(("practise", name)),
        lambda back, folder, act: led.append(("watch", folder, act)),
        lambda folder: led.append(("page", folder)),
    )
    made = Debrief(card, FOLDER, leads, told, SAID)
    app.go(made)
    return made


@pytest.fixture
def person(app, screen):
    return KeyPerson(app)


def whole(app, screen):
    return " ".join(shown(app, screen, TextCanvas(1280, 30_000)).lines())


def act_of(screen, name):
    return next(one.act for one in screen.told.faults if one.id == name)


def test_the_story_has_own_words_symptom_cause_check_fix_and_proof(app, screen):
    words = whole(app, screen)
    fault = next(one for one in screen.told.faults if one.id == "pitch-channel-reversed")
    assert words.index(SAID.plus[0]) < words.index(SAID.delta[0]) < words.index("Unsafe acts")
    assert f"from {fault.when} in “{fault.check}”, line “{fault.line}”" in words
    for part in (fault.cue, fault.came, fault.cause, fault.air, fault.proofs[0], fault.fixes[0]):
        assert part in words
    for part in ("Squawks, and why they were so or not", "The best check you made", "On the real"):
        assert part in words
    assert screen.told.practise.words in words
    assert screen.told.search.beside in words
    assert all(line in words for line in screen.told.search.known)


def test_from_a_fault_the_run_opens_where_it_was_first_shown(person, screen, led):
    person.press("watch-pitch-channel-reversed")
    assert led == [("watch", FOLDER, act_of(screen, "pitch-channel-reversed"))]


def test_from_a_line_of_the_evening_the_run_opens_there(person, screen, led, app):
    person.strike("]")
    person.frame()
    assert "From here on it could be seen: pitch channel reversed." in " ".join(person.said.split())
    person.to("moment:0")
    person.strike("down", "return")
    assert led == [("watch", FOLDER, screen.told.timeline[1].act)]
    at = next(i for i, one in enumerate(screen.told.timeline) if "pitch" in str(one.shown))
    assert screen.told.timeline[at].act == act_of(screen, "pitch-channel-reversed")
    person.strike("[")
    assert screen.sheet == 0


def test_the_pointer_opens_it_as_well(person, screen, led, app):
    person.strike("]")
    person.frame()
    at = app.ui.node("moment:2").rect.centre
    person.frame(pointer=at, pressed=True, down=True)
    person.frame(pointer=at, released=True)
    assert led == [("watch", FOLDER, screen.told.timeline[2].act)]


def test_it_leads_to_the_drill_to_practise_and_to_the_page(person, led):
    person.strike("p")
    person.press("practise")
    person.strike("f3")
    assert led == [("practise", DRILL), ("practise", DRILL), ("page", FOLDER)]


def test_what_is_not_saved_can_not_be_watched(app, screen):
    from tools.samples.sheets import FULL, drill_stood

    unsaved = Debrief(screen.card, drill_stood(FULL), screen.leads, screen.told)
    shown(app, unsaved, TextCanvas(1280, 30_000))
    ids = {node.id for node in app.ui.tree}
    assert not [name for name in ids if name.startswith(("watch-", "moment"))]
    assert not app.ui.node("open-page").enabled
    unsaved.sheet = 1
    words = shown(app, unsaved, TextCanvas(1280, 30_000)).lines()
    assert not [node.id for node in app.ui.tree if node.id.startswith("moment")]
    assert "minute 0" in words
    assert Path("runs") in FOLDER.parents
