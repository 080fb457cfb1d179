"""The objective tests pass, and the outside values behind them are documented and used."""

import csv
import hashlib
import math
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from sim import qualify
from sim.qualify import row

HERE = Path(__file__).parent
FILES = sorted(path.stem for path in HERE.glob("*.csv"))
READ = ("read", "read second-hand", "from memory")
STATUS = {  # how a value of each kind may have been come by
    "outside": READ,
    "library": ("computed with ",),
    "closed form": ("worked out",),
    "twin": ("worked out",),
    "transcription": (*READ, "computed with "),
}


@pytest.fixture(scope="module")
def reads():
    """Names of the files read while all rows are made, and the rows."""
    names = set()
    original = row.table

    def recording(name):
        names.add(name)
        return original(name)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(row, "table", recording)
        rows = qualify.rows()
    return names, rows


@pytest.fixture(scope="module")
def rows(reads):
    return reads[1]


def note(name):
    return tomllib.loads((HERE / f"{name}.source.toml").read_text(encoding="utf-8"))


def test_every_row_passes(rows):
    failing = [
        f"{row.item}, {row.quantity}: theirs {row.value:.9g} {row.unit}, ours {row.ours:.9g}"
        for row in rows
        if not row.passed
    ]
    assert not failing, "\n".join(failing)


def test_there_are_enough_rows_and_none_twice(rows):
    assert len(rows) >= 80
    assert len({(row.item, row.quantity) for row in rows}) == len(rows)


def test_most_rows_come_from_elsewhere(rows):
    """From a publication, a library or a formula of the books; at least 45 is the aim."""
    found = {kind: sum(statuses.values()) for kind, statuses in qualify.counts(rows).items()}
    assert sum(found.values()) == len(rows)
    assert found["outside"] + found["library"] + found["closed form"] >= 80
    assert found["twin"] + found["transcription"] <= 0.1 * len(rows)  # own: a tenth at most


def test_the_counts_in_words():
    t = row.table("pulses")
    one = t.row("stick", "stick_ratio", 0.0, 0.0)
    other = replace(one, kind="outside", status="read", passed=False)
    third = replace(other, status="from memory")
    assert qualify.counts([one, other, third])["outside"] == {"from memory": 1, "read": 1}
    assert qualify.sentence([one, other, other, third]) == (
        "1 of 4 rows pass: 3 outside (1 from memory, 2 read), 0 library, 0 closed form, 0 twin, "
        "1 transcription."
    )


def test_every_row_is_complete(rows):
    for test in rows:
        assert test.item
        assert test.source
        assert test.reason
        assert test.status.startswith(STATUS[test.kind])
        assert test.unit
        assert test.tolerance > 0.0
        assert test.tolerance_kind in ("relative", "absolute")
        assert math.isfinite(test.value)
        assert math.isfinite(test.ours)
        assert isinstance(test.passed, bool)


@pytest.mark.parametrize("ours", [math.nan, math.inf, 8.02, 7.99])
def test_a_wrong_value_fails(ours):
    assert not row.table("motor_worked_example").row("motor", "motor_v", 8.007, ours).passed


def test_a_relative_tolerance_leaves_no_room_about_zero():
    t = row.table("pulses")
    assert t.row("stick", "stick_ratio", 0.0, 0.0).passed
    assert not t.row("stick", "stick_ratio", 0.0, 1e-6).passed


def test_worst_is_the_least_favourable_row():
    t = row.table("pulses")
    worst = t.worst("pulse", "pulse_us", [1000.1, 1500.4, 2000.2])
    assert (worst.value, worst.ours, worst.item) == (1500.0, 1500.4, "pulse, worst of 3")
    assert not t.worst("pulse", "pulse_us", [1000.0, math.nan, 2000.0]).passed


def test_worst_of_several_columns():
    t = row.table("pulses")
    both = ("stick_ratio", "pulse_us")
    worst = t.worst("link", both, [(-1.0, 1000.1), (0.0, 1500.4), (1.0, 2000.0)])
    assert (worst.quantity, worst.ours, worst.item) == ("pulse_us", 1500.4, "link, worst of 6")
    assert not t.worst("link", both, [(-1.0, 1000.0), (0.1, 1500.0), (1.0, 2000.0)]).passed
    with pytest.raises(ValueError, match="zip"):
        t.worst("link", both, [(-1.0, 1000.0)])


def changed(name, original):
    """Return a file whose published numbers are all wrong by five tolerances and a little."""
    t = original(name)
    lines = []
    for line in t.lines:
        other = dict(line)
        for column, rule in t.note.get("tolerance", {}).items():
            size = abs(line[column]) if rule["kind"] == "relative" else 1.0
            other[column] = line[column] + 5.0 * rule["value"] * size + 1e-12
        lines.append(other)
    return replace(t, lines=lines)


def test_no_row_passes_whatever_is_published(monkeypatch):
    """A published number that our side takes as its input would move ours along with it."""
    original = row.table
    monkeypatch.setattr(row, "table", lambda name: changed(name, original))
    still = [f"{row.item}, {row.quantity}" for row in qualify.rows() if row.passed]
    assert not still, "\n".join(still)


@pytest.mark.parametrize("name", FILES)
def test_a_file_has_a_true_source_note(name):
    n = note(name)
    data = (HERE / f"{name}.csv").read_bytes()
    assert n["sha256"] == hashlib.sha256(data).hexdigest(), "run python -m tools.build_authority"
    assert n["authority"]
    assert n["citation"]
    assert n["kind"] in qualify.KINDS
    assert n["status"].startswith(STATUS[n["kind"]])
    assert ("made_by" in n) != ("retrieved" in n)
    with (HERE / f"{name}.csv").open(newline="", encoding="utf-8") as stream:
        columns = next(csv.reader(stream))
    for column, rule in n.get("tolerance", {}).items():
        assert column in columns
        assert rule["value"] > 0.0
        assert rule["kind"] in ("relative", "absolute")
        assert rule["why"]


def test_no_note_without_a_file():
    assert {path.name.removesuffix(".source.toml") for path in HERE.glob("*.toml")} == set(FILES)


def test_every_file_is_read(reads):
    """By a row, by a test of the libraries, or by the builder of one that is."""
    tests = (HERE / "test_libraries.py").read_text(encoding="utf-8")
    makers = (HERE.parent.parent / "tools" / "authority").glob("*.py")
    builder = "\n".join(path.read_text(encoding="utf-8") for path in makers)
    used = reads[0] | set(re.findall(r'table\("(\S+?)"\)', tests))
    used |= set(re.findall(r'(?:read|numbers)\("(\S+?)"\)', builder))
    assert set(FILES) == used


def test_a_column_name_tells_the_unit():
    assert row.unit_of("rate_x_rad_s") == "rad/s"
    assert row.unit_of("acceleration_m_s2") == "m/s²"
    assert row.unit_of("thrust_coefficient") == "1"
