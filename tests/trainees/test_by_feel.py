"""A lively first hop, gains lowered, a quiet second: the evening goes on, and the card tells it apart."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.bench.evidence import measured
from sim.procedure.rubric import shipped
from sim.scoring.refusal import STAY
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session.actions import Action, Finish, RemoveProps, Set, Squawk
from sim.session.record import Outcome
from sim.session.scenario import HiddenFault, Scenario, load
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.hop import SHAKE_RAD, SHAKES_S, Lively
from sim.trainees.pilot import PERIOD_S
from sim.trainees.standins import STAND_INS, Attempt, rehearsed

GAIN = "rate-gain-high"


def carded(record):
    return scorecard(record, "x", "twice-round", shipped(), measured(record.scenario.airframe))


@pytest.fixture(scope="module")
def evening():
    return rehearsed(Attempt(load("twice-round"), "by-feel", 1))


def shake_deg_s(record, hop):
    """Return the rms change of the roll rate in a hundredth of a second, deg/s: restless air is slower."""
    track = record.track
    up = (track["time_s"] > hop.takeoff_s) & (track["time_s"] < hop.over_s)
    high = up & (track["height_m"] > 0.5)
    return float(np.degrees(np.std(np.diff(track["roll_rate_rad_s"][high]))))


def test_it_lands_lowers_the_gains_and_hops_again(evening):
    first, second = evening.hops
    assert GAIN in first.present
    assert second.present == frozenset()
    assert first.over_s - first.takeoff_s < 15.0
    assert second.over_s - second.takeoff_s > 45.0
    assert shake_deg_s(evening, first) > 5.0 * shake_deg_s(evening, second)
    later = [e.action for e in evening.events if e.tick * 0.001 > first.over_s and not e.refused]
    lowered = next(i for i, a in enumerate(later) if isinstance(a, Set))
    off = next(i for i, a in enumerate(later) if isinstance(a, RemoveProps))
    said = next(i for i, a in enumerate(later) if isinstance(a, Squawk))
    assert off < said < lowered


def test_the_card_tells_it_apart(evening):
    card = carded(evening)
    assert card["verdict"] == STAY  # it left the floor with a fault aboard
    assert card["air"]["landed_at_first_doubt"]
    (found,) = card["air"]["found"]
    assert found == {
        "id": GAIN,
        "flew": True,
        "named": True,
        "felt": True,
        "cleared": True,
        "proved": True,
    }
    assert not any(h.critical for h in evening.hazards)


class Landed(Exception):
    """The first hop is over."""


class OneHop(Hands):
    """Hands that do nothing more once they have landed."""

    def do(self, action: Action) -> Outcome:
        """Do one thing, unless a hop is over."""
        if self.see().hops == 1 and self.see().phase == "pad":
            raise Landed
        return super().do(action)


def test_the_second_hop_earned_nothing(evening):
    """The same evening ended after the first hop has the same points, hop and faults."""
    once = Attempt(load("twice-round"), "by-feel", 1)
    session = Session(once.scenario, once.seed)
    with pytest.raises(Landed):
        STAND_INS["by-feel"](OneHop(session, session), once.scenario, once.rng())
    session.do(Finish())
    one, two = carded(session.record()), carded(evening)
    for key in ("points", "verdict", "parts", "faults", "hop"):
        assert one[key] == two[key], key


def test_on_a_quiet_aircraft_it_hops_once_and_is_cleared():
    record = rehearsed(Attempt(load("quiet-morning"), "by-feel", 2))
    assert len(record.hops) == 1
    assert carded(record)["verdict"] == CLEARED


def test_other_faults_are_found_on_the_bench_as_ever():
    drill = Scenario(
        title="Made for a test",
        purpose="Testing",
        origin="invented",
        faults=(HiddenFault(id="pitch-channel-reversed"),),
    )
    assert carded(rehearsed(Attempt(drill, "by-feel", 1)))["verdict"] == CLEARED


def leaning(roll_rad: float) -> Any:
    """Return as much of a view as is felt."""
    return SimpleNamespace(aircraft=SimpleNamespace(roll_rad=roll_rad, pitch_rad=0.0))


@pytest.mark.parametrize(
    ("hz", "rms_deg", "doubts"),
    [(16.0, 0.060, True), (16.0, 0.012, False), (0.5, 1.5, False)],
)
def test_a_shake_is_felt_and_a_slow_sway_is_not(hz, rms_deg, doubts):
    feel = Lively()
    for i in range(round((SHAKES_S + 0.5) / PERIOD_S)):
        lean = np.radians(rms_deg) * np.sqrt(2.0) * np.sin(2.0 * np.pi * hz * i * PERIOD_S)
        feel.doubts(leaning(float(lean)))
    assert feel.doubtful is doubts
    bend = 2.0 * (1.0 - np.cos(2.0 * np.pi * hz * PERIOD_S)) * np.radians(rms_deg)
    assert bool(bend > SHAKE_RAD) is doubts
