"""Aircraft that somebody else built: apart from the sheet by what is stated, and sound."""

import numpy as np

from sim.aircraft import library
from sim.aircraft.changes import value_at
from sim.diagnosis.strangers import APART, DELAY, strange
from sim.faults.catalogue import CATALOGUE
from sim.faults.severity import truth_of
from sim.reproduce.recorded.loading import sound_world

SOUND = sound_world(library.airframe(library.TRAINER))
TWENTY = [strange(SOUND, np.random.default_rng(seed)) for seed in range(20)]


def test_every_value_lies_apart_on_both_sides_and_no_further_than_stated():
    for keys, most in APART:
        for key in keys:
            away = np.log([value_at(w, key) / value_at(SOUND, key) for w in TWENTY])
            assert -most <= away.min() < 0.0 < away.max() <= most
            assert np.abs(away).max() > 0.6 * most
    assert {value_at(w, DELAY) - value_at(SOUND, DELAY) for w in TWENTY} == {-2, 0, 2}


def test_it_is_sound():
    for world in TWENTY[:4]:
        truth = truth_of(world)
        assert not [name for name, fault in CATALOGUE.items()
                    if fault.family != "conduct" and fault.present(truth)
                    and not fault.present(truth_of(SOUND))]  # fmt: skip
