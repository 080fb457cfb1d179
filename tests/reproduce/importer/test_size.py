"""Large and quick recordings: refused, or read within their share of memory."""

import os
import subprocess
import sys
from itertools import cycle

import numpy as np
import pytest

from sim.aircraft import library
from sim.diagnosis.recordings import Plan, made
from sim.errors import InputError
from sim.reproduce.importer.guessing import guess, nothing_known
from sim.reproduce.importer.reading import MOST_CELLS, read_table
from tests.reproduce.importer.disguises import disguised, judged

MOST_MB = 1024  # MB; design
HOLD = """
import resource, sys
from pathlib import Path
from sim.commands.reproduce import read
table, guesses = read(Path(sys.argv[1]), None, None)
print(len(table.values), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


def test_a_gigabyte_is_refused_unread(tmp_path):
    path = tmp_path / "r.csv"
    with path.open("wb") as file:
        file.truncate(1 << 30)
    with pytest.raises(InputError, match=r"too large: more than 256 MB; cut the flight out"):
        read_table(path)


@pytest.mark.parametrize("rate_hz", [500, 1000])
def test_quick_rows_are_read_as_slow_ones_are(tmp_path, rate_hz):
    plan = Plan(seed=3, manoeuvre="hover", rate_hz=rate_hz)
    flight = made(plan).flight
    disguise = disguised(flight, 3, thinned=False)
    table = read_table(disguise.write(tmp_path / "r.csv"))
    known = nothing_known(library.TRAINER)
    verdicts = judged(disguise, guess(table, library.airframe(library.TRAINER), known))
    assert verdicts["time_s.unit"] == "right"
    assert "wrong" not in verdicts.values()
    assert list(verdicts.values()).count("right") > 0.7 * len(verdicts)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="the peak of memory is told in kB on Linux")
def test_the_largest_that_is_read_stays_within_a_gigabyte(tmp_path):
    flight = made(Plan(seed=3, manoeuvre="hover", rate_hz=200)).flight
    disguise = disguised(flight, 3, thinned=False)
    path, width = tmp_path / "r.csv", len(disguise.columns)
    time = list(disguise.columns).index(disguise.times)
    rows = np.column_stack(list(disguise.columns.values()))
    step = float(np.median(np.diff(rows[:, time])))
    with path.open("w") as file:
        file.write(",".join(disguise.columns) + "\n")
        for n, row in zip(range(MOST_CELLS // width), cycle(rows.tolist()), strict=False):
            row[time] = n * step
            file.write(",".join(f"{x:.8g}" if i == time else f"{x:.3g}" for i, x in enumerate(row)) + "\n")  # fmt: skip
    told = subprocess.run([sys.executable, "-c", HOLD, path], capture_output=True, text=True, check=True, env=os.environ)  # fmt: skip
    count, peak = (int(x) for x in told.stdout.split())
    assert count == MOST_CELLS // width
    assert peak < MOST_MB
