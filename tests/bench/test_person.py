"""What a person adds: errors, steps, and the chance that a look misses or imagines something."""

from typing import Any, get_args

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.bench.checklist import CHECKS
from sim.bench.person import SIGHTS, Sight, Subject, noticed, read_off, senses, tachometer_rpm
from sim.bench.rig import Rig
from sim.units import RAD_S_PER_RPM
from tests.worlds import sound_world

LOOKS = 40_000
AT_ONCE: dict[Any, Any] = {  # what is wrong, the check that shows it, its line, what it reads if seen and if not
    "wrong hand": ("rotors.rear_left.propeller.right_hand", False, "propellers-in-hand", "rear_left_hand_sign", -1.0, 1.0),
    "upside down": ("rotors.rear_left.propeller.right_way_up", False, "propellers-in-hand", "rear_left_marks_up_count", 0.0, 1.0),
    "nick": ("rotors.rear_left.propeller.nicked", True, "propellers-in-hand", "rear_left_edge_catches_count", 1.0, 0.0),
    "kinked aerial": ("radio.loss_at_range", 0.5, "look-and-tug", "aerial_kinks_count", 1.0, 0.0),
}  # fmt: skip


class Always:
    """Chance whose every share is the same."""

    def __init__(self, share: float) -> None:
        self.share = share

    def random(self) -> float:
        return self.share

    def standard_normal(self) -> float:
        return 1.0


def sure(share: float) -> Any:
    return Always(share)


def test_every_sight_has_small_chances():
    assert set(SIGHTS) == set(get_args(Sight))
    for sight, chances in SIGHTS.items():
        assert 0.0 < chances.overlooked <= 0.04, sight  # a few in a hundred
        assert 0.0 <= chances.imagined <= 0.001, sight  # far rarer


@pytest.mark.parametrize("sight", SIGHTS)
def test_a_look_errs_as_often_as_stated(sight):
    rng = np.random.default_rng(3)
    for there, chance in ((True, SIGHTS[sight].overlooked), (False, SIGHTS[sight].imagined)):
        wrong = np.mean([noticed(rng, sight, there) != there for _ in range(LOOKS)])
        # four standard errors of a share
        assert wrong == pytest.approx(chance, abs=4.0 * np.sqrt(chance / LOOKS) + 1e-12)


@pytest.mark.parametrize("sight", SIGHTS)
def test_chance_is_laid_on_the_rarer_side(sight):
    overlooked, imagined = SIGHTS[sight]
    assert not noticed(sure(overlooked - 1e-9), sight, True)
    assert noticed(sure(overlooked), sight, True)
    assert not noticed(sure(imagined), sight, False)


@pytest.mark.parametrize("sight", AT_ONCE)
def test_what_is_plain_is_seen_nearly_always_and_missed_now_and_then(sight):
    key, value, check, line, seen, missed = AT_ONCE[sight]
    world = with_value(sound_world(), f"build.{key}", value)
    read = [CHECKS[check].take(Rig(world, seed)).values[line] for seed in range(600)]
    assert set(read) == {seen, missed}
    share = read.count(missed) / 600
    assert 0.0 < share < 4.0 * SIGHTS[sight].overlooked


def test_each_look_has_its_own_chance_and_comes_again_the_same():
    rig, again = Rig(sound_world(), 4), Rig(sound_world(), 4)
    looks = [senses(rig, Subject.FRAME).random() for _ in range(3)]
    assert len(set(looks)) == 3
    assert looks == [senses(again, Subject.FRAME).random() for _ in range(3)]
    assert senses(rig.copy(), Subject.FRAME).random() == senses(again, Subject.FRAME).random()
    fresh = [Rig(sound_world(), seed) for seed in (4, 5)]
    assert senses(fresh[0], Subject.PROPELLERS).random() not in looks
    assert senses(fresh[1], Subject.FRAME).random() not in looks


def test_a_second_look_after_a_swap_errs_anew():
    """No time passes at an aircraft that lies there; a wrong impression must not cling to it."""
    rig = Rig(sound_world(), 4)
    first, second = (CHECKS["look-and-tug"].take(rig).values for _ in range(2))
    assert first != second


def test_subjects_are_all_different():
    assert len({int(subject) for subject in Subject}) == len(Subject.__members__)


def test_a_tachometer_errs_by_its_share_and_shows_whole_tens():
    assert tachometer_rpm(sure(0.5), 5000.0 * RAD_S_PER_RPM) == pytest.approx(5020.0)
    assert read_off(sure(0.5), 1.0, 0.26, 0.1) == pytest.approx(1.3)
