"""What is given away, read again by other libraries."""

import csv
import io
import json
from pathlib import Path

import pytest

from sim.logbook.book import Book
from sim.logbook.export import FORMATS, as_csv, as_json, as_xapi
from tests.logbook.entering import BEGAN, card, entry, fault

FORMULA = "=HYPERLINK(1)"


def attempts(tmp_path):
    weak = fault("pack-cell-weak", "power", True)
    with Book(tmp_path / "logbook.sqlite") as book:
        book.take_in([entry("Ada, the first", "first-evening", 7, 0, card(weak))])
        book.take_in([entry(FORMULA, "twins", 8, 1, card(weak, cleared=False))])
        return book.attempts()


def test_csv_is_read_again_and_holds_no_formula(tmp_path):
    first, second = csv.DictReader(io.StringIO(as_csv(attempts(tmp_path))))
    assert first["trainee"] == "Ada, the first"
    assert second["trainee"] == f"'{FORMULA}"
    assert float(first["points"]) == 90.0


@pytest.mark.parametrize(
    "text", ["=1", "+1", "-1", "@a", "\t=1", " =1", "|a", "＝1", "％1", "\u00a0-1"]
)
def test_no_field_begins_as_a_formula(tmp_path, text):
    """Also in wide letters and after blanks, which some spreadsheets pass over. From memory."""
    (one, *_) = attempts(tmp_path)
    (line,) = csv.DictReader(io.StringIO(as_csv([one._replace(trainee=text)])))
    assert line["trainee"] == f"'{text}"


@pytest.mark.parametrize("form", FORMATS.values())
def test_a_folders_name_steers_no_terminal(tmp_path, form):
    (one, *_) = attempts(tmp_path)
    text = form([one._replace(folder=Path("/runs/\x1b[2J\u202egnp.exe\x9b"))])
    assert text.replace("\r\n", "\n").replace("\n", "").isprintable()


def test_json_is_read_again(tmp_path):
    first, second = json.loads(as_json(attempts(tmp_path)))
    assert first["ended"] == BEGAN.isoformat()
    assert second["trainee"] == FORMULA


def test_a_statement_says_who_passed_what_with_which_marks(tmp_path):
    """As IEEE 9274.1.1 has it: actor, verb, object; score between its ends, scaled to one. From memory."""
    first, second = json.loads(as_xapi(attempts(tmp_path)))
    assert first["actor"]["account"]["name"] == "Ada, the first"
    assert first["verb"]["id"].endswith("/passed")
    assert second["verb"]["id"].endswith("/failed")
    score = first["result"]["score"]
    assert score["scaled"] == score["raw"] / score["max"] == 0.9
    assert first["result"]["duration"] == "PT4290.0S"  # 71.5 min
    assert first["object"]["id"] == "urn:dryhop:drill:first-evening"
    assert first["id"] != second["id"]
    assert json.loads(as_xapi(attempts(tmp_path / "again")))[0]["id"] == first["id"]
