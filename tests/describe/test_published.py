"""Hovers worked out of a description against propellers measured elsewhere.

The published example is a propeller on a stand: its speed, thrust and power at the shaft. The
aircraft is one that four of them just carry, all else of it assumed, as nothing else about it
changes the hover of its propellers. The weight is reckoned in the air the aircraft is worked out in.
"""

from functools import cache
from math import pi
from typing import NamedTuple

import pytest

from sim.describe.plausible import findings
from sim.describe.working import Worked, drafted
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.qualify import row
from tests.describe.builds import answers

INCH_M = 0.0254  # m, exact
BUILD = {10.0: "school-project", 5.0: "from-a-drawer", 4.2: "from-a-drawer"}  # of alike size
PLAIN = {"swing": None, "hover_throttle": None, "hover_current_a": None}


class Stand(NamedTuple):
    """A propeller on a stand: its size in inches, and what was measured."""

    across_in: float
    pitch_in: float
    rpm: float
    thrust_coefficient: float
    power_coefficient: float


class Hover(NamedTuple):
    """What the description gives over what was measured: of speed, and of power at the shaft."""

    speed: float
    power: float
    worked: Worked
    words: str


def described(stand: Stand, mass_kg: float) -> Worked:
    given = {"diameter_in": stand.across_in, "pitch_in": stand.pitch_in}
    name = BUILD[stand.across_in]
    return drafted(answers(name, mass_g=1000.0 * mass_kg, propeller=given, **PLAIN))


@cache
def air_kg_m3() -> float:
    return float(drafted(answers("school-project")).craft.air.density_kg_m3)


def hovering(stand: Stand) -> Hover:
    """Return the hover of an aircraft carried by four propellers at the speed on the stand."""
    n, across_m = stand.rpm / 60.0, stand.across_in * INCH_M
    thrust_n = stand.thrust_coefficient * air_kg_m3() * n**2 * across_m**4
    power_w = stand.power_coefficient * air_kg_m3() * n**3 * across_m**5
    found = described(stand, 4.0 * thrust_n / STANDARD_GRAVITY_M_S2)
    speed = found.trim.speed_rad_s
    told = " ".join(f.words for f in findings(found, stand.pitch_in * INCH_M) if f.level == "look")
    return Hover(
        speed * 30.0 / pi / stand.rpm, speed * found.trim.torque_n_m / power_w, found, told
    )


def run(name: str, across_in: float, pitch_in: float, *rpm: float) -> list[Stand]:
    """Return lines of a run at rest kept in tests/authority, cited beside it."""
    found = [Stand(across_in, pitch_in, *line.values()) for line in row.table(name).lines]
    return [one for one in found if one.rpm in rpm]


# UIUC Propeller Database: run kt0835, of which our table was made, where aircraft hover.
SAME = run("propeller_10x4.7_static", 10.0, 4.7, 3234, 4029, 5147, 6226)
# The same database: run kt0827, a steeper propeller of the same make, of which we have no table;
# Deters, Ananda and Selig, AIAA 2014-2151, figure 3, mean of three runs, read off the drawing.
OTHERS = [
    *run("propeller_10x7_static", 10.0, 7.0, 3300, 4280, 5248),
    Stand(5.0, 4.3, 6930, 0.1503, 0.0777),
    Stand(5.0, 4.3, 7920, 0.1498, 0.0758),
]
# The same database, run 0615rd: as steep as it is wide, so that its blades are stalled at rest.
STALLED = run("propeller_4.2x4_static", 4.2, 4.0, 8847, 9880)


@pytest.mark.parametrize("stand", SAME)
def test_on_a_propeller_we_have_hover_is_the_published_one(stand):
    found = hovering(stand)
    assert found.speed == pytest.approx(1.0, abs=0.001)  # weights are rounded to four figures
    assert found.power == pytest.approx(1.0, abs=0.003)
    assert "stands in" not in found.words


def test_on_runs_our_table_was_not_made_from():
    """Tunnel runs at 4014 and 5018 rpm, carried on to no flow: hover_tunnel.source.toml, its tolerances."""
    lines = row.table("hover_tunnel").lines
    assert len(lines) == 2
    for line in lines:
        thinner = air_kg_m3() / line["density_kg_m3"]  # at one speed thrust and power go with it
        found = described(SAME[0], line["mass_kg"] * thinner)
        speed = found.trim.speed_rad_s
        assert speed * 30.0 / pi == pytest.approx(line["rotor_speed_rpm"], rel=0.02)
        power_w = 4.0 * speed * found.trim.torque_n_m
        assert power_w == pytest.approx(line["shaft_total_w"] * thinner, rel=0.04)


@pytest.mark.parametrize("stand", OTHERS)
def test_on_a_propeller_we_do_not_have_power_is_near_and_speed_is_too_high(stand):
    """Flatter ones stand in for them: as good blades, which turn faster. Off by 29 and 36 %, it says."""
    found = hovering(stand)
    assert found.power == pytest.approx(1.0, abs=0.10)  # measured 0.93 to 0.99
    assert 1.10 < found.speed < 1.20  # measured 1.14 to 1.17
    assert "stands in" in found.words
    assert "stall" not in found.words


@pytest.mark.parametrize("stand", STALLED)
def test_blades_that_stall_at_rest_take_twice_the_power_and_it_says_so(stand):
    found = hovering(stand)
    assert 0.45 < found.power < 0.60  # measured 0.51 to 0.53
    assert "the blades stall in hover: it may take twice the power" in found.words
