"""What a search was worth, against loops over a few fault sets, and the habits it shows."""

from dataclasses import replace
from itertools import combinations
from math import prod

import numpy as np
import pytest

from sim.bench.bands import Band
from sim.bench.check import Stance
from sim.bench.checklist import CHECKS
from sim.bench.evidence import Measured
from sim.bench.moves import Move, by_measure
from sim.bench.reading import Reading
from sim.keys import CheckKey, FaultId
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.faultsets import BY_SIZE
from sim.scoring.findings import (
    again_for_nothing,
    changed_blind,
    dearest,
    named_early,
    stuck,
)
from sim.scoring.information import gain_bits
from sim.scoring.search import (
    Gain,
    Searching,
    Weighing,
    _further,
    _likeliest,
    best_of,
    ideal_path,
    searched,
)
from sim.scoring.sights import INSIDE, OUT, PLAIN, likelihood, sights_of
from sim.scoring.way import AT_THE_BENCH, way_min
from sim.session import actions as act
from sim.session.record import Event
from tests.scoring.conftest import READY

WEIGH: CheckKey = "weigh-and-balance"
PACK: CheckKey = "pack-at-rest"
TUG: CheckKey = "look-and-tug"
POWER: dict[tuple[FaultId, CheckKey, str], float] = {
    ("over-mass", WEIGH, "mass_kg"): 0.9,
    ("pack-strap-loose", WEIGH, "mass_kg"): 0.4,
    ("cg-offset", WEIGH, "ahead_mm"): 0.8,
    ("pack-cold", PACK, "cell_v"): 0.7,
    ("pack-strap-loose", TUG, "pack_moves_mm"): 0.95,
}
FAULTS = tuple(dict.fromkeys(fault for fault, _, _ in POWER))
EDGES = (-4.0, -2.0, 0.0, 2.0, 4.0)
SOUND, DOUBTFUL, FAR = 0.5, 3.0, 9.0
FALSE = 0.025  # beyond one inner edge, by what an inner edge is


def tables() -> Measured:
    bands = {(c, m): Band(c, m, *EDGES, 200, 60) for _, c, m in POWER}
    moves = [Move(f, c, m, "above", p, 2.0, 2.0) for (f, c, m), p in POWER.items()]
    return Measured(bands, by_measure(moves))


BY = Weighing(tables())
MEASURES = {c: sorted({m for _, of, m in POWER if of == c}) for c in (WEIGH, PACK, TUG)}


@pytest.fixture
def run(record):
    """Return what makes a search of acts: a check with its values, or another action."""

    def made(*acts, there=frozenset({"over-mass"})):
        whole = record(set(there), looked_first=False, answered=False)
        events: list[Event] = []
        facts: frozenset[CheckKey] = frozenset()
        for minute, one in enumerate(acts):
            reading, action = None, one
            if isinstance(one, tuple):
                check, *values = one
                read = dict(zip(MEASURES[check], values, strict=True))
                action, reading = act.Read(check=check), Reading(check, read)
                facts = facts | {check}
            if isinstance(one, act.Swap):
                facts = frozenset()
            changed = isinstance(one, act.Swap)
            events.append(
                Event(0, "bench", action, None, reading, there, READY, changed, minute, facts)
            )
        case = Case(replace(whole, events=tuple(events)), shipped(), tables())
        return searched(case, BY)

    return made


def subsets():
    for size in range(4):
        yield from (frozenset(one) for one in combinations(FAULTS, size))


def by_hand(check: CheckKey, *values: float) -> dict[FaultId, float]:
    """Return the chance of each fault after one reading, in a loop over the sets."""
    counts = [sum(1 for s in subsets() if len(s) == n) for n in range(4)]
    weights = {}
    for one in subsets():
        weight = BY_SIZE[len(one)] / counts[len(one)]
        for measure, value in zip(MEASURES[check], values, strict=True):
            powers = {f: POWER.get((f, check, measure), 0.0) for f in one}
            out = 1.0 - (1.0 - FALSE) * prod(1.0 - p for p in powers.values())
            weight *= out if value > EDGES[3] else 1.0 - out
        weights[one] = weight
    total = sum(weights.values())
    return {f: sum(w for s, w in weights.items() if f in s) / total for f in FAULTS}


