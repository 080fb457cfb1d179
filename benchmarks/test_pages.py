"""How long the debrief of a long evening takes to write. Run with `--benchmark-enable`."""

import pytest

from sim.pages.debrief import write
from sim.runs import card_of
from sim.session import actions as act
from sim.session import scenario
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.standins import Attempt

pytestmark = pytest.mark.bench
LONG_MIN = 100.0  # min of the evening; design
MOST_S = 3.0  # s; design: nobody waits for it while the pack cools
DRILL, SEED = "garden-shed", 7
AGAIN = 12  # own: two minutes each, and as many readings more to be weighed


@pytest.fixture(scope="module")
def evening():
    """Return (record, scorecard) of the careful at a long drill, who look twelve times before they begin."""
    drill = scenario.load(DRILL)
    session = Session(drill, SEED)
    for _ in range(AGAIN):
        session.do(act.Read(check="look-and-tug"))
    Attempt(drill, "careful", SEED).perform(Hands(session, session))
    record = session.record()
    return record, card_of(record, "careful", DRILL)


def test_the_debrief_of_a_long_evening(benchmark, evening, tmp_path):
    record, card = evening
    assert record.minutes >= LONG_MIN
    assert record.takeoff_s is not None
    benchmark.pedantic(write, (record, card, tmp_path), rounds=3, warmup_rounds=1)
    assert benchmark.stats.stats.median <= MOST_S
