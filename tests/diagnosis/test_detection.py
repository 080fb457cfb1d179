"""Signal detection by worked numbers and by outside references; the rules of the study."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, mannwhitneyu, norm

from sim.diagnosis.detection import (
    Trial,
    best_value,
    detect,
    learnt,
    stands_out,
    unmoved,
    with_odd_ones,
)
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


def readings(rng, mean, runs, flagged=False):
    return [
        Trial(seed, flagged, False, {"drop_v": float(rng.normal(mean)), "air": float(rng.normal())})
        for seed in range(runs)
    ]


def test_a_value_far_off_is_found_and_named():
    rng = np.random.default_rng(1)
    found = detect(readings(rng, 0.0, 20), readings(rng, 9.0, 20, flagged=True))
    assert found.best_value == "drop_v above"
    assert found.value_power == 1.0
    assert found.value_false_alarm == 0.0
    assert found.power == 1.0
    assert (found.power_low, found.power_high) == detection.wilson(20, 20)


def test_values_off_to_either_side_are_found_by_distance():
    rng = np.random.default_rng(2)
    sound = readings(rng, 0.0, 40)
    faulty = [
        Trial(
            t.seed, values={"drop_v": t.values["drop_v"] + 9.0 * (-1) ** (t.seed // 2), "air": 0.0}
        )
        for t in readings(rng, 0.0, 40)
    ]
    name, power, false = best_value(sound, faulty)
    assert name == "drop_v away" or name.startswith("air")
    assert power >= 0.9
    assert false <= 0.1


def test_a_limit_learnt_from_noise_fails_on_the_other_half():
    rng = np.random.default_rng(3)
    gains = []
    for _ in range(200):
        _, power, false = best_value(readings(rng, 0.0, 20), readings(rng, 0.0, 20))
        gains.append(power - false)
    assert abs(float(np.mean(gains))) < 0.05


def test_power_of_the_value_rule_matches_the_normal_distribution():
    rng = np.random.default_rng(4)
    sound, faulty = readings(rng, 0.0, 4000), readings(rng, 2.0, 4000)
    _, power, false = best_value(sound, faulty)
    assert power - false == pytest.approx(2.0 * norm.cdf(1.0) - 1.0, abs=0.04)


def test_refusing_to_arm_is_a_cue_and_counts_in_both_rules():
    sound = [Trial(s, values={"x": 0.0}) for s in range(8)]
    found = detect(sound, [Trial(s, refused=True) for s in range(8)])
    assert (found.power, found.refused, found.value_power) == (1.0, 1.0, 1.0)
    assert (found.false_alarm, found.value_false_alarm) == (0.0, 0.0)


def test_false_alarms_on_the_sound_aircraft_are_counted():
    sound = [Trial(s, flagged=s < 5, values={"x": 0.0}) for s in range(20)]
    assert detect(sound, sound).false_alarm == 0.25


def test_the_odd_one_of_four_places_is_a_value_of_its_own():
    four = {
        "front_left_rpm": 7.0,
        "front_right_rpm": 5.0,
        "rear_right_rpm": 5.0,
        "rear_left_rpm": 5.5,
    }
    assert with_odd_ones(four)["odd_one_of_four_rpm"] == pytest.approx(1.75)


def test_a_fault_at_any_place_is_found_by_the_odd_one():
    rng = np.random.default_rng(6)
    places = ("front_left", "front_right", "rear_right", "rear_left")

    def reading(off):
        values = {f"{p}_rpm": 5000.0 + float(rng.normal(0.0, 300.0)) * 0.01 for p in places}
        if off:
            values[f"{places[int(rng.integers(4))]}_rpm"] += 100.0
        return with_odd_ones(values)

    limit = learnt([reading(False) for _ in range(20)], [reading(True) for _ in range(20)])
    assert limit is not None
    assert limit.name == "odd_one_of_four_rpm"


def test_a_value_that_could_not_be_read_is_as_good_as_a_cue():
    sound = [Trial(s, values={"stop_s": 0.3 + 0.01 * s}) for s in range(8)]
    faulty = [Trial(s, values={"stop_s": float("nan")}) for s in range(8)]
    assert best_value(sound, faulty)[1:] == (1.0, 0.0)


def test_first_looks_that_show_nothing_are_left_at_that():
    rng = np.random.default_rng(7)
    sound = readings(rng, 0.0, 20)
    assert not stands_out(sound, readings(rng, 0.0, 3))
    assert stands_out(sound, readings(rng, 30.0, 3))
    assert stands_out(sound, [Trial(0, refused=True)])
    assert stands_out(sound, [Trial(0, values={"other": 1.0})])
    few = unmoved(sound, readings(rng, 0.0, 3))
    assert (few.power, few.readings_n) == (0.0, 3)
    assert few.power_high == detection.wilson(0, 3)[1]


def test_looks_with_the_same_bits_have_the_sound_aircrafts_cues():
    sound = [Trial(s, flagged=s == 3, values={"x": float("nan"), "y": 1.0 * s}) for s in range(20)]
    alike = unmoved(sound, sound[:3])
    assert alike.power == alike.false_alarm == 0.05
    assert alike.power_high == detection.wilson(1, 20)[1]


def test_needs_trials():
    with pytest.raises(ValueError, match="needs"):
        detect([], [])
