"""Trees of named tuples as rows, and back."""

import struct
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.kernel import records, trees
from sim.kernel.frames import UPRIGHT
from sim.kernel.history import HISTORY
from sim.kernel.jit import entry
from sim.kernel.start import initial_state
from sim.kernel.vehicle import Craft, State


class Leaf(NamedTuple):
    x: float
    n: int


class Tree(NamedTuple):
    bits: np.uint64
    leaf: Leaf
    pair: tuple[Leaf, Leaf]
    weights: tuple[float, float, float]


PATHS = [
    "bits",
    "leaf__x",
    "leaf__n",
    "pair__0__x",
    "pair__0__n",
    "pair__1__x",
    "pair__1__n",
    "weights__0",
    "weights__1",
    "weights__2",
]
leaves = st.builds(Leaf, st.floats(allow_nan=False), st.integers(-(2**63), 2**63 - 1))
floats = st.floats(allow_nan=False)
whole_trees = st.builds(
    Tree,
    st.integers(0, 2**64 - 1).map(np.uint64),
    leaves,
    st.tuples(leaves, leaves),
    st.tuples(floats, floats, floats),
)
read, write = trees.reader(Tree, whole=True), trees.writer(Tree)


@entry
def copied(source, target):
    whole = read(source[0])
    write(target[0], Tree(whole.bits, whole.leaf, whole.pair, whole.weights))


def test_paths_and_types():
    assert [name for name, _ in records.fields(Tree)] == PATHS
    kinds = records.dtype_of(Tree)
    assert [kinds[name] for name in ("bits", "leaf__x", "leaf__n")] == [
        np.dtype(k) for k in ("uint64", "float64", "int64")
    ]


@given(whole_trees)
def test_round_trip(tree):
    rows = records.to_row(Tree, tree)
    assert rows.shape == (1,)
    assert list(rows[0].item()) == records.flatten(tree)
    again = np.zeros(1, records.dtype_of(Tree))
    copied(rows, again)
    assert again.tobytes() == rows.tobytes()


def test_a_number_that_does_not_fit_is_refused():
    leaf = Leaf(0.1, -3)
    with pytest.raises(struct.error):
        records.to_row(Leaf, Leaf(0.1, 2**63))
    with pytest.raises(struct.error):
        records.to_row(Leaf, (*leaf, 1.0))


@pytest.mark.parametrize("kind", [Craft, State])
def test_whole_vehicle_has_one_name_a_number(kind, craft):
    names = [name for name, _ in records.fields(kind)]
    assert len(set(names)) == len(names)
    value = craft if kind is Craft else initial_state(craft, UPRIGHT, 0.9, 3)
    assert len(records.flatten(value)) == len(names)


def test_state_survives_the_compiled_loop_untouched(craft, flight):
    still = flight(craft)
    rng = np.random.default_rng(4)
    for name, kind in records.fields(State):
        still.put(name.replace(records.SEPARATOR, "."), kind(rng.integers(1, 9)))
    before = still.states.tobytes()
    still.run(0.0)
    assert still.states.tobytes() == before


def test_history_columns(quiet, hovering):
    flight, sticks = hovering(quiet)
    seen = flight.run(0.5, sticks._replace(roll=0.1))
    assert seen.rows.shape == (500, len(HISTORY))
    last = seen.rows[-1]
    assert last[HISTORY.index("time_s")] == pytest.approx(0.5)
    assert last[HISTORY.index("stick_roll")] == 0.1
    for column, path in (
        ("north_m", "body.position_m.x"),
        ("roll_rate_rad_s", "body.rate_rad_s.x"),
        ("drive_rear_right", "controller.output.2"),
        ("speed_rear_left_rad_s", "rotors.3.motor.speed_rad_s"),
        ("pack_v", "supply_v"),
        ("field_y_ut", "sensors.mag_ut.y"),
        ("accel_z_m_s2", "sensors.accel_m_s2.z"),
        ("baro_m", "sensors.baro_m"),
        ("armed", "armed"),
    ):
        assert last[HISTORY.index(column)] == flight.value(path)
    assert last[HISTORY.index("height_m")] == -flight.value("body.position_m.z")
