"""Any file is read, or refused with one line; none is followed by a traceback."""

import random

import numpy as np
import pytest

from sim.aircraft import library
from sim.commands.ends import BAD_INPUT, NO, ended
from sim.commands.reproduce import confirmed, read
from sim.errors import InputError
from sim.reproduce.importer import reading
from sim.reproduce.importer.clock import stretch, unit_of
from sim.reproduce.importer.mapping import load_map
from sim.reproduce.importer.reading import read_table

GOOD = "time_ms,roll,gyro x,m1,m2,m3,m4\n" + "".join(
    f"{i * 10},{i % 7},{i % 5},0.1,0.2,{i / 100},0.4\n" for i in range(60)
)


def table_of(tmp_path, text):
    path = tmp_path / "r.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_table(path)


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        GOOD.replace(",", ";"),
        GOOD.replace(",", "\t"),
        GOOD.replace(",", ";").replace(".", ","),
        "a log of Tuesday\n\n# more\n" + GOOD,
        GOOD.encode("utf-16"),
    ],
    ids=["commas", "semicolons", "tabs", "decimal commas", "lines before", "other letters"],
)
def test_the_numbers_are_the_same_however_they_are_parted(tmp_path, text):
    table = table_of(tmp_path, text)
    assert table.names == ("time_ms", "roll", "gyro x", "m1", "m2", "m3", "m4")
    assert np.array_equal(table["time_ms"], np.arange(60) * 10.0)
    assert np.array_equal(table["m3"], np.arange(60) / 100)


def test_a_row_of_units_belongs_to_the_names(tmp_path):
    head, rest = GOOD.split("\n", 1)
    table = table_of(tmp_path, f"{head}\nms,deg,deg/s,-,-,-,-\n{rest}")
    assert table.units[:3] == ("ms", "deg", "deg/s")
    assert len(table.values) == 60


def test_a_hole_is_nan_and_a_torn_line_is_left_out(tmp_path):
    table = table_of(tmp_path, GOOD.replace("50,5,0,", "50,,0,") + "600,1")
    assert np.isnan(table["roll"][5])
    assert table.skipped == 1


@pytest.mark.parametrize(
    ("step", "unit"),
    [
        (0.01, "s"),
        (0.001, "s"),
        (10.0, "ms"),
        (1.0, "ms"),
        (2000.0, "us"),
        (0.2, None),
        (0.3, None),
    ],
)
def test_the_unit_of_time_is_told_by_its_step(step, unit):
    assert unit_of(np.arange(50) * step) == unit


def test_copies_slips_and_restarts_are_left_out():
    times = np.concatenate([np.arange(20), [19], np.arange(20, 60), np.arange(0, 10)]) * 0.01
    times[40] = 9.0
    found = stretch(times, np.column_stack([times, np.sin(np.arange(len(times)))]))
    assert (found.copies, found.slips, found.others) == (1, 1, 1)
    assert len(found.rows) == 59
    assert np.all(np.diff(times[found.rows]) > 0)


def test_what_is_too_large_is_refused_by_its_size(tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "MOST_BYTES", 1000)
    with pytest.raises(InputError, match="too large"):
        table_of(tmp_path, GOOD)


def test_a_map_that_names_no_column_says_which_is_near(tmp_path):
    table = table_of(tmp_path, GOOD)
    path = tmp_path / "map.yaml"
    path.write_text(
        f"airframe: {library.TRAINER}\nattitude: ask\ncolumns:\n  roll_rad: {{column: rol, unit: deg}}\n"
    )
    with pytest.raises(InputError) as caught:
        load_map(path, table)
    assert str(caught.value) == (
        f'{path}:4: columns.roll_rad.column = "rol": not a column of r.csv; nearest: roll'
    )


def looked_at(path):
    confirmed(read(path, None, None)[1], True, None)
    return 0


@pytest.mark.parametrize("part", range(4))
def test_a_spoiled_file_ends_with_a_code(tmp_path, part):
    path = tmp_path / "r.csv"
    for seed in range(75):
        chance = random.Random(1000 * part + seed)
        data = bytearray(GOOD.encode())
        for _ in range(chance.randrange(1, 40)):
            at = chance.randrange(len(data))
            what = chance.choice(
                (b"\n", b",", b'"', b"\x00", b"nan", b"1e308", b"-", b"\xff", b";")
            )
            data[at : at + chance.randrange(3)] = what
        path.write_bytes(bytes(data[: chance.randrange(1, len(data) + 1)]))
        code = ended(lambda: looked_at(path))
        assert code in (NO, BAD_INPUT), seed
