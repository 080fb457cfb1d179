"""The trainee's own words: kept once, whole, bounded, and as text whatever is written."""

import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
from pydantic import ValidationError

from sim.aircraft.fields import LINE_LENGTH
from sim.errors import Refusal
from sim.session.ownwords import (
    MAX_BYTES,
    MOST_LINES,
    OWN_WORDS,
    OwnWords,
    asked_already,
    keep_words,
    own_words,
    words_of,
)

AT = datetime(2026, 1, 31, 19, 40, 5, tzinfo=UTC)
HOSTILE = (
    "<script>alert(1)</script>",
    "'; DROP TABLE attempts; --",
    '"}, {"plus": ["x',
    "\x1b[2J\x1b]0;title\x07",
    "\u202egnp.exe\u2066",
    "line\nafter\u2028line",
    "\ud800 alone",
)


def test_what_is_written_is_read_again(tmp_path):
    words = own_words(["took my time", "", "  read twice "], ["", "spotter first"], AT)
    assert words.plus == ("took my time", "read twice")
    assert words.delta == ("spotter first",)
    keep_words(tmp_path, words)
    assert words_of(tmp_path) == words
    assert json.loads((tmp_path / OWN_WORDS).read_text()) == {
        "plus": ["took my time", "read twice"],
        "delta": ["spotter first"],
        "at_utc": "2026-01-31T19:40:05Z",
    }
    assert [path.name for path in tmp_path.iterdir()] == [OWN_WORDS]


def test_they_are_written_once_even_when_nothing_was_said(tmp_path):
    assert not asked_already(tmp_path)
    assert words_of(tmp_path) is None
    nothing = own_words([], ["  "], AT)
    keep_words(tmp_path, nothing)
    assert asked_already(tmp_path)
    with pytest.raises(Refusal, match="written already") as refused:
        keep_words(tmp_path, own_words(["better so"], [], AT))
    assert refused.value.reasons == {"already"}
    assert words_of(tmp_path) == nothing


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text_on_one_line(tmp_path, text):
    words = own_words([text], [text], AT)
    keep_words(tmp_path, words)
    back = words_of(tmp_path)
    assert back == words
    (line,) = back.plus
    assert len(line) == len(text.strip())
    assert all(letter.isprintable() for letter in line)
    for a, b in zip(text.strip(), line, strict=True):
        assert b == (a if a.isprintable() else "?")


def test_they_are_bounded(tmp_path):
    longest = chr(0x1F6E9) * (LINE_LENGTH + 1)  # two escapes a letter
    words = own_words([longest] * (MOST_LINES + 1), [longest] * MOST_LINES, AT)
    assert len(words.plus) == MOST_LINES
    assert {len(line) for line in words.plus + words.delta} == {LINE_LENGTH}
    keep_words(tmp_path, words)
    assert (tmp_path / OWN_WORDS).stat().st_size < MAX_BYTES
    assert words_of(tmp_path) == words


@pytest.mark.parametrize(
    "change",
    [
        {"plus": ["x"] * (MOST_LINES + 1)},
        {"delta": ["x" * (LINE_LENGTH + 1)]},
        {"plus": ["a\x1b[0m"]},
        {"plus": "one"},
        {"points": 100},
        {"at_utc": "2026-01-31T19:40:05"},
    ],
)
def test_a_file_that_is_another_is_not_read(tmp_path, change):
    good = {"plus": [], "delta": [], "at_utc": "2026-01-31T19:40:05Z"}
    OwnWords.model_validate_json(json.dumps(good))
    with pytest.raises(ValidationError):
        OwnWords.model_validate_json(json.dumps(good | change))
    (tmp_path / OWN_WORDS).write_text(json.dumps(good | change))
    assert words_of(tmp_path) is None
    assert asked_already(tmp_path)


def test_a_time_elsewhere_is_the_same_time(tmp_path):
    here = AT.astimezone(timezone(timedelta(hours=5)))
    assert own_words([], [], here) == own_words([], [], AT)
    (tmp_path / OWN_WORDS).write_bytes(b"\xff" * 10)
    assert words_of(tmp_path) is None
