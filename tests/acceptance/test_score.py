"""What the score is for: it lets good work pass, stops bad work, and tells what lies between apart."""

from statistics import mean, median, stdev

import pytest

from sim.diagnosis.attempts import Result, attempts
from sim.diagnosis.pool import on_cores
from sim.diagnosis.summary import by_degrees
from sim.diagnosis.table import shipped as detection_table
from sim.scoring.detection import auc
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import load, names

RUNS = 10
FEWER = 3  # runs of those in between, who have three times the attempts
DRILLS = {name: load(name) for name in names()}
TO_CLEAR = {name: drill for name, drill in DRILLS.items() if not drill.lacking}
SOUND = {n: d for n, d in DRILLS.items() if not (d.faults or d.draw or d.visitor_in_ring)}
FAULTY = {n: d for n, d in TO_CLEAR.items() if n not in SOUND}
CHANCES = ("partial-25", "partial-50", "partial-75")
FALSE_AN_EVENING = 0.5  # squawks


def nothing() -> None:
    """Do nothing: it is what a process is made ready by, and what is done after each attempt."""


@pytest.fixture(scope="module")
def spread():
    with on_cores(2, nothing) as mapper:
        yield mapper


@pytest.fixture(scope="module")
def careful(spread) -> list[Result]:
    return list(attempts(DRILLS, ["careful"], RUNS, spread))


def told(results: list[Result]) -> str:
    """Return the attempts that were not cleared, one a line."""
    short = [r for r in results if r.verdict != CLEARED]
    return "\n".join(
        ["", *(f"{r.drill} {r.seed}: {r.points} {r.hidden} {r.noticed}" for r in short)]
    )


@pytest.mark.slow
def test_careful_is_cleared(careful):
    mine = [r for r in careful if r.drill in TO_CLEAR]
    assert len(mine) == RUNS * len(TO_CLEAR)
    points = [r.points for r in mine]
    print(f"careful: {mean(points):.1f} points, spread {stdev(points):.1f}, least {min(points)}")
    cleared = sum(r.verdict == CLEARED for r in mine)
    assert cleared >= 0.95 * len(mine), told(mine)


@pytest.mark.slow
def test_careful_refuses_wisely_what_can_not_be_cured(careful):
    mine = [r for r in careful if r.drill not in TO_CLEAR]
    assert sum(r.wise for r in mine) >= 0.95 * len(mine)


@pytest.mark.slow
def test_careful_seldom_calls_what_is_sound(careful):
    mine = [r for r in careful if r.drill in SOUND]
    assert len(SOUND) >= 2
    assert mean(r.false_squawks for r in mine) <= FALSE_AN_EVENING


@pytest.mark.slow
def test_hasty_is_never_cleared(spread):
    mine = list(attempts(DRILLS, ["hasty"], RUNS, spread))
    assert not [r for r in mine if r.verdict == CLEARED]


@pytest.mark.slow
def test_points_rise_with_the_share_of_checks_done(spread):
    mine = list(attempts(FAULTY, CHANCES, FEWER, spread))
    points = {who: [r.points for r in mine if r.stand_in == who] for who in CHANCES}
    means = [mean(points[who]) for who in CHANCES]
    assert means == sorted(means), means
    assert auc(points["partial-75"], points["partial-25"]) >= 0.85, means


def test_doubt_is_measured():
    """A deviation that is no fault yet is hard to see, a fault is seen, and sound aircraft alarm.

    The best power of a fault is that of whichever check calls it most often.
    """
    table = detection_table()
    rows, faults = list(table), by_degrees(table)
    best = {
        severity: median(
            max(r.power for r in rows if r.fault == fault and r.severity == severity)
            for fault in faults
        )
        for severity in (0.0, 0.1, 1.0)
    }
    assert len(faults) >= 30
    assert 0.2 <= best[0.0] <= 0.8
    assert best[0.0] < best[0.1] <= best[1.0]
    assert any(r.false_alarm > 0.0 for r in rows)
