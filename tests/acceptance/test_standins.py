"""The stand-ins over the shipped drills: the counts asked for, run on two processes."""

import multiprocessing
from concurrent.futures import ProcessPoolExecutor
from functools import cache

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.runs import rehearse
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import HiddenFault, Scenario, load, names
from sim.trainees.standins import Attempt

FAULTS: dict[str, FaultId] = {
    "first-evening": "pitch-channel-reversed",
    "club-loaner": "mag-hard-iron-offset",
    "second-hand": "rate-gain-high",
    "spare-from-the-shelf": "pack-high-resistance",
}
VISITOR: FaultId = "person-in-ring"
SOUND = "quiet-morning"
REFUSED = [d for d in names() if load(d).lacking]  # a wise refusal: tests/scoring
OTHERS = sorted(set(names()) - {*FAULTS, SOUND, *REFUSED})
DANGEROUS_DRILLS = [d for d in names() if any(shipped().dangerous(f.id) for f in load(d).faults)]
each_drill = pytest.mark.parametrize("drill", FAULTS)
few_or_all = pytest.mark.parametrize("count", [5, pytest.param(20, marks=pytest.mark.slow)])
one_or_some = pytest.mark.parametrize("count", [1, pytest.param(5, marks=pytest.mark.slow)])


@pytest.fixture(scope="module")
def cards():
    """Return the scorecards of a stand-in at a drill, each worked out once."""
    context = multiprocessing.get_context("spawn")  # fork and threads do not go together
    with ProcessPoolExecutor(max_workers=2, mp_context=context) as pool:

        @cache
        def begun(drill, stand_in, seed):
            scenario = drill if isinstance(drill, Scenario) else load(drill)
            return pool.submit(rehearse, Attempt(scenario, stand_in, seed), "drill", None)

        def made(drill, stand_in, count):
            futures = [begun(drill, stand_in, seed) for seed in range(count)]
            return [future.result() for future in futures]

        yield made


def hiding(*faults: FaultId) -> Scenario:
    return Scenario(
        title="Made for a test",
        purpose="Testing",
        origin="invented",
        faults=tuple(HiddenFault(id=fault) for fault in faults),
    )


@few_or_all
@each_drill
def test_careful_clears_every_fault_drill(cards, drill, count):
    good = 0
    for card in cards(drill, "careful", count):
        rungs = {f["id"]: f for f in card["faults"]}
        hidden = rungs[FAULTS[drill]]
        full = hidden["noticed"], hidden["named"], hidden["cleared"], hidden["proved"]
        there = {FAULTS[drill]} | ({VISITOR} if load(drill).visitor_in_ring else set())
        good += (
            card["verdict"] == CLEARED and full == (True, 1.0, True, True) and set(rungs) == there
        )
    assert good >= 0.95 * count


@few_or_all
def test_careful_raises_no_false_alarm_on_a_sound_aircraft(cards, count):
    made = cards(SOUND, "careful", count)
    assert sum(not card["false_squawks"] for card in made) >= 0.95 * count
    assert sum(card["verdict"] == CLEARED for card in made) >= 0.95 * count


def proved_alone(card):
    """Tell whether every fault of a card was hidden, noticed, named, cleared and proved.

    One that came up on the way must come of a hidden one; cleared and proved is enough for it.
    """
    hidden = {f["id"] for f in card["faults"] if f["present_at_start"]}
    companions = set().union(*(CATALOGUE[fault].also for fault in hidden))
    later = [f for f in card["faults"] if f["id"] not in hidden]
    rungs = ("noticed", "named", "cleared", "proved")
    return (
        all(f[rung] == 1 for f in card["faults"] if f["id"] in hidden for rung in rungs)
        and all(f["cleared"] and f["proved"] for f in later)
        and {f["id"] for f in later} <= companions
    )


@one_or_some
@pytest.mark.parametrize("drill", OTHERS)
def test_careful_clears_every_other_drill(cards, drill, count):
    for card in cards(drill, "careful", count):
        assert card["verdict"] == CLEARED
        assert proved_alone(card)
        assert {hidden.id for hidden in load(drill).faults} <= {f["id"] for f in card["faults"]}


@pytest.mark.slow
@pytest.mark.parametrize("fault", sorted(CATALOGUE))
def test_careful_clears_each_of_the_catalogue(cards, fault):
    """Only what the fault trips beside itself, by its entry, may be scored with it."""
    (card,) = cards(hiding(fault), "careful", 1)
    proved = {f["id"] for f in card["faults"] if f["proved"]}
    assert card["verdict"] == CLEARED
    assert fault in proved
    assert proved <= {fault, *CATALOGUE[fault].also}


@one_or_some
def test_careful_clears_four_faults_at_once(cards, count):
    for card in cards(hiding(*FAULTS.values()), "careful", count):
        assert card["verdict"] == CLEARED
        assert {f["id"] for f in card["faults"] if f["proved"]} == set(FAULTS.values())


@pytest.mark.slow
@pytest.mark.parametrize("stand_in", ["hasty", "hunch", "oracle"])
@pytest.mark.parametrize("fault", sorted(CATALOGUE))
def test_every_stand_in_comes_to_an_end_with_each_of_the_catalogue(cards, fault, stand_in):
    (card,) = cards(hiding(fault), stand_in, 1)
    assert fault in {f["id"] for f in card["faults"] if f["present_at_start"]}
    if stand_in == "oracle":
        assert card["verdict"] == CLEARED
    if stand_in == "hasty" and shipped().dangerous(fault):
        assert card["verdict"] != CLEARED


@one_or_some
@pytest.mark.parametrize("drill", DANGEROUS_DRILLS)
def test_hasty_never_gets_past_a_dangerous_drill(cards, drill, count):
    assert all(card["verdict"] != CLEARED for card in cards(drill, "hasty", count))


@few_or_all
@each_drill
def test_hasty_never_gets_past_a_core_drill(cards, drill, count):
    assert sum(card["verdict"] == CLEARED for card in cards(drill, "hasty", count)) == 0


@pytest.mark.parametrize("count", [4, pytest.param(20, marks=pytest.mark.slow)])
def test_clicker_never_passes(cards, count):
    made = [card for drill in (*FAULTS, SOUND) for card in cards(drill, "clicker", count)]
    assert len(made) == 5 * count
    assert sum(card["verdict"] == CLEARED for card in made) == 0


@few_or_all
@each_drill
def test_points_tell_careful_from_hasty(cards, drill, count):
    """Known groups (training design D1): AUC = U / n1 n2, here 1."""
    careful, hasty = (
        [card["points"] for card in cards(drill, who, count)] for who in ("careful", "hasty")
    )
    above = sum((c > h) + 0.5 * (c == h) for c in careful for h in hasty)
    assert above / count**2 == 1.0


@each_drill
def test_oracle_clears_and_hunch_ranks_below_careful(cards, drill):
    assert all(card["verdict"] == CLEARED for card in cards(drill, "oracle", 3))
    hunch, careful = (
        sum(card["points"] for card in cards(drill, who, 5)) for who in ("hunch", "careful")
    )
    assert hunch < careful
