"""Signal detection by worked numbers and by outside references; what a check is worth."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, mannwhitneyu, norm

from sim.bench.bands import Band
from sim.diagnosis.detection import halves, learnt, stands_out, unmoved, worth
from sim.diagnosis.readings import Trial
from sim.keys import CheckKey, FaultId
from sim.scoring import detection
from sim.scoring.detection import Calls

# hits, misses, false alarms, correct rejections -> H, F, d', c, beta, SE (own worked numbers, B2)
WORKED = [
    ((16, 4, 6, 34), 0.7857, 0.1585, 1.7921, 0.1044, 1.2058, 0.395),
    ((12, 8, 2, 38), 0.5952, 0.0610, 1.7877, 0.6528, 3.2123, 0.423),
    ((19, 1, 20, 20), 0.9286, 0.5000, 1.4652, -0.7326, 0.3418, 0.467),
    ((5, 0, 0, 10), 0.9167, 0.0455, 3.0736, 0.1538, 1.6044, 1.061),
    ((0, 5, 0, 10), 0.0833, 0.0455, 0.3076, 1.5368, 1.6044, 1.061),
]


@pytest.mark.parametrize(("counts", "hit", "false", "d", "c", "beta", "se"), WORKED)
def test_worked_numbers(counts, hit, false, d, c, beta, se):
    calls = Calls(*counts)
    assert detection.rates(calls) == pytest.approx((hit, false), abs=5e-5)
    assert detection.d_prime(calls) == pytest.approx(d, abs=5e-5)
    assert detection.criterion(calls) == pytest.approx(c, abs=5e-5)
    assert detection.beta(calls) == pytest.approx(beta, abs=5e-5)
    assert detection.d_prime_se(calls) == pytest.approx(se, abs=6e-4)


def test_area_under_the_curve_of_the_first_worked_row():
    assert detection.a_z(Calls(16, 4, 6, 34)) == pytest.approx(0.8975, abs=5e-5)


def test_standard_error_is_the_scatter_of_simulated_observers():
    rng = np.random.default_rng(5)
    hits, false = rng.binomial(200, 0.8, 4000), rng.binomial(300, 0.2, 4000)
    seen = [
        detection.d_prime(Calls(h, 200 - h, f, 300 - f))
        for h, f in zip(hits.tolist(), false.tolist(), strict=True)
    ]
    expected = detection.d_prime_se(Calls(160, 40, 60, 240))
    assert np.std(seen) == pytest.approx(expected, rel=0.05)
    assert np.mean(seen) == pytest.approx(2.0 * norm.ppf(0.8), rel=0.01)


def test_sensitivity_is_shown_only_with_ten_items_of_each_kind():
    assert detection.shown(Calls(5, 5, 0, 10))
    assert not detection.shown(Calls(5, 4, 0, 10))
    assert not detection.shown(Calls(5, 5, 0, 9))
    assert not detection.shown(Calls(0, 10, 0, 10))  # no call at all
    assert detection.shown(Calls(0, 10, 1, 9))  # a single false alarm is one
    assert detection.shown(Calls(1, 9, 0, 10))
    assert detection.words(Calls(0, 10, 1, 9)) != "no calls made"
    assert "too few" in detection.words(Calls(5, 0, 0, 10))
    assert detection.words(Calls(0, 50, 0, 100)) == "no calls made"
    assert detection.words(Calls(16, 4, 6, 34)) == "1.79 ± 0.77"


def test_negative_counts_are_refused():
    with pytest.raises(ValueError, match="negative"):
        Calls(-1, 2, 3, 4)


def test_calls_add_up():
    assert Calls(1, 2, 3, 4) + Calls(5, 6, 7, 8) == Calls(6, 8, 10, 12)
    assert detection.d_prime_se(Calls(0, 0, 1, 2)) == float("inf")


@given(st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilson_interval_agrees_with_scipy(counts):
    k, n = counts
    outside = binomtest(k, n).proportion_ci(0.95, method="wilson")
    assert detection.wilson(k, n) == pytest.approx((outside.low, outside.high), abs=1e-12)


def test_wilson_of_nothing_is_everything():
    assert detection.wilson(0, 0) == (0.0, 1.0)


def test_area_of_known_groups_is_the_worked_number_and_scipys():
    experts, novices = [82, 90, 75, 88, 95], [60, 72, 75, 55, 80]
    area = detection.auc(experts, novices)
    assert area == pytest.approx(0.940, abs=1e-12)
    assert area == pytest.approx(mannwhitneyu(experts, novices).statistic / 25.0)
    assert detection.auc_se(area, 5, 5) == pytest.approx(0.0845, abs=5e-5)
    with pytest.raises(ValueError, match="group"):
        detection.auc([], [1.0])


# --- readings with and without a fault -----------------------------------------------------------

RAILS: CheckKey = "rails"
FAULT: FaultId = "pack-undercharged"
DROP = Band(RAILS, "drop_v", -4.0, -1.96, 0.0, 1.96, 4.0, 200, 60)  # a standard normal
AIR = Band(RAILS, "air", -4.0, -1.96, 0.0, 1.96, 4.0, 200, 60)
LINES = {b.measure: b for b in (DROP, AIR)}
SEVERITIES = (0.0, 0.1, 0.3, 0.5, 1.0)


def readings(rng, mean, runs):
    return [
        Trial(seed, values={"drop_v": float(rng.normal(mean)), "air": float(rng.normal())})
        for seed in range(runs)
    ]


def growing(rng, runs, each=8.0):
    """Return readings of a fault that moves a line by so many sigma at its worst."""
    return {s: readings(rng, 3.0 + each * s, runs) for s in SEVERITIES}


def test_a_line_far_off_is_found_and_named():
    rng = np.random.default_rng(1)
    found, moves = worth(FAULT, LINES, readings(rng, 0.0, 60), growing(rng, 20), True)
    assert [(m.measure, m.side) for m in moves] == [("drop_v", "above")]
    worst = found[1.0]
    assert (worst.best_line, worst.power, worst.plain, worst.area) == ("drop_v above", 1, 1, 1)
    assert (worst.power_low, worst.power_high) == detection.wilson(20, 20)
    assert worst.readings_n == 20
    assert worst.false_alarm == worst.plain_false_alarm == 0.0
    assert found[0.0].power < found[0.1].power + 0.2 < found[0.5].power + 0.3


def test_shares_outside_the_edges_are_those_of_the_normal_distribution():
    rng = np.random.default_rng(2)
    found, _ = worth(FAULT, LINES, readings(rng, 0.0, 800), growing(rng, 800), True)
    mild = found[0.1]
    assert mild.doubtful == pytest.approx(norm.sf(1.96 - 3.8), abs=0.03)
    assert mild.plain == pytest.approx(norm.sf(4.0 - 3.8), abs=0.05)
    assert mild.doubtful_false_alarm == pytest.approx(0.025, abs=0.01)
    assert mild.plain_false_alarm < 0.002
    assert mild.area == pytest.approx(norm.cdf(3.8 / 2**0.5), abs=0.01)
    assert mild.area_to_harmless == pytest.approx(norm.cdf(0.8 / 2**0.5), abs=0.05)


def test_limits_are_tried_on_builds_they_were_not_learnt_on():
    """A line that chance alone moves on the even builds calls nothing on the odd ones."""
    sound = [Trial(n, values={"drop_v": 0.0}) for n in range(40)]
    lucky = [Trial(n, values={"drop_v": 5.0 if n % 2 == 0 else 0.0}) for n in range(40)]
    faulty = dict.fromkeys(SEVERITIES, lucky)
    found, moves = worth(FAULT, {"drop_v": DROP}, sound, faulty, False)
    assert moves
    assert found[0.5].power == 0.0
    assert found[0.5].plain == 0.0


def test_refusing_to_arm_is_called():
    sound = [Trial(s, values={"drop_v": 0.0}) for s in range(8)]
    refused = {s: [Trial(n, refused=True) for n in range(8)] for s in SEVERITIES}
    found, moves = worth(FAULT, LINES, sound, refused, False)
    assert moves == ()
    assert (found[0.5].power, found[0.5].revealed_by_refusal, found[0.5].doubtful) == (
        1.0,
        1.0,
        0.0,
    )
    assert found[0.5].false_alarm == 0.0


def test_where_severity_nought_is_a_fault_there_is_nothing_harmless_to_compare_with():
    rng = np.random.default_rng(4)
    found, _ = worth(FAULT, LINES, readings(rng, 0.0, 20), growing(rng, 20), False)
    assert all(np.isnan(one.area_to_harmless) for one in found.values())
    harmless, _ = worth(FAULT, LINES, readings(rng, 0.0, 20), growing(rng, 20), True)
    assert harmless[1.0].area_to_harmless > 0.95
    assert harmless[0.0].area_to_harmless == 0.5


def test_a_value_that_could_not_be_read_lies_above():
    sound = [Trial(s, values={"drop_v": 0.1 * (s % 7)}) for s in range(8)]
    dark = {s: [Trial(n, values={"drop_v": float("nan")}) for n in range(8)] for s in SEVERITIES}
    found, moves = worth(FAULT, LINES, sound, dark, False)
    assert [(m.side, m.power) for m in moves] == [("above", 1.0)]
    assert (found[0.5].power, found[0.5].false_alarm) == (1.0, 0.0)


def test_the_strongest_line_comes_first():
    rng = np.random.default_rng(5)
    faulty = {
        s: [
            Trial(n, values={"drop_v": float(rng.normal(5.0)), "air": float(rng.normal(3.0))})
            for n in range(20)
        ]
        for s in SEVERITIES
    }
    half = learnt(FAULT, LINES, readings(rng, 0.0, 20), faulty, False)
    assert [m.measure for m in half.moves] == ["drop_v", "air"]
    assert half.best == half.moves[0]
    assert half.strength == pytest.approx(4.8, abs=0.3)


def test_halves_are_even_and_odd_builds():
    even, odd = halves([Trial(n) for n in range(5)])
    assert ([t.seed for t in even], [t.seed for t in odd]) == ([0, 2, 4], [1, 3])


def look(drop, seed=0, refused=False):
    return Trial(seed, refused, {} if refused else {"drop_v": drop, "air": 0.0})


@pytest.mark.parametrize(
    ("first", "shows"),
    [
        ([look(3.9), look(0.0)], False),
        ([look(4.1), look(0.0)], True),
        ([look(-4.1)], True),
        ([look(2.0), look(2.1)], True),
        ([look(2.0), look(-2.1)], False),
        ([look(0.0), look(0.0, refused=True)], True),
        ([Trial(0, values={"other": 99.0})], False),
    ],
)
def test_first_looks_that_show_nothing_are_left_at_that(first, shows):
    assert stands_out(LINES, first) is shows


def test_what_is_refused_on_sound_aircraft_too_shows_nothing():
    assert not stands_out(LINES, [look(0.0, refused=True)], refused_sound=True)


def test_a_check_that_showed_nothing_is_worth_nothing():
    few = unmoved([Trial(s) for s in range(20)], [Trial(s) for s in range(3)])
    assert (few.power, few.false_alarm, few.readings_n) == (0.0, 0.0, 3)
    assert few.power_high == detection.wilson(0, 3)[1]


def test_needs_trials():
    with pytest.raises(ValueError, match="needs"):
        worth(FAULT, LINES, [], {}, True)