def test_a_reading_inside_weighs_as_in_a_plain_loop(run):
    search = run((WEIGH, SOUND, SOUND))
    wanted = by_hand(WEIGH, SOUND, SOUND)
    for fault, place in zip(FAULTS, search.by.index(FAULTS), strict=True):
        assert search.believed[1][place] == pytest.approx(wanted[fault], rel=1e-9)


def test_of_three_ways_to_lie_each_set_gives_chances_with_a_sum_of_one():
    (sight,) = [s for s in BY.sights[PACK]]
    whole = sum(likelihood(BY.sets, sight, state) for state in (INSIDE, OUT, PLAIN))
    assert whole == pytest.approx(np.ones(len(BY.sets.chances)))


def test_outside_speaks_for_a_fault_and_plainly_outside_more(run):
    place = BY.index(["pack-cold"])[0]
    chances = [run((PACK, value)).believed[1][place] for value in (SOUND, DOUBTFUL, FAR)]
    before = BY.sets.marginals()[place]
    assert chances[0] < before < chances[1] < chances[2]
    assert chances[2] > 0.97


def test_the_same_reading_again_says_nothing_new_but_one_further_out_does(run):
    place = BY.index(["pack-cold"])[0]
    once = run((PACK, DOUBTFUL)).believed[-1][place]
    assert run((PACK, DOUBTFUL), (PACK, DOUBTFUL)).believed[-1][place] == pytest.approx(once)
    assert run((PACK, DOUBTFUL), (PACK, SOUND)).believed[-1][place] == pytest.approx(once)
    further = run((PACK, DOUBTFUL), (PACK, FAR)).believed[-1][place]
    assert further == pytest.approx(run((PACK, FAR)).believed[-1][place])


def test_a_swap_of_what_a_fault_is_cured_by_moves_its_weight_away(run):
    place = BY.index(["pack-strap-loose"])[0]
    before, *_, after = run((TUG, FAR), act.Swap(part="pack-strap")).believed[1:]
    assert before[place] > 0.97
    assert after[place] == pytest.approx(
        0.98 * 0.15 * before[place] + 0.02 * BY.sets.marginals()[place]
    )


def test_what_a_check_is_expected_to_tell_is_the_gain_of_its_outcomes():
    power = np.array([POWER.get((f, PACK, "cell_v"), 0.0) for f in BY.faults])
    few = BY.sets.sizes <= 2
    out = 1.0 - (1.0 - FALSE) * BY.sets.all_in(1.0 - power)[few]
    wanted = gain_bits(BY.sets.chances[few], np.column_stack([out, 1.0 - out]))
    assert BY.bits(BY.sets)[PACK] == pytest.approx(wanted, abs=1e-5)


def test_where_three_at_once_are_likely_they_are_weighed():
    three = BY.sets.given((BY.sets.sizes == 3) + 1e-9)
    bits = BY.bits(three)
    assert all(0.0 < gain < 2.0 for gain in bits.values())


def test_the_best_check_has_no_regret_and_another_has_what_it_lacks(run):
    gains = Searching(BY).gains(AT_THE_BENCH)
    best = max(gains.values(), key=lambda one: one.a_minute)
    values = [SOUND] * len(MEASURES[best.check])
    assert run((best.check, *values)).steps[0].regret == pytest.approx(0.0)
    worst = min(gains.values(), key=lambda one: one.a_minute)
    (step,) = run((worst.check, *[SOUND] * len(MEASURES[worst.check]))).steps
    assert step.regret == pytest.approx(step.best.a_minute - step.done.a_minute)
    assert step.best.check == best.check
    assert dearest(run((worst.check, *[SOUND] * len(MEASURES[worst.check]))), 3)


def test_a_fault_is_known_from_the_reading_that_made_it_four_to_one(run):
    search = run((PACK, SOUND), (WEIGH, SOUND, FAR), (TUG, SOUND))
    assert MEASURES[WEIGH] == ["ahead_mm", "mass_kg"]
    assert search.known_at("over-mass") == 2  # before, a loose strap explained it too
    assert search.known_at("pack-cold") is None
    assert search.minutes_until(2) == pytest.approx(search.minutes)
    assert search.minutes_until(0) == pytest.approx(search.steps[0].done.minutes)


