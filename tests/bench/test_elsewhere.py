"""Tables measured at one site as they hold at another, and on an aircraft whose rotors turn the other way."""

from math import hypot

import pytest

from sim.aircraft import library
from sim.aircraft.design import world_of
from sim.bench.bands import Band, bands
from sim.bench.evidence import measured
from sim.bench.moves import Move
from sim.diagnosis.carried import carried
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey

TRAINER = library.TRAINER
NORTH: tuple[CheckKey, str] = ("heading-marks", "north_field_ut")
ELSEWHERE = [site for site in library.names("sites") if site != "lockup-garage"]


def strength(site: str) -> float:
    field = library.site(site).earth_field
    return hypot(field.north_ut, field.east_ut, field.down_ut)


def test_where_they_were_measured_nothing_changes():
    assert library.roomy_site(TRAINER) == "lockup-garage"
    there = measured(TRAINER, "lockup-garage")
    assert there.bands == measured(TRAINER).bands
    assert there.moves == measured(TRAINER).moves


@pytest.mark.parametrize("site", ELSEWHERE)
def test_the_size_of_the_field_goes_with_the_place(site):
    home, there, larger = measured(TRAINER), measured(TRAINER, site), strength(site) / 49.0634
    assert there.bands[NORTH].high_outer == pytest.approx(larger * home.bands[NORTH].high_outer)
    assert there.bands["field-turn", "site_ut"].middle == pytest.approx(strength(site), rel=1e-5)
    for (check, measure), band in home.bands.items():
        if not measure.endswith("_ut"):
            assert there.bands[check, measure] == band
    swing: tuple[CheckKey, str] = (
        "field-turn",
        "once_a_turn_ut",
    )  # of the aircraft's own iron, the same everywhere
    assert there.bands[swing] == home.bands[swing]
    pairs = zip(home.moves[NORTH], there.moves[NORTH], strict=True)
    assert all(b.high == pytest.approx(larger * a.high) for a, b in pairs if a.high < 1e9)


@pytest.mark.parametrize("site", ELSEWHERE)
def test_what_cannot_be_there_moves_nothing(site):
    world = world_of(library.airframe(TRAINER), site)
    named = {move.fault for moves in measured(TRAINER, site).moves.values() for move in moves}
    assert all(not CATALOGUE[fault].cannot(world) for fault in named)
    assert ("draught-from-door" in named) == (site != "sheltered-yard")


def test_a_band_and_a_move_turned_round():
    band = Band("one-motor", "x_sign", -3.0, -2.0, 1.0, 4.0, 5.0, 60, 24)
    assert band.scaled(-1.0) == Band("one-motor", "x_sign", -5.0, -4.0, -1.0, 2.0, 3.0, 60, 24)
    assert band.scaled(2.0).low_outer == -6.0
    move = Move("motor-spin-reversed", "one-motor", "x_sign", "above", 0.5, float("-inf"), 0.2)
    turned = move.scaled(-1.0)
    assert (turned.side, turned.low, turned.high) == ("below", -0.2, float("inf"))
    assert turned.scaled(-1.0) == move


@pytest.mark.parametrize("name", ["large-330mm", "indoor-57mm", "middle-203mm"])
def test_rotors_that_turn_the_other_way_are_told_by_the_other_sign(name):
    airframe = library.airframe(name)
    moves = [move for found in measured(TRAINER).moves.values() for move in found]
    found = carried(moves, bands(TRAINER), bands(name), airframe)
    spun = {
        m.measure: m for m in found if m.fault == "motor-spin-reversed" and m.check == "one-motor"
    }
    for place in ("front_left", "front_right", "rear_left", "rear_right"):
        move = spun[f"{place}_turns_sign"]
        sound = 1.0 if place in airframe.clockwise else -1.0
        assert not move.called(sound)
        assert move.called(-sound)
        assert measured(name).past_limit(
            "motor-spin-reversed", "one-motor", {move.measure: -sound}, move.measure
        )
