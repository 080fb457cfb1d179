"""What somebody wishes of a drill: made, refused where it can't be, and where it gives itself away."""

from dataclasses import replace

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.textfile import dump_yaml
from sim.errors import InputError, Refusal
from sim.faults.catalogue import CATALOGUE
from sim.faults.severity import LIMIT_AT
from sim.maker.form import QUESTIONS, Form, answer, choices
from sim.maker.wish import Wish, drill_of, given_away, require_secret
from sim.session.scenario import HiddenFault
from sim.session.session import Session

TWO = ("pack-cold", "mag-hard-iron-offset")


def wish(**more):
    return Wish.model_validate({"title": "After the rain"} | more)


@pytest.mark.parametrize(
    ("more", "rung", "helping"),
    [
        ({}, 3, "none"),
        ({"faults": TWO[:1]}, 3, "none"),
        ({"faults": TWO}, 4, "none"),
        ({"families": ("power",), "count": 2}, 5, "none"),
        ({"faults": TWO[:1], "rung": 1}, 1, "shown"),
        ({"faults": TWO[:1], "rung": 2}, 2, "hints"),
        ({"faults": TWO[:1], "rung": 2, "help": "none"}, 2, "none"),
        ({"faults": TWO, "rung": 6}, 6, "none"),
    ],
)
def test_what_is_wished_is_in_it(more, rung, helping):
    drill = drill_of(wish(severity=0.6, needs=("power", "first-evening"), minutes=80.0, **more))
    assert (drill.rung, drill.helping, drill.careful_min) == (rung, helping, 80.0)
    assert drill.needs == ("power", "first-evening")
    assert tuple(fault.id for fault in drill.faults) == tuple(more.get("faults", ()))
    assert all(fault.severity == 0.6 for fault in drill.faults)
    assert (drill.draw is not None) is ("families" in more)
    hidden = Session(drill, 3).record().hidden
    assert len(hidden) == len(more.get("faults", ())) + more.get("count", 0)


def test_an_aircraft_of_ones_own_is_in_it_in_full(tmp_path, monkeypatch):
    own = library.airframe(library.TRAINER).model_copy(update={"name": "mine"})
    folder = tmp_path / "airframes"
    folder.mkdir()
    (folder / "mine.yaml").write_text(dump_yaml(own))
    for room in ("sim.session.scenario", "sim.maker.form", "sim.aircraft.library"):
        monkeypatch.setattr(f"{room}.own_airframes", lambda: folder)
    assert choices("airframe")[-1] == "mine"
    assert drill_of(wish(airframe="mine")).airframe == own
    form = Form({"title": "T", "airframe": "mine"})
    assert form.drill is not None
    assert form.drill.airframe == own


def test_a_range_is_drawn_from_by_the_seed_and_an_edge_is_the_middle():
    ranged = HiddenFault(id="pack-cold", severity=(0.3, 0.7))
    drawn = [ranged.drawn(np.random.default_rng(seed)) for seed in range(200)]
    assert 0.3 <= min(drawn) < 0.32
    assert 0.68 < max(drawn) <= 0.7
    edge = HiddenFault(id="pack-cold", severity="at-edge")
    plain = HiddenFault(id="pack-cold", severity=0.5)
    assert edge.drawn(np.random.default_rng(1)) == plain.drawn(np.random.default_rng(1)) > LIMIT_AT


def impossible():
    """Return (fault, airframe, site) of what can't be."""
    for airframe in library.names("airframes"):
        for site in library.names("sites"):
            world = drill_of(wish(airframe=airframe, site=site)).designed()
            for name, fault in CATALOGUE.items():
                if fault.cannot(world):
                    return name, airframe, site, fault.cannot(world)
    raise AssertionError("everything can be everywhere")


def test_what_cannot_be_there_is_refused_with_the_reason():
    fault, airframe, site, why = impossible()
    with pytest.raises(InputError) as told:
        drill_of(wish(faults=(fault,), airframe=airframe, site=site))
    assert why in str(told.value)
    form = Form({"title": "T", "faults": fault, "airframe": airframe, "site": site})
    assert form.drill is None
    assert why.rstrip(".") in form.said


def test_more_than_can_be_drawn_is_refused(monkeypatch):
    asked = wish(families=("power",), count=2)
    assert drill_of(asked).draw is not None
    nowhere = {
        name: replace(f, cannot=lambda world: "It is gone.") for name, f in CATALOGUE.items()
    }
    one = next(name for name, fault in CATALOGUE.items() if fault.family == "power")
    monkeypatch.setattr("sim.maker.wish.CATALOGUE", nowhere | {one: CATALOGUE[one]})
    with pytest.raises(InputError, match=r"count = 2: only 1 of these families"):
        drill_of(asked)


