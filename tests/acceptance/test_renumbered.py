"""The trainer with other numbers is flown by the same rules: nothing in them is the trainer's.

Two of them: 0.9 kg on 8-inch propellers and four cells, 2.4 kg on 13-inch ones and six. The slow
tests first measure what sound aircraft like them show, five minutes of one core each.
"""

from functools import cache

import pytest

from sim.aircraft.airframe import Airframe
from sim.bench.evidence import has_tables
from sim.diagnosis import own, readings
from sim.diagnosis.flown import flown
from sim.diagnosis.pool import cores, on_cores
from sim.keys import FaultId
from sim.reproduce.words.flight import Flight
from sim.runs import rehearse
from sim.scoring.scorecard import CLEARED
from sim.session import scenario
from sim.session.scenario import Scenario
from sim.trainees.standins import Attempt
from tests.renumbered import HEAVIER, LIGHTER, Numbers, renumbered

OTHERS = pytest.mark.parametrize("numbers", [LIGHTER, HEAVIER], ids=["lighter", "heavier"])
CORE = ("first-evening", "club-loaner", "second-hand", "spare-from-the-shelf")
SOUND = "quiet-morning"
SEEDS = (1, 2)
HEIGHT_M = 1.0  # m; design: the hop
SETTLED_S = 4.0  # s; own: lifted and steady


@cache
def other(numbers: Numbers) -> Airframe:
    return renumbered(numbers)


def on(name: str, airframe: Airframe) -> Scenario:
    return scenario.load(name).model_copy(update={"airframe": airframe, "site": ""})


def steered(airframe: Airframe, fault: FaultId | None) -> Flight:
    flight, _ = flown(readings.Unscored(readings.drill(fault, 1.0, airframe), 1))
    assert isinstance(flight, Flight)
    return flight


@OTHERS
def test_it_is_lifted_steered_and_set_down_and_a_reversed_channel_is_cut(numbers):
    airframe = other(numbers)
    sound = steered(airframe, None)
    assert not sound.had_to_cut
    assert sound.off_s is not None
    assert sound.land_s is not None
    times_s = sound.track["time_s"]
    up = (times_s > sound.off_s + SETTLED_S) & (times_s < sound.land_s)
    assert sound.track["height_m"][up].mean() == pytest.approx(HEIGHT_M, abs=0.05)  # of its middle
    throttle = sound.track["stick_throttle"][up].mean()
    assert throttle == pytest.approx(
        airframe.sheet.hover_throttle, abs=0.03
    )  # the pack sags a little
    assert steered(airframe, "pitch-channel-reversed").had_to_cut


@pytest.mark.slow
@OTHERS
def test_careful_clears_the_core_drills(numbers):
    airframe = other(numbers)
    if not has_tables(airframe):
        with on_cores(cores(), readings.load_model) as spread:
            own.measure(spread, airframe)
    tries = [(name, seed) for name in (*CORE, SOUND) for seed in SEEDS]
    cards = {
        one: rehearse(Attempt(on(one[0], airframe), "careful", one[1]), one[0], None)
        for one in tries
    }
    left = {
        one: (card["verdict"], card["points"], card["faults"], card["false_squawks"])
        for one, card in cards.items()
        if card["verdict"] != CLEARED
    }
    assert not left
