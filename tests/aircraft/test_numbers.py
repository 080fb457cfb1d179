"""A number takes a number: never `true`, never text, whole ones no fractions; with its line."""

import pytest

from sim.aircraft.airframe import Airframe
from sim.aircraft.setup import Inputs, Setup
from sim.aircraft.textfile import load_model
from sim.errors import InputError
from sim.paths import assets_dir, scenarios_dir
from sim.session.scenario import Scenario

AIRFRAME = assets_dir() / "airframes" / "trainer-254mm.yaml"
DRILL = scenarios_dir() / "second-hand.yaml"
DELAYS = "must be one of: 0, 2, 4, 6, 8, 10, 12, 14"


@pytest.mark.parametrize(
    ("key", "old", "new", "says"),
    [
        ("mass_kg", "1.5", "true", "true: must be a number (kg)"),
        ("mass_kg", "1.5", '"1.2"', '"1.2": must be a number (kg)'),
        ("mass_kg", "1.5", "[1.2]", "[1.2]: must be a number (kg)"),
        ("mass_kg", "1.5", "", "null: must be a number (kg)"),
        ("cells", "3", "true", "true: must be a whole number"),
        ("cells", "3", "3.0", "3.0: must be a whole number, in digits only"),
        ("cells", "3", '"3"', '"3": must be a whole number'),
        ("sheet.setup.output_delay_ms", "6", "true", "true: must be a whole number (ms)"),
        ("sheet.setup.output_delay_ms", "6", "false", "false: must be a whole number (ms)"),
        ("sheet.setup.output_delay_ms", "6", '"6"', f'"6": {DELAYS}; nearest: 6'),
        ("sheet.setup.output_delay_ms", "6", "5", f"5: {DELAYS}"),
        ("sheet.setup.heading_hold", "true", "1", "1: must be true or false"),
        ("sheet.setup.heading_hold", "true", '"true"', '"true": must be true or false'),
    ],
)
def test_airframe(tmp_path, key, old, new, says):
    text = AIRFRAME.read_text(encoding="utf-8")
    last = key.rpartition(".")[2]
    [line] = [n for n, row in enumerate(text.splitlines(), 1) if row.strip().startswith(f"{last}:")]
    path = tmp_path / "airframe.yaml"
    rows = text.splitlines()
    rows[line - 1] = rows[line - 1].replace(f"{last}: {old}", f"{last}: {new}")
    path.write_text("\n".join(rows))
    with pytest.raises(InputError) as caught:
        load_model(path, Airframe)
    assert str(caught.value) == f"{path}:{line}: {key} = {says}"


@pytest.mark.parametrize("value", ["true", '"0.5"'])
def test_drill(tmp_path, value):
    path = tmp_path / "drill.yaml"
    path.write_text(
        DRILL.read_text(encoding="utf-8").replace("severity: 0.5", f"severity: {value}")
    )
    with pytest.raises(
        InputError, match=rf":9: faults\.0\.severity = {value}: must be a number, or"
    ):
        load_model(path, Scenario)


def direction(tmp_path, word: str) -> Inputs:
    path = tmp_path / "inputs.yaml"
    path.write_text(f"roll: 1\npitch: {word}\n")
    return load_model(path, Inputs)


def test_a_direction_is_one_or_minus_one(tmp_path):
    assert direction(tmp_path, "-1").pitch == -1
    for word in ("true", "0", "2", '"1"', "right"):
        with pytest.raises(InputError, match=":2: pitch"):
            direction(tmp_path, word)


def test_what_is_read_is_a_number_and_no_truth_value(tmp_path):
    setup = load_model(AIRFRAME, Airframe).sheet.setup
    assert type(setup.output_delay_ms) is int
    assert type(direction(tmp_path, "1").pitch) is int
    assert type(Setup(controller=setup).transmitter.roll.direction) is int
