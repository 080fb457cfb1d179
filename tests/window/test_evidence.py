"""What a squawk rests on, and what sound aircraft show there, in words."""

import pytest

from sim.bench import bands
from sim.bench.bands import Band
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.session import actions as act
from sim.window import evidence
from sim.window.evidence import NO_BAND, NOTHING, Picked
from sim.window.said import Said
from tests.worlds import TRAINER

MASS = Picked("weigh-and-balance", "mass_kg")
CLAIM = act.Squawk(item="mass", cause="over-mass", check="weigh-and-balance", line="mass_kg")


def read(kg):
    values = {"mass_kg": kg}
    return 1.0, Said(act.Read(check=MASS.check), "", reading=Reading(MASS.check, values))


def band(measure, low_outer, low_inner, middle, high_inner, high_outer, check=MASS.check):
    edges = low_outer, low_inner, middle, high_inner, high_outer
    return {(check, measure): Band(check, measure, *edges, 200, 60)}


def test_a_squawk_tells_its_line_and_value_or_that_it_rests_on_nothing():
    assert evidence.rests_on(MASS, 1.234, "metric") == (
        "Rests on “mass”, read as 1.234 kg (weigh and balance)"
    )
    assert "2 lb 11.5 oz" in evidence.rests_on(MASS, 1.234, "imperial")
    assert evidence.rests_on(None, 1.234, "metric") == NOTHING
    assert evidence.rests_on(MASS, None, "metric") == NOTHING


def test_the_value_is_the_last_before_the_squawk_was_written():
    refused = Said(CLAIM, "no", frozenset({"over"}))
    log = [read(1.0), read(1.1), (2.0, Said(CLAIM, "")), read(1.2), (3.0, refused)]
    assert evidence.as_read(log, CLAIM) == 1.1
    assert evidence.as_read([*log, (4.0, Said(CLAIM, ""))], CLAIM) == 1.2
    assert evidence.as_read(log[2:], CLAIM) is None
    assert evidence.as_read(log[:2], CLAIM) is None


def test_a_squawk_points_at_a_line_or_at_none():
    assert evidence.picked_by(CLAIM) == MASS
    assert evidence.picked_by(act.Squawk(item="mass", cause="over-mass")) is None


def test_a_band_is_told_with_both_its_edges():
    known = band("mass_kg", 0.9, 0.95, 1.0, 1.05, 1.1)
    assert evidence.sound_told(known, MASS, {"mass_kg": 1.2}, "metric") == [
        "Mass: sound aircraft show 0.950 … 1.050 kg, doubtful beyond; "
        "not sound beyond 0.900 … 1.100 kg."
    ]


def test_a_line_that_ends_is_told_with_one_limit():
    line, values = Picked("range-walk", "left_lost_share"), {"left_lost_share": 0.5}
    told = evidence.sound_told(
        band(line.line, -0.04, 0.0, 0.05, 0.1, 0.2, check=line.check), line, values, "metric"
    )
    assert told[0].endswith("show 0.0 … 10.0 %, doubtful beyond; not sound above 20.0 %.")
    line, values = Picked("stick-display", "yaw_high_share"), {"yaw_high_share": 0.5}
    known = band(line.line, 0.95, 0.98, 1.0, 1.0, 1.01, check=line.check)
    told = evidence.sound_told(known, line, values, "metric")
    assert told[0].endswith("show 98 … 100 %, doubtful beyond; not sound below 95 %.")


def test_a_place_is_told_by_itself_and_against_the_four():
    check: CheckKey = "one-motor"
    values = {f"{p}_speed_rpm": 9000.0 for p in ("front_left", "front_right")}
    known = band("{place}_speed_rpm", 8000, 8500, 9000, 9500, 10000, check=check)
    known |= band("{place}_speed_rpm_off_four", -200, -100, 0, 100, 200, check=check)
    told = evidence.sound_told(known, Picked(check, "front_left_speed_rpm"), values, "metric")
    assert told == [
        "Front left: speed: sound aircraft show 8500 … 9500 rpm, doubtful beyond; "
        "not sound beyond 8000 … 10000 rpm.",
        "Against the middle of the four: sound aircraft show −100 … 100 rpm, doubtful beyond; "
        "not sound beyond −200 … 200 rpm.",
    ]


@pytest.mark.parametrize(
    ("edges", "said"), [((0, 0), "all show no"), ((0, 1), "show one or the other")]
)
def test_what_is_yes_or_no_has_no_more_and_less(edges, said):
    line = Picked("people-and-room", "goggles_on")
    low, high = edges
    known = band("goggles_on", low, low, low, high, high, check=line.check)
    told = evidence.sound_told(known, line, {"goggles_on": 1.0}, "metric")
    assert told == [f"Your goggles on: sound aircraft {said}."]


def test_what_nobody_has_measured_says_so():
    values = {"mass_kg": 1.2}
    assert evidence.sound_told({}, MASS, values, "metric") == [f"Mass: {NO_BAND}"]
    assert evidence.shipped_bands("an aircraft of one's own") == {}


def test_what_all_sound_aircraft_show_alike_has_no_band():
    line = Picked("pack-at-rest", "label_cells")
    known = band("label_cells", 3, 3, 3, 3, 3, check=line.check)
    told = evidence.sound_told(known, line, {"label_cells": 4.0}, "metric")
    assert told == ["Cells on the label: sound aircraft all show 3 cells."]


def test_every_line_of_the_shipped_bands_can_be_told(readings):
    known = evidence.shipped_bands(TRAINER)
    for check, reading in readings.items():
        for line in reading.values:
            told = evidence.sound_told(known, Picked(check, line), reading.values, "imperial")
            assert all(len(words) > 20 and "nan" not in words for words in told)


def test_bands_shipped_are_those_of_the_airframe(monkeypatch, tmp_path):
    path = tmp_path / "made-up.csv"
    bands.save(list(band("mass_kg", 0.9, 0.95, 1.0, 1.05, 1.1).values()), path)
    monkeypatch.setattr(bands, "file_of", lambda airframe: tmp_path / f"{airframe}.csv")
    assert set(evidence.shipped_bands("made-up")) == {(MASS.check, "mass_kg")}
    bands.bands.cache_clear()
