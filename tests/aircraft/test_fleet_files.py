"""The shipped fleet is what its answers give today."""

import pytest

from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import load_model
from sim.paths import assets_dir
from tools.fleet.__main__ import ANSWERS, written


def numbers(value: object) -> object:
    """Return plain data with every number as an approximate one: other machines round otherwise."""
    if isinstance(value, dict):
        return {key: numbers(part) for key, part in value.items()}
    if isinstance(value, list):
        return [numbers(part) for part in value]
    if isinstance(value, float):
        return pytest.approx(value, rel=0.02)
    return value


@pytest.mark.parametrize("answers", ANSWERS, ids=lambda path: path.stem)
def test_the_file_is_what_its_answers_give(answers, tmp_path):
    path = assets_dir() / "airframes" / answers.name
    made = tmp_path / answers.name
    made.write_text(written(answers), encoding="utf-8")
    assert made.read_text().splitlines()[:2] == path.read_text().splitlines()[:2]
    now, kept = (load_model(p, Airframe).model_dump(mode="json") for p in (made, path))
    # readings of noise, and of a voltage that a step of the throttle moves; two digits kept
    for name, apart in (
        ("roughness_share", 0.2),
        ("ringing_share", 0.2),
        ("loaded_drop_v_cell", 0.1),
    ):
        was = kept["sheet"].pop(name)
        assert now["sheet"].pop(name) == pytest.approx(was, rel=apart)
    assert now == numbers(kept)