@pytest.mark.parametrize(
    ("more", "found"),
    [
        ({"title": "A cold evening"}, {"title": ("cold",)}),
        ({"story": "It sat in the packing room."}, {"story": ("packing",)}),
        ({"story": "Nobody knows it."}, {}),
    ],
)
def test_words_that_give_it_away(more, found):
    one = wish(faults=("pack-cold",), **more)
    assert given_away(one) == found
    if found:
        [(key, [word])] = found.items()
        with pytest.raises(Refusal, match=f"The {key} gives away what is hidden.*“{word}”"):
            require_secret(one)
    else:
        require_secret(one)


def test_what_may_be_drawn_is_kept_too_and_so_is_the_name_of_the_file():
    assert given_away(wish(families=("power",), story="The pack is new."))
    assert given_away(wish(faults=("pack-cold",)), "the-cold-one") == {"file": ("cold",)}
    assert not given_away(wish(story="The pack is cold."))  # a sound aircraft has nothing to hide


# --- the answers -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("title", " After the rain ", "After the rain"),
        ("story", "", ...),
        ("faults", "pack-cold,mag-hard-iron-offset", TWO),
        ("families", "power, radio", ("power", "radio")),
        ("count", "4", 4),
        ("severity", "0.3", 0.3),
        ("severity", "0.3-0.7", (0.3, 0.7)),
        ("severity", "0.3..0.7", (0.3, 0.7)),
        ("severity", "At the edge", "at-edge"),
        ("severity", "at-edge", "at-edge"),
        ("airframe", "", ...),
        ("rung", "6", 6),
        ("help", "hints", "hints"),
        ("minutes", "90", 90.0),
        ("needs", "first-evening", ("first-evening",)),
    ],
)
def test_an_answer(key, text, value):
    assert answer(key, text) == value


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        ("title", "  ", "can't be left empty"),
        ("title", "a\u202e", "U+202E"),
        ("title", "a" * 81, "at most 80 letters"),
        ("faults", "pack-cald", "nearest: pack-cold"),
        ("families", "motors", "is not known"),
        ("count", "5", "at most 4"),
        ("count", "0", "at least 1"),
        ("count", "two", "a number"),
        ("severity", "1.1", "at most 1"),
        ("severity", "-1", "a number, a range"),
        ("severity", "0.7-0.3", "from less to more"),
        ("severity", "0.3-1.7", "at most 1"),
        ("severity", "bad", "a number, a range"),
        ("severity", "nan", ""),
        ("airframe", "trainer-254", "nearest: trainer-254mm"),
        ("rung", "7", "at most 6"),
        ("help", "lots", "shown, hints, none"),
        ("minutes", "0", "more than 0"),
        ("minutes", "inf", ""),
        ("needs", "first-evning", "nearest: first-evening"),
    ],
)
def test_an_answer_that_cannot_be(key, text, says):
    with pytest.raises(ValueError, match=r".") as told:
        answer(key, text)
    assert says in str(told.value)


def test_the_form_follows_what_is_ticked():
    form = Form({"title": "After the rain"})
    assert form.drill is not None
    form.tick("faults", "pack-cold")
    form.tick("faults", "mag-hard-iron-offset")
    assert form.ticked("faults") == TWO
    assert form.drill.rung == 4
    form.tick("faults", "pack-cold")
    assert form.drill.rung == 3
    form.write("rung", "9")
    assert [form.drill, form.open_] == [None, "rung"]
    assert "at most 6" in form.wrong("rung")
    form.write("rung", "5")
    assert form.drill is not None
    form.write("families", "power")
    form.write("rung", "3")
    assert form.drill is None
    assert form.said == "Rung must be 5 where faults are drawn."
    form.write("rung", "")
    form.write("story", "The pack is new.")
    assert form.drill is not None
    assert form.away == ("The story gives away what is hidden: say it without “pack”.",)
    form.write("title", "")
    assert [form.drill, form.open_] == [None, "title"]
    assert form.away


def test_every_question_is_about_a_wish_and_each_of_its_keys_is_asked():
    assert {question.key for question in QUESTIONS} == set(Wish.model_fields) - {"purpose"}
    for question in QUESTIONS:
        for name in choices(question.key)[:2]:
            answer(question.key, name)
