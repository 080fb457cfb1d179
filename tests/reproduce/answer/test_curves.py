"""Curves and moments: what decided, when, and the drawing of it."""

from xml.etree import ElementTree

import numpy as np
import pytest

from sim.reproduce.answer.curves import AROUND_S, MOMENT_S, Curve, deciding, moments, nearest_look
from sim.reproduce.answer.overlay import drawing

T = np.arange(0.0, 4.0, 0.01)


def curve(words, nats_a_row, at=(0.0, 4.0)):
    """Return a channel whose rows within a span speak for the likeliest cause by so much each."""
    nats = np.where((at[0] - 1e-9 <= T) & (at[1] - 1e-9 > T), nats_a_row, 0.0)
    return Curve(words, "rad/s", T, np.sin(T), np.sin(T), np.cos(T), nats)


ROLL, PITCH = curve("roll rate", 0.1, (1.0, 1.5)), curve("pitch rate", 0.02)
NOISE, WRONG = curve("heading", 0.001), curve("volts", -1.0)


def test_channels_that_decided_the_most_telling_first():
    assert deciding([NOISE, PITCH, WRONG, ROLL]) == [PITCH, ROLL]
    assert PITCH.decided_nats == pytest.approx(8.0)
    assert ROLL.decided_nats == pytest.approx(5.0)


def test_what_is_not_compared_decides_nothing():
    half = Curve("a", "V", T, T, T, T, np.where(T < 2.0, np.nan, 0.01))
    assert half.decided_nats == pytest.approx(2.0)


def test_moments_are_half_seconds_in_order_of_time():
    found = moments([PITCH, ROLL], most=3)
    assert [m.words for m in found].count("roll rate") == 1
    roll = next(m for m in found if m.words == "roll rate")
    assert roll.time_s == 1.0
    assert roll.nats == pytest.approx(5.0)
    assert roll.told == f"roll rate, 1.0 to {1.0 + MOMENT_S} s"
    assert [m.time_s for m in found] == sorted(m.time_s for m in found)
    assert moments([NOISE, WRONG]) == []


def test_moments_in_a_row_on_one_channel_are_one():
    long = curve("roll rate", 0.1, (1.0, 2.5))
    [found] = moments([long])
    assert found[:3] == (1.0, 2.5, "roll rate")
    assert found.nats == pytest.approx(15.0)
    parted = curve("roll rate", 0.1, (1.0, 1.5)), curve("pitch rate", 0.1, (1.5, 2.0))
    assert [(m.time_s, m.end_s) for m in moments(parted)] == [(1.0, 1.5), (1.5, 2.0)]


def test_the_drawing_is_svg_with_every_channel_and_the_same_each_time():
    marks = moments([PITCH, ROLL])
    first = drawing([PITCH, ROLL], marks, "What decided", "sound")
    assert first == drawing([PITCH, ROLL], marks, "What decided", "sound")
    words = {"".join(node.itertext()) for node in ElementTree.fromstring(first).iter() if node.text}
    for told in ("pitch rate, rad/s", "roll rate, rad/s", "recorded", "as sound", "the likeliest"):
        assert told in words
    assert "#e7b84a" in first
    assert "#e7b84a" not in drawing([ROLL], [], "What decided", "sound")


def test_rows_far_apart_are_not_joined():
    t = np.array([0.0, 0.1, 0.2, 2.0, 2.1])
    found = Curve("a", "V", t, t + 1.0, t, t, t * 0.0).whole
    assert found.time_s == pytest.approx([0.0, 0.1, 0.2, 1.1, 2.0, 2.1])
    assert np.flatnonzero(np.isnan(found.recorded)).tolist() == [3]
    assert found.recorded[4] == pytest.approx(3.0)
    assert ROLL.whole.time_s == pytest.approx(T)


def test_a_closer_look_is_about_what_decided_most():
    assert nearest_look(ROLL) == (1.0 - AROUND_S, 1.0 + MOMENT_S + AROUND_S)
    part = ROLL.between(1.0, 1.5)
    assert part.decided_nats == pytest.approx(ROLL.decided_nats)
    assert (part.time_s.min(), part.time_s.max()) == pytest.approx((1.0, 1.5))


def test_gaps_are_drawn_as_gaps_and_nothing_as_a_flat_field():
    empty = Curve("a", "V", T, T * np.nan, T * np.nan, T * np.nan, T * 0.0)
    assert "<svg" in drawing([empty], [], "Nothing", "sound")
    with pytest.raises(ValueError, match="no curves"):
        drawing([], [], "x", "sound")
