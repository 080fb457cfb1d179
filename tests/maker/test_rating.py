"""How hard a drill is: by the logbook's own step, from rehearsals."""

from math import exp, sqrt

import pytest

from sim.errors import InputError
from sim.logbook.skill import UNKNOWN, Skill, chance, difficulty
from sim.maker import rating
from sim.maker.file import name_for, require_free, text_of, write
from sim.maker.rating import (
    ABILITY,
    CAREFUL,
    FIRST_VARIANCE,
    SEEDS,
    Rated,
    Try,
    how_hard,
    rated,
    stated_minutes,
    told,
)
from sim.maker.wish import Wish, drill_of
from sim.session.scenario import Scenario, load


def tries(right, who="partial-75", number=1):
    return [Try(who, seed, all(right), False, 60.0, 50.0, tuple(right)) for seed in range(number)]


def test_one_trial_moves_it_as_a_trial_moves_ability():
    theta = ABILITY["partial-75"]
    q = 1.0 / (1.0 + exp(-(theta - 0.0)))
    variance = 1.0 / (1.0 / FIRST_VARIANCE + q * (1.0 - q))
    missed, proved = how_hard(3, tries([False])), how_hard(3, tries([True]))
    assert missed.variance == pytest.approx(variance)
    assert missed.mean == pytest.approx(variance * q)  # what an able one misses is hard
    assert proved.mean == pytest.approx(-variance * (1.0 - q))
    assert proved.mean < 0.0 < missed.mean


def test_without_trials_it_is_as_hard_as_its_rung_and_careful_tells_nothing():
    for rung in range(1, 7):
        assert how_hard(rung, []) == Skill(difficulty(rung), FIRST_VARIANCE)
        assert how_hard(rung, tries([True] * 9, CAREFUL)).mean == difficulty(rung)


def test_many_trials_lead_to_where_they_come_from():
    for hard in (-1.0, 0.5):
        theta = ABILITY["partial-50"]
        share = 1.0 / (1.0 + exp(-(theta - hard)))
        right = [n * share % 1.0 + share >= 1.0 for n in range(400)]
        found = how_hard(3, tries(right, "partial-50"))
        assert found.mean == pytest.approx(hard, abs=0.25)
        assert sqrt(found.variance) < 0.15


def test_an_able_stand_in_that_misses_says_more_than_a_weak_one():
    assert ABILITY["partial-75"] > ABILITY["partial-50"]
    able, weak = (how_hard(3, tries([False], who)).mean for who in ABILITY)
    assert able > weak > 0.0


@pytest.mark.parametrize(
    ("minutes", "stated"),
    [([10, 20, 30], 75.0), ([74, 75, 200], 75.0), ([76, 76, 20], 90.0), ([91, 90.5, 89], 105.0)],
)
def test_minutes_are_stated_up_to_a_quarter_of_an_hour(minutes, stated):
    assert stated_minutes(minutes) == stated


@pytest.mark.parametrize(("mean", "rung"), [(-3.0, 1), (-0.6, 2), (0.2, 3), (0.8, 5), (5.0, 6)])
def test_it_is_like_the_drills_of_a_rung(mean, rung):
    found = Rated(tuple(tries([True], CAREFUL)), 75.0, Skill(mean, 0.25))
    assert found.like_rung == rung
    lines = told_lines(found)
    assert f"Expected difficulty: {mean:+.1f} ± 0.5" in lines
    assert f"rung {rung};" in lines
    assert f"in {100 * chance(UNKNOWN, mean):.0f} of 100" in lines


def told_lines(found):
    whole = [*found.tries, *(t for who in ABILITY for t in tries([True], who))]
    return "\n".join(told(found._replace(tries=tuple(whole))))


