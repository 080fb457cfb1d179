"""What a recording shows to the eye is what the flight itself shows; what it can't tell is said."""

import pytest

from sim.aircraft.fields import PLACES
from sim.reproduce.answer.blind import COLUMNS, blind
from sim.reproduce.answer.seen import symptoms_of
from sim.reproduce.answer.symptoms import PLAINEST, plainest_first, sentence
from sim.reproduce.words.observed import CUT, SYMPTOMS, observed
from tests.reproduce.answer.flights import AIRFRAME, flown, forced, recorded

NOT_LOGGED = {CUT, "alarm", "one-hot", "all-hot", "motor-late"}  # what no column tells
SPEEDS = tuple(f"speed_{place}_rad_s" for place in PLACES)
SHORT = (
    "north_m",
    "east_m",
    "height_m",
    "accel_x_m_s2",
    "accel_y_m_s2",
    "accel_z_m_s2",
    "pack_v",
    *SPEEDS,
)


@pytest.mark.parametrize(
    ("fault", "sign"),
    [
        ("motor-order-swapped", "flipped"),
        ("rate-gain-high", "ringing"),
        ("loop-sign-reversed", "flipped"),
        ("over-mass", "throttle-high"),
    ],
)
def test_a_recording_shows_what_its_flight_shows(fault, sign):
    flight = flown(fault)
    whole = symptoms_of(forced(recorded(flight)), AIRFRAME)
    assert sign in whole
    assert set(observed(flight).symptoms) - NOT_LOGGED >= {sign}
    assert sign in symptoms_of(forced(recorded(flight, SHORT)), AIRFRAME)


def test_a_sound_hop_shows_nothing_that_a_missing_column_could_make_up():
    flight = flown(None, 0.0)
    for without in ((), SHORT):
        assert set(symptoms_of(forced(recorded(flight, without)), AIRFRAME)) <= {"drifted-forward"}


def test_the_plainest_come_first_and_that_somebody_cut_last():
    assert plainest_first({CUT, "wobbled", "flipped", "rattle"}) == (
        "flipped",
        "wobbled",
        "rattle",
        CUT,
    )
    assert set(PLAINEST) <= set(SYMPTOMS)
    assert sorted(plainest_first(SYMPTOMS)) == sorted(SYMPTOMS)


def test_a_story_of_what_was_seen():
    assert sentence(("rolled-left", "flipped")) == (
        "A recording came without a word. What it shows: it turned over and it rolled to the left."
    )
    assert "nothing was wrong" in sentence(())


def test_what_was_not_logged_is_said():
    whole = blind(forced(recorded(flown(None, 0.0))))
    assert not set(COLUMNS.values()) & set(whole)
    poor = blind(forced(recorded(flown(None, 0.0), ("field_x_ut", "pack_v"), every=5)))
    assert COLUMNS["field_x_ut"] in poor
    assert COLUMNS["pack_v"] in poor
    assert any(line.startswith("20 rows a second") for line in poor)


def test_a_stick_that_hardly_moved_is_said():
    recording = recorded(flown(None, 0.0))
    assert not any("stick hardly moved" in line for line in blind(forced(recording)))
    from sim.reproduce.channels import INDEX

    recording.rows[:, INDEX["stick_pitch"]] *= 0.001
    told = [line for line in blind(forced(recording)) if "stick hardly moved" in line]
    assert told == ["The pitch stick hardly moved: a reversed or short pitch channel can't show."]


def test_too_short_a_flight_is_said():
    told = blind(forced(recorded(flown("motor-order-swapped"))))
    assert any("s in the air: too little to tell gains and filters" in line for line in told)
