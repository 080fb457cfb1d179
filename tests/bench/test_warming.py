"""A cold pack indoors warms as Newton's law says."""

from math import exp

import numpy as np
import pytest

from sim.aircraft.changes import with_values
from sim.bench.rig import COLUMN, History, Rig
from sim.bench.warming import heated_k, pack_degc, pack_warmed
from tests.worlds import sound_world


def cold(pack: float, air: float):
    return with_values(
        sound_world(), {"build.pack.temperature_degc": pack, "site.temperature_degc": air}
    )


def test_cooling_by_newtons_law():
    assert pack_degc(4.0, 20.0, 0.0) == 4.0
    assert pack_degc(4.0, 20.0, 40.0) == pytest.approx(20.0 - 16.0 * exp(-1.0))
    assert pack_degc(30.0, 20.0, 80.0) == pytest.approx(20.0 + 10.0 * exp(-2.0))
    assert pack_degc(4.0, 20.0, 1e4) == pytest.approx(20.0)


def test_it_may_be_followed_in_pieces():
    twice = pack_degc(pack_degc(4.0, 18.0, 7.0), 18.0, 9.0)
    assert twice == pytest.approx(pack_degc(4.0, 18.0, 16.0))


def test_small_changes_wait():
    """14 K to go, of which 1 - exp(-t/40) are done: half a kelvin after 1.45 minutes."""
    world = cold(4.0, 18.0)
    assert pack_warmed(world, 1.4) is world
    later = pack_warmed(world, 1.5)
    assert later.build.pack.temperature_degc == pytest.approx(18.0 - 14.0 * exp(-1.5 / 40.0))
    assert pack_warmed(cold(18.2, 18.0), 600.0).build.pack.temperature_degc == 18.2


def test_heat_is_current_squared_times_resistance_over_heat_capacity():
    pack = Rig(sound_world(), 1).craft.pack
    rows = np.zeros((101, len(COLUMN)))
    rows[:, COLUMN["time_s"]] = np.linspace(0.0, 10.0, 101)
    rows[:, COLUMN["pack_a"]] = 20.0
    cells = pack.cells
    ohm, heat_j_k = cells * (pack.r0_ohm + pack.r1_ohm), cells * pack.capacity_c * 27.0 / 3600.0
    assert heated_k(pack, History(rows)) == pytest.approx(20.0**2 * ohm * 10.0 / heat_j_k)
    assert heated_k(pack, History(rows[:1])) == 0.0