def test_a_drill_nobody_comes_well_out_of_says_so():
    bad = Rated(tuple(tries([False], CAREFUL, 3)), 75.0, Skill(0.0, 1.0))
    assert not bad.passable
    assert "more than careful work" in told_lines(bad)
    wise = Try(CAREFUL, 1, False, True, 60.0, 90.0, (False,))
    assert Rated((wise,), 75.0, Skill(0.0, 1.0)).passable


@pytest.fixture
def quick(monkeypatch):
    """Replace attempts by what is asked for, and keep which were made."""
    made = []

    def attempt(drill, stand_in, seed):
        made.append((stand_in, seed, drill.careful_min))
        minutes = {1: 70.0, 2: 80.0, 3: 400.0}[seed] if stand_in == CAREFUL else 50.0
        return Try(stand_in, seed, True, False, minutes, 95.0, (True,))

    monkeypatch.setattr(rating, "attempt", attempt)
    return made


def test_the_order_of_rehearsals_and_what_is_told(quick):
    said = []
    found = rated(load("quiet-morning"), None, lambda words, share: said.append((words, share)))
    assert found.careful_min == 90.0
    endless = [(CAREFUL, seed, rating.NO_END_MIN) for seed in SEEDS]
    again = [(CAREFUL, 3, 90.0)]  # it was not ready when the club locked up
    assert quick == [*endless, *again, *((who, s, 90.0) for who in ABILITY for s in SEEDS)]
    shares = [share for _, share in said]
    assert shares == sorted(shares)
    assert (shares[0], len(shares)) == (0.0, len(SEEDS) * 3)
    assert said[0][0] == "Rehearsed by careful, seed 1"


def test_minutes_that_are_stated_are_not_measured(quick):
    found = rated(load("quiet-morning"), 60.0)
    assert found.careful_min == 60.0
    assert {minutes for *_, minutes in quick} == {60.0}


def test_it_can_be_stopped(quick):
    def stop(words, share):
        if share > 0.3:
            raise InputError(())

    with pytest.raises(InputError):
        rated(load("quiet-morning"), None, stop)
    assert len(quick) < 6


@pytest.mark.slow
def test_a_real_rehearsal():
    drill = drill_of(Wish(title="After the rain", faults=("pitch-channel-reversed",)))
    found = rated(drill)
    assert found.passable
    assert all(one.cleared for one in found.by(CAREFUL))
    assert not all(all(one.right) for who in ABILITY for one in found.by(who))
    assert 75.0 <= found.careful_min <= 120.0


# --- the file --------------------------------------------------------------------------------------


def test_its_file_is_read_back_the_same(tmp_path):
    wish = Wish(
        title="After the rain",
        story="Two members\nbring it out.",
        faults=("pack-cold",),
        severity=(0.3, 0.7),
        needs=("power",),
    )
    drill = drill_of(wish).model_copy(update={"careful_min": 90.0})
    path = write(drill, ["careful: 3 of 3."], tmp_path / "drills" / "a.yaml")
    assert load(str(path)) == drill
    assert path.read_text().startswith("# Invented drill")
    assert "# careful: 3 of 3.\n" in path.read_text()
    assert [one.name for one in path.parent.iterdir()] == ["a.yaml"]


def test_nothing_is_written_over_without_being_told(tmp_path):
    drill = drill_of(Wish(title="After the rain"))
    path = tmp_path / "a.yaml"
    path.write_text("dear: diary\n")
    with pytest.raises(InputError, match="lies there already"):
        write(drill, [], path)
    assert path.read_text() == "dear: diary\n"
    write(drill, [], path, replace=True)
    assert load(str(path)) == drill
    with pytest.raises(InputError, match=r"ends in \.yaml"):
        require_free(tmp_path / "a.txt")
    assert name_for("After the rain!") == "after-the-rain.yaml"


def test_remarks_cannot_break_the_file():
    drill = drill_of(Wish(title="T"))
    assert Scenario.model_validate(drill.model_dump()) == drill
    assert text_of(drill, ["a"]).count("\n# ") == 2
