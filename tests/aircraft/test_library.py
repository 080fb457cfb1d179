"""The shipped airframes, packs, sites and tables."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from sim.aircraft import library
from sim.errors import InputError

LOADERS: dict[str, Callable[[str], Any]] = {
    "airframes": library.airframe,
    "packs": library.pack,
    "sites": library.site,
}


@pytest.mark.parametrize("kind", LOADERS)
def test_every_shipped_file_loads(kind):
    assert library.names(kind)
    for name in library.names(kind):
        loaded = LOADERS[kind](name)
        assert loaded.name == name
        assert loaded.about


@pytest.mark.parametrize("kind", LOADERS)
def test_a_name_nearly_right_is_answered_with_the_right_one(kind):
    name = library.names(kind)[0]
    with pytest.raises(InputError) as caught:
        LOADERS[kind](name[:-1] + "x")
    assert name in str(caught.value)


def test_a_path_is_no_name():
    with pytest.raises(InputError):
        library.airframe("../airframes/trainer-254mm")


def test_every_airframe_has_its_parts():
    for name in library.names("airframes"):
        frame = library.airframe(name)
        assert library.pack(frame.pack).cells == frame.cells
        tables = library.tables(frame.propeller.table)
        assert tables.rotor_speed_rad_s.size > 1


PROPELLERS = [n.removeprefix("propeller-") for n in library.names("tables") if "propeller" in n]


@pytest.mark.parametrize("propeller", PROPELLERS)
def test_tables_rise_and_are_plain_arrays(propeller):
    tables = library.tables(propeller)
    assert library.tables(propeller) is tables  # read once
    for column in tables:
        assert column.dtype == np.float64
        assert column.flags.c_contiguous
        assert np.isfinite(column).all()
    for rising in (tables.rotor_speed_rad_s, tables.advance_ratio, tables.charge, tables.cell_v):
        assert np.all(np.diff(rising) > 0.0)
    for same in (tables.thrust_coefficient, tables.power_coefficient):
        assert same.size == tables.rotor_speed_rad_s.size
        assert (same > 0.0).all()


@pytest.mark.parametrize("propeller", PROPELLERS)
def test_shares_begin_at_one_and_pass_zero_thrust(propeller):
    tables = library.tables(propeller)
    assert (tables.advance_ratio[0], tables.thrust_share[0], tables.power_share[0]) == (0, 1, 1)
    assert tables.thrust_share[-1] < 0.0
    assert np.all(np.diff(tables.thrust_share) < 0.0)


def test_cell_curve_spans_empty_to_full():
    tables = library.tables("10x4.7")
    assert (tables.charge[0], tables.charge[-1]) == (0.0, 1.0)
    assert 4.1 < tables.cell_v[-1] <= 4.2  # V; charged lithium-polymer cells end at 4.2


def test_the_pilot_stands_behind_the_pad_or_with_the_back_to_the_wall():
    room = library.site("lockup-garage").room
    assert room.pilot_north_m == -3.05
    assert room.model_copy(update={"south_m": -2.0}).pilot_north_m == pytest.approx(-1.6)
