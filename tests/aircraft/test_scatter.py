"""Sound aircraft differ, by the sizes stated, to both sides, and none of them has a fault."""

from typing import Any

import numpy as np
import pytest

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import MotorBuild
from sim.aircraft.changes import differing, value_at, with_value
from sim.aircraft.powertrain import motor_params
from sim.aircraft.scatter import Spread, scattered, spreads
from sim.aircraft.world import World
from sim.faults.catalogue import present_faults
from sim.faults.severity import truth_of
from sim.kernel.motor import MotorParams
from tests.worlds import sound_world

DRAWS = 200


@pytest.fixture(scope="module")
def sound() -> World:
    return sound_world(goggles_on=True, spotter_present=True)


@pytest.fixture(scope="module")
def drawn(sound) -> list[World]:
    return [scattered(sound, np.random.default_rng(seed)) for seed in range(DRAWS)]


def test_no_sound_build_has_a_fault(drawn):
    assert [present_faults(truth_of(world)) for world in drawn] == [frozenset()] * DRAWS


def moves(spread: Spread, sound: World, drawn: list[World]) -> np.ndarray:
    """Return by how much each number at a key was moved, in units of its spread: (draw, number)."""
    before = np.array(value_at(sound, spread.key), dtype=float)
    after = np.array([value_at(world, spread.key) for world in drawn], dtype=float)
    if spread.kind == "log":
        moved = np.log(after / before)
    else:
        moved = (after - before) / (before if spread.kind == "share" else 1.0)
    found: np.ndarray = moved.reshape(DRAWS, -1) / abs(spread.sized(sound.airframe))
    keep = {
        "level": [0, 1],
        "diagonal": [0, 4, 8],
    }.get(spread.kind, range(found.shape[1]))
    return found[:, list(keep)]


@pytest.mark.parametrize("spread", spreads(), ids=lambda s: s.key)
def test_each_value_scatters_as_far_as_stated(sound, drawn, spread):
    sizes = moves(spread, sound, drawn)
    # 1; four standard errors of a root mean square of 200: 4 / sqrt(400)
    assert np.sqrt((sizes**2).mean(axis=0)) == pytest.approx(1.0, abs=0.2)
    signs = np.sign(sizes)
    if spread.kind == "half":
        assert (signs == np.sign(spread.sized(sound.airframe))).all()
    else:  # 4 standard errors of a mean of 200 signs
        assert np.abs(signs.mean(axis=0)).max() < 4.0 / np.sqrt(DRAWS)


def test_what_is_not_in_the_table_stays(sound, drawn):
    keys = {spread.key for spread in spreads()}
    assert set(differing(sound, drawn[0])) <= keys
    matrix = np.array([world.build.sensors.accel_matrix for world in drawn])
    assert (matrix[:, ~np.eye(3, dtype=bool)] == 0.0).all()
    soft = np.array([world.build.sensors.mag_soft_iron for world in drawn])
    assert (soft == soft.transpose(0, 2, 1)).all()
    assert all(world.build.frame.strap_shift_m[2] == 0.0 for world in drawn)
    pulses = [world.setup.transmitter.roll.low_us for world in drawn]
    assert pulses == [round(us) for us in pulses]


def test_values_are_drawn_each_for_itself(drawn):
    """No two of the four places and three axes go together."""
    rows = np.array(
        [
            [
                world.build.rotors.front_left.motor.gain,
                world.build.rotors.rear_left.motor.gain,
                *world.build.sensors.gyro_bias_deg_s,
            ]
            for world in drawn
        ]
    )
    apart = np.corrcoef(rows.T) - np.eye(5)
    assert np.abs(apart).max() < 4.0 / np.sqrt(DRAWS)  # four standard errors


def test_a_pack_is_never_more_than_full(sound):
    full = with_value(sound, "build.pack.charge", 1.0)
    charges = [scattered(full, np.random.default_rng(s)).build.pack.charge for s in range(20)]
    assert max(charges) == 1.0
    assert min(charges) < 1.0


def test_the_same_generator_gives_the_same_aircraft(sound, drawn):
    assert scattered(sound, np.random.default_rng(3)) == drawn[3] != drawn[4]


def test_a_part_has_the_same_scatter_alone_and_with_the_rest(sound, drawn):
    part = "build.rotors.rear_left.motor"
    alone = scattered(sound, np.random.default_rng(3), part)
    assert value_at(alone, part) == value_at(drawn[3], part) != value_at(sound, part)
    assert {key.rpartition(".")[0] for key in differing(sound, alone)} == {part}
    whole = scattered(sound, np.random.default_rng(3), "build.leads.connector_ohm")
    assert set(differing(sound, whole)) == {"build.leads.connector_ohm"}


def motor(frame: Airframe, **built: Any) -> MotorParams:
    return motor_params(frame, True, MotorBuild(**built))


def test_windings_and_iron_of_one_motor(sound):
    frame = sound.airframe
    plain = motor(frame)
    assert motor(frame, resistance_factor=1.05).resistance_ohm == pytest.approx(0.115 * 1.05)
    assert motor(frame, no_load_factor=1.2).no_load_a == pytest.approx(0.5 * 1.2)
    assert plain.resistance_ohm == 0.115
    shorted, thin = (
        motor(frame, shorted_share=0.03, resistance_factor=x).braking_n_m_s for x in (1.0, 1.25)
    )
    assert thin == pytest.approx(shorted / 1.25)  # the current in the shorted turns is U/R