def test_the_shortest_way_ends_as_soon_as_all_that_was_hidden_is_known(run):
    search = run((PACK, SOUND), there=frozenset({"pack-cold", "cg-offset"}))
    path = ideal_path(search.case, BY)
    assert path.whole
    assert {one.check for one in path.checks} >= {PACK, WEIGH}
    assert path.checks[-1].check in (PACK, WEIGH)
    assert path.minutes == pytest.approx(sum(one.minutes for one in path.checks))
    assert ideal_path(run((PACK, SOUND), there=frozenset()).case, BY).checks == ()


def test_a_check_again_is_for_nothing_only_if_nothing_changed_and_nothing_was_outside(run):
    assert [s.at for s in again_for_nothing(run((PACK, SOUND), (PACK, SOUND)))] == [1]
    assert again_for_nothing(run((PACK, DOUBTFUL), (PACK, SOUND))) == []
    assert again_for_nothing(run((PACK, SOUND), act.Swap(part="pack-strap"), (PACK, SOUND))) == []


def squawk(cause: FaultId, check: CheckKey, line: str) -> act.Squawk:
    return act.Squawk(item="mass", cause=cause, confidence=4, check=check, line=line)


def test_named_early_is_by_what_was_read_not_by_what_was_so(run):
    (early,) = named_early(run((PACK, SOUND), squawk("over-mass", PACK, "cell_v")))
    assert early.claim.cause == "over-mass"
    assert early.chance < 0.4
    assert named_early(run((WEIGH, SOUND, FAR), squawk("over-mass", WEIGH, "mass_kg"))) == []


def test_changed_without_evidence(run):
    (blind,) = changed_blind(run((TUG, SOUND), act.Swap(part="pack-strap")))
    assert (blind.at, blind.fix) == (1, "swap:pack-strap")
    assert changed_blind(run((TUG, FAR), act.Swap(part="pack-strap"))) == []


def test_three_checks_of_one_family_again_in_a_row_are_stuck_if_little_speaks_for_it(run):
    quiet = [(WEIGH, SOUND, SOUND), (TUG, SOUND)]
    assert stuck(run(*quiet, (WEIGH, SOUND, SOUND), (TUG, SOUND))) == []
    (found,) = stuck(run(*quiet, *quiet, (WEIGH, SOUND, SOUND)))
    assert (found.family, len(found.steps)) == ("airframe", 3)
    loud = [(WEIGH, SOUND, FAR), (TUG, SOUND)]
    assert stuck(run(*loud, *loud, (WEIGH, SOUND, FAR))) == []


def test_the_way_to_a_check_counts_what_has_to_be_changed():
    run_up, display = CHECKS["restrained-run-up"], CHECKS["stick-display"]
    assert way_min(display, AT_THE_BENCH) == act.PlugPack.takes_min
    assert way_min(display, Stance("bench", "hands", props=False, power=True)) == 0.0
    bare = way_min(run_up, AT_THE_BENCH)
    assert bare == act.FitProps.takes_min + act.Carry.takes_min + act.PlugPack.takes_min
    off = way_min(CHECKS["one-motor"], Stance("bench", "hands", props=True, power=True))
    assert off >= act.RemoveProps.takes_min


Row = tuple[FaultId, str, str, float]


def of(*rows: Row) -> Measured:
    """Return tables of one check, by (fault, measure, side, power)."""
    bands = {(TUG, measure): Band(TUG, measure, *EDGES, 200, 60) for _, measure, _, _ in rows}
    moves = [Move(f, TUG, m, side, p, -2.0, 2.0) for f, m, side, p in rows]  # type: ignore[arg-type]
    return Measured(bands, by_measure(moves))


def sights(*rows: Row):
    names = tuple(dict.fromkeys(row[0] for row in rows))
    return {(s.measure, s.side): s for s in sights_of(of(*rows), names)[TUG]}


def test_a_fault_is_looked_for_where_it_shows_most_often():
    found = sights(("cg-offset", "a", "above", 0.7), ("cg-offset", "b", "above", 0.5))
    assert list(found) == [("a", "above")]


