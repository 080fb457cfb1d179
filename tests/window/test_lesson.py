"""One thing to practise next: what weighs most comes first, and the drill for it is not a harder one."""

import pytest

from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.scoring.knowable import Chance, Cue, Known
from sim.window.lesson import Offered, lesson, offered

DRILLS = (
    Offered("a-first", "A first", 1, frozenset({"pack-high-resistance"}), frozenset({"power"})),
    Offered("b-weak", "B weak", 2, frozenset({"pack-cell-weak"}), frozenset({"power"})),
    Offered("c-same", "C same", 3, frozenset({"pack-high-resistance"}), frozenset({"power"})),
    Offered("d-sound", "D sound", 3, frozenset(), frozenset()),
    Offered("e-up", "E up", 4, frozenset({"pack-high-resistance"}), frozenset({"power"})),
)
GRAVE = {"id": "no-goggles", "critical": True}


def card(*faults, scenario="c-same", hazards=(), false=()):
    return {
        "scenario": scenario,
        "faults": list(faults),
        "hazards": list(hazards),
        "false_squawks": list(false),
    }


def fault(**steps):
    return {"id": "pack-high-resistance", "proved": True, "cleared": True, **steps}


def known(first=None, named=None, chances=()):
    return Known("pack-high-resistance", first, named, None, tuple(chances), frozenset(), False)


def cue():
    band = Band("pack-at-rest", "cell_v", 3.0, 3.1, 3.2, 3.3, 3.4, 99, 0)
    return Cue(0, 3.0, "pack-at-rest", "cell_v", 1.0, False, band, "below", True)


def test_a_grave_act_comes_before_all_and_is_the_same_drill_again():
    said = lesson(card(fault(proved=False), hazards=[GRAVE]), 3, [known(cue())], DRILLS)
    assert said.words.startswith("Safety before speed")
    assert (said.drill, said.title) == ("c-same", "C same")


def test_what_was_passed_over_is_met_again_by_name_on_no_higher_rung():
    said = lesson(card(fault()), 3, [known(cue())], DRILLS)
    assert said.words.startswith("Read each line of “")
    assert said.drill == "a-first"
    alone = [d for d in DRILLS if d.name not in ("a-first",)]
    assert lesson(card(fault()), 3, [known(cue())], alone).drill == "c-same"
    family = [d for d in DRILLS if d.name in ("b-weak", "e-up")]
    assert lesson(card(fault()), 3, [known(cue())], family).drill == "b-weak"
    assert lesson(card(fault()), 1, [known(cue())], family) == (said.words, "", "")


def test_a_check_that_was_never_read_is_told_with_its_minutes():
    said = lesson(card(fault()), 3, [known(chances=[Chance("pack-at-rest", 0.9, 1.0)])], DRILLS)
    assert said.words.endswith("part of every evening: 1 minute.")
    assert said.drill == "a-first"
    long = lesson(
        card(fault()), 3, [known(chances=[Chance("restrained-run-up", 0.9, 1.0)])], DRILLS
    )
    assert long.words.endswith(f"{CHECKS['restrained-run-up'].minutes:g} minutes.")


@pytest.mark.parametrize(
    ("step", "begins"), [("proved", "After a change"), ("cleared", "Do not leave")]
)
def test_a_step_left_out_is_told(step, begins):
    said = lesson(card(fault(**{step: False})), 3, [known(cue(), 3.0)], DRILLS)
    assert said.words.startswith(begins)
    assert said.drill == "a-first"


def test_false_squawks_lead_to_a_sound_aircraft_and_a_good_run_up_the_ladder():
    said = lesson(card(fault(), false=[{}]), 3, [known(cue(), 3.0)], DRILLS)
    assert (said.words[:16], said.drill) == ("Before a squawk,", "d-sound")
    assert lesson(card(fault()), 3, [known(cue(), 3.0)], DRILLS).drill == "e-up"
    assert lesson(card(fault()), 4, [known(cue(), 3.0)], DRILLS).drill == "a-first"


def test_up_the_ladder_a_drill_that_waits_for_nothing_else_comes_first():
    waits = Offered("d-waits", "D waits", 4, frozenset(), frozenset(), frozenset({"b-weak"}))
    follows = Offered("f-on", "F on", 4, frozenset(), frozenset(), frozenset({"c-same"}))
    good = card(fault()), 3, [known(cue(), 3.0)]
    assert lesson(*good, (waits, follows)).drill == "f-on"
    assert lesson(*good, (waits,)).drill == "d-waits"


def test_the_shipped_drills_serve():
    drills = offered()
    assert {d.rung for d in drills} >= {1, 2, 3, 4, 5}
    assert [d for d in drills if not d.families]
    assert list(drills) == sorted(drills, key=lambda d: (d.rung, d.name))
