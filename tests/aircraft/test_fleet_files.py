"""The shipped fleet is what its answers give today."""

import pytest

from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import load_model
from sim.paths import assets_dir
from tools.fleet.__main__ import ANSWERS, written


def numbers(value: object) -> object:
    """Return plain data, each number approximate: other machines round otherwise, two digits are kept."""
    if isinstance(value, dict):
        return {key: numbers(part) for key, part in value.items()}
    if isinstance(value, list):
        return [numbers(part) for part in value]
    if isinstance(value, float):
        return pytest.approx(value, rel=0.05)
    return value


@pytest.mark.parametrize("answers", ANSWERS, ids=lambda path: path.stem)
def test_the_file_is_what_its_answers_give(answers, tmp_path):
    path = assets_dir() / "airframes" / answers.name
    made = tmp_path / answers.name
    made.write_text(written(answers), encoding="utf-8")
    assert made.read_text().splitlines()[:2] == path.read_text().splitlines()[:2]
    now, kept = (load_model(p, Airframe).model_dump(mode="json") for p in (made, path))
    # three readings of restless air each: half as much again is chance; and a voltage that one step
    # of the throttle moves, of which two digits are kept
    limits = {"roughness_share": 0.6, "ringing_share": 0.6, "loaded_drop_v_cell": 0.1}
    for name, apart in limits.items():
        was = kept["sheet"].pop(name)
        assert now["sheet"].pop(name) == pytest.approx(was, rel=apart)
    assert now == numbers(kept)
