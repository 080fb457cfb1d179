"""Marks of the hop at 0.99 and 1.01 of each limit of the rubric (own bands, see rubric.yaml)."""

from dataclasses import replace

import numpy as np
import pytest

from sim.bench.rig import COLUMN, History
from sim.procedure.rubric import shipped
from sim.scoring.hop import CLEAR_M, first_hop, hold_share, hop_quality, inside, longest_s
from sim.session.record import Hop
from sim.session.scenario import HopPlan
from tests.scoring.tables import STANDING_M

LIMITS = {"away_m": (0.30, 0.60), "height_m": (0.20, 0.40), "heading_deg": (5.0, 10.0)}


@pytest.fixture
def share(record, track):
    """Return the marks of a hop with these offsets and these changes to the record."""

    def made(changes=None, hazards="", **offsets):
        run = record(set(), hazards=hazards, track=track(**offsets), **(changes or {}))
        return hop_quality(run, shipped()).share

    return made


def test_a_perfect_hop_has_all_marks(share):
    assert share() == pytest.approx(1.0)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("key", LIMITS)
@pytest.mark.parametrize(
    ("of", "factor", "hold"), [(0, 0.99, 1.0), (0, 1.01, 0.5), (1, 0.99, 0.5), (1, 1.01, 0.0)]
)
def test_bands(share, key, sign, of, factor, hold):
    off = sign * factor * LIMITS[key][of]
    assert share(**{key: off}) == pytest.approx(0.7 * hold + 0.3)


@pytest.mark.parametrize(("hold_s", "hold"), [(30.3, 1.0), (29.7, 0.5 * 0.99), (15.0, 0.25)])
def test_the_hover_must_last(share, hold_s, hold):
    assert share(hold_s=hold_s) == pytest.approx(0.7 * hold + 0.3, abs=1e-3)  # one row is 1/3000


@pytest.mark.parametrize(("factor", "soft"), [(0.99, 1.0), (1.01, 0.0)])
def test_touchdown(share, factor, soft):
    assert share({"touchdown_m_s": 0.6 * factor}) == pytest.approx(0.8 + 0.2 * soft)


def test_not_cutting_in_time_loses_the_discipline(share):
    assert share(hazards="no-abort-within-2s") == pytest.approx(0.9)


def test_a_crash_or_no_takeoff_has_none(share):
    assert share({"crash": ("It fell over.",)}) == 0.0
    assert share({"takeoff_s": None}) == 0.0


def test_it_must_be_the_height_that_was_planned(record, track):
    run = record(set())
    low = run.scenario.model_copy(update={"hop": HopPlan(height_m=0.5)})
    assert hop_quality(replace(run, scenario=low), shipped()).share == pytest.approx(0.3)


def test_the_pad_is_the_middle(record, track):
    moved = record(set(), track=track(away_m=1.0), pad_north_m=0.6, pad_east_m=-0.8)
    assert hop_quality(moved, shipped()).share == pytest.approx(1.0)


def test_an_interrupted_hold_counts_its_longest_part():
    assert longest_s(np.array([1, 1, 1, 0, 1, 1], bool)) == pytest.approx(0.03)
    assert longest_s(np.zeros(5, bool)) == 0.0


def test_resting_on_the_pad_is_no_hover(record):
    rows = np.zeros((4000, 41))
    rows[:, COLUMN["height_m"]] = (
        STANDING_M + 0.17
    )  # m; not clear, yet within the band of a low plan
    rows[0, COLUMN["height_m"]] = STANDING_M + 0.19
    run = record(set(), track=History(rows))
    low = run.scenario.model_copy(update={"hop": HopPlan(height_m=0.4)})
    quality = hop_quality(replace(run, scenario=low), shipped())
    assert quality.desired_s == quality.adequate_s == pytest.approx(0.01)


def test_what_never_left_the_floor_has_nothing_to_show(record):
    for changes in ({"takeoff_s": None}, {"track": History(np.zeros((100, 41)))}):
        quality = hop_quality(replace(record(set()), **changes), shipped())
        assert vars(quality) == {
            "share": 0.0,
            "desired_s": 0.0,
            "adequate_s": 0.0,
            "worst_away_m": 0.0,
            "touchdown_m_s": 0.0,
            "crashed": False,
        }


def test_the_hop_says_how_far_and_how_hard(record, track):
    quality = hop_quality(record(set(), track=track(away_m=0.4)), shipped())
    assert quality.worst_away_m == pytest.approx(0.4)
    assert quality.touchdown_m_s == 0.2
    assert quality.adequate_s == pytest.approx(30.0)
    assert quality.desired_s == 0.0


@pytest.mark.parametrize("key", LIMITS)
def test_the_edge_belongs_to_the_band(key):
    """On the band's own edge it is inside; the next number is not."""
    band = shipped().hop.desired
    edge = getattr(band, key)
    for value, kept in ((edge, True), (np.nextafter(edge, np.inf), False)):
        off = {name: np.array([value if name == key else 0.0]) for name in LIMITS}
        assert inside(band, off["away_m"], off["height_m"], off["heading_deg"]).all() == kept


def test_exactly_soft_is_soft_and_exactly_clear_of_the_legs_is_not_up(share, record, track):
    soft = shipped().hop.soft_touchdown_m_s
    assert share({"touchdown_m_s": soft}) == pytest.approx(1.0)
    assert share({"touchdown_m_s": np.nextafter(soft, 1.0)}) == pytest.approx(0.8)
    low = track()
    low.rows[:, COLUMN["height_m"]] = STANDING_M + CLEAR_M
    assert hop_quality(record(set(), track=low), shipped()).worst_away_m == 0.0
    assert hop_quality(record(set(), track=low), shipped()).share == 0.0


@pytest.mark.parametrize(
    ("desired_s", "adequate_s", "marks"),
    [(30.0, 30.0, 1.0), (29.9, 15.0, 0.25), (29.9, 30.0, 0.5), (29.9, 60.0, 0.5)],
)
def test_longer_than_wanted_is_worth_no_more(desired_s, adequate_s, marks):
    assert hold_share(desired_s, adequate_s, 30.0, shipped().hop) == marks


def test_the_furthest_is_told_of_a_hop_that_wanders(record, track):
    rows = track(away_m=0.1).rows
    rows[1000:1010, COLUMN["north_m"]] = 0.9
    rows[1000:1010, COLUMN["east_m"]] = -1.2
    hop = hop_quality(record(set(), track=History(rows)), shipped())
    assert hop.worst_away_m == pytest.approx(1.5)


def test_legs_are_clear_eighteen_centimetres_up(record, track):
    for clear_m, seen in ((0.179, False), (0.181, True)):
        low = track(away_m=0.4)
        low.rows[:, COLUMN["height_m"]] = STANDING_M + clear_m
        found = hop_quality(record(set(), track=low), shipped())
        assert (found.worst_away_m > 0.0) is seen


def test_the_first_hop_ends_with_the_row_in_which_it_is_over(record, track):
    whole = track()
    times_s = whole["time_s"]
    assert len(first_hop(record(set(), track=whole, hops=())).rows) == len(times_s)
    lasting = (Hop(times_s[0], frozenset()),)
    assert len(first_hop(record(set(), track=whole, hops=lasting)).rows) == len(times_s)
    two = (Hop(times_s[0], frozenset(), over_s=times_s[500]), Hop(times_s[900], frozenset()))
    kept = first_hop(record(set(), track=whole, hops=two))
    assert kept["time_s"].tolist() == times_s[:501].tolist()
