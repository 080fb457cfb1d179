"""Which checks were worth doing before each act of a run, by what had been read till then. Pure."""

from sim.bench.check import Stance
from sim.bench.checklist import CHECKS
from sim.keys import CheckKey
from sim.scoring.case import Case
from sim.scoring.information import WORTH_BITS
from sim.scoring.search import Searching, Weighing, stance_at_start, stance_of

Offers = tuple[tuple[CheckKey, ...], ...]


def worth_doing(case: Case, by: Weighing) -> Offers:
    """Return for every act of a run the checks worth doing just before it, the best first.

    Those without propellers come before all others; among both what is expected to tell most a
    minute. Before an act that was refused, or done after the first takeoff, there are none.
    by : of the run's measured tables.
    """
    now = Searching(by)
    stance = stance_at_start(case)
    found: list[tuple[CheckKey, ...]] = []
    at = 0
    holding: frozenset[CheckKey] = frozenset()
    for event in case.record.events:
        if event.refused is not None or not case.before_takeoff(event):
            found.append(())
            continue
        now.keep(holding)
        found.append(_in_order(now, stance))
        check, values = case.readings.get(at, (None, {}))
        if check in by.sights:
            now.saw(check, values)
        now.did(event.action)
        at, holding, stance = at + 1, event.facts, stance_of(event.conduct)
    return tuple(found)


def _in_order(now: Searching, stance: Stance) -> tuple[CheckKey, ...]:
    worth = [one for one in now.gains(stance).values() if one.bits >= WORTH_BITS]
    worth.sort(key=lambda one: (CHECKS[one.check].stance.props, -one.a_minute, one.check))
    return tuple(one.check for one in worth)
