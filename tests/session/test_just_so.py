"""A hidden fault put in just so: the same place and severity whatever the seed of the drill."""

import numpy as np
import pytest

from sim.errors import InputError
from sim.session.scenario import HiddenFault, Scenario, load

DRILL = "quiet-morning"


def weakest(scenario: Scenario, seed: int) -> tuple[int, float]:
    """Return at which place the motor is weakest, and its share of shorted turns."""
    rotors = scenario.world(np.random.default_rng(seed)).build.rotors
    shorted = [
        rotor.motor.shorted_share
        for rotor in (rotors.front_left, rotors.front_right, rotors.rear_right, rotors.rear_left)
    ]
    return int(np.argmax(shorted)), max(shorted)


def drill(**fault: object) -> Scenario:
    hidden = HiddenFault.model_validate({"id": "motor-weak-or-shorted", **fault})
    return load(DRILL).model_copy(update={"faults": (hidden,)})


def test_a_variation_decides_the_place_for_every_seed():
    places = {v: {weakest(drill(variation=v), seed)[0] for seed in range(4)} for v in range(8)}
    assert all(len(found) == 1 for found in places.values())
    assert len(set.union(*places.values())) > 1


def test_a_variation_is_exactly_as_bad_as_stated():
    same = {weakest(drill(severity=0.7, variation=3), seed)[1] for seed in range(4)}
    assert max(same) - min(same) < 1e-3
    spread = {weakest(drill(severity=0.7), seed)[1] for seed in range(4)}
    assert max(spread) - min(spread) > 1e-2


def test_without_one_the_seed_decides():
    assert len({weakest(drill(), seed)[0] for seed in range(12)}) > 1


def test_a_drill_file_may_name_it(tmp_path):
    path = tmp_path / "drill.yaml"
    text = "title: T\npurpose: P\norigin: invented\nfaults:\n  - {id: cg-offset, variation: %s}\n"
    path.write_text(text % 5)
    assert load(str(path)).faults[0].variation == 5
    path.write_text(text % -1)
    with pytest.raises(InputError, match=r"faults\.0\.variation"):
        load(str(path))