def test_a_line_moved_as_surely_as_nine_in_ten_speaks_against_a_fault_beside_its_best():
    rows: list[Row] = [("cg-offset", "a", "above", 1.0), ("over-mass", "b", "above", 1.0)]
    for power, counts in ((0.92, 0.92), (0.88, 0.0)):
        found = sights(*rows, ("cg-offset", "b", "above", power))
        assert found["b", "above"].powers[0] == power
        assert found["b", "above"].strongest[0] == counts


def test_what_goes_either_way_has_both_sides_false_alarms_or_half_its_power_on_each():
    alone = sights(("cg-offset", "a", "either", 0.8))["a", "either"]
    assert alone.false_alarm == pytest.approx(2.0 * FALSE)
    assert alone.powers[0] == 0.8
    both = sights(("cg-offset", "a", "either", 0.8), ("over-mass", "a", "above", 0.9))
    assert set(both) == {("a", "above"), ("a", "below")}
    assert both["a", "below"].powers == pytest.approx([0.4, 0.0])
    assert both["a", "above"].false_alarm == pytest.approx(FALSE)


def test_a_sound_aircraft_is_hardly_ever_plainly_outside():
    (sight,) = BY.sights[PACK]
    assert likelihood(BY.sets, sight, PLAIN)[0] == pytest.approx(FALSE * 0.0023)


def test_what_was_furthest_out_stays_whatever_is_read_later(run):
    far = run((PACK, FAR)).believed[-1]
    again = run((PACK, FAR), (PACK, SOUND), (PACK, DOUBTFUL)).believed[-1]
    assert again == pytest.approx(far)
    assert _further((None, 0, 2, 1), (1, None, 0, 2)) == (1, 0, 2, 2)


def test_the_shortest_way_takes_a_line_for_out_if_that_is_likelier_than_not():
    by = Weighing(of(("cg-offset", "a", "above", 0.48), ("over-mass", "b", "above", 0.50)))
    read = [_likeliest(Searching(by), TUG, [n]) for n in by.index(["cg-offset", "over-mass"])]
    assert read == [(INSIDE, INSIDE), (INSIDE, PLAIN)]


def test_gains_count_the_way_there_and_checks_without_propellers_come_first():
    assert Gain(PACK, 1.0, 4.0).a_minute == 0.25
    far_off = Stance("pad", "standing", props=True, power=True)
    gains = Searching(BY).gains(far_off)
    assert gains[TUG].minutes == pytest.approx(CHECKS[TUG].minutes + way_min(CHECKS[TUG], far_off))
    assert gains[TUG].minutes > CHECKS[TUG].minutes
    hop = Gain("light-on-legs", 1.0, 0.5)
    for bits, first in ((0.0205, PACK), (0.0195, "light-on-legs")):
        assert best_of({PACK: Gain(PACK, bits, 1.0), "light-on-legs": hop}).check == first


def test_the_dearest_is_by_what_was_lost_in_all_its_minutes(run):
    search = run((PACK, SOUND))
    (step,) = search.steps
    best = Gain(TUG, 1.0, 1.0)
    short = replace(step, done=Gain(PACK, 0.1, 1.0), best=best)  # 0.9 bit a minute, for one
    long = replace(step, done=Gain(PACK, 2.0, 4.0), best=best)  # 0.5 bit a minute, for four
    assert dearest(replace(search, steps=(short, long)), 3) == [long, short]
    assert dearest(replace(search, steps=(short, long)), 1) == [long]


def test_a_name_on_a_line_nobody_read_is_early_and_a_doubtful_line_calls_for_a_change(run):
    (early,) = named_early(run((PACK, SOUND), squawk("over-mass", TUG, "pack_moves_mm")))
    assert early.claim.check == TUG
    assert changed_blind(run((TUG, DOUBTFUL), act.Swap(part="pack-strap"))) == []
    (blind,) = changed_blind(run((TUG, DOUBTFUL), act.Swap(part="motor-front-left")))
    assert blind.chance == 0.0


def test_a_run_of_checks_ends_with_one_that_was_due_or_of_another_family(run):
    quiet = [(WEIGH, SOUND, SOUND), (TUG, SOUND)]
    (found,) = stuck(run(*quiet, *quiet, (WEIGH, SOUND, SOUND), (PACK, SOUND)))
    assert len(found.steps) == 3
    between = [*quiet, (PACK, SOUND), *quiet, (PACK, SOUND), (WEIGH, SOUND, SOUND)]
    assert stuck(run(*between)) == []
