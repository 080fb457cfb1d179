"""Results kept line by line: whatever cuts a study short, it goes on where it was."""

import errno
import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from math import inf, nan
from pathlib import Path
from typing import Any

import pytest

from sim.diagnosis import kept
from sim.diagnosis.attempts import Job, attempt
from sim.diagnosis.kept import InUse, Keeping, OtherStudy, ResultsFile
from sim.diagnosis.pool import Workers, here
from sim.diagnosis.readings import FRESH, Batch, fresh_shown, trials
from sim.errors import InputError
from sim.session.scenario import load
from tests.diagnosis.pieces import Piece, Squared, squared

HEAD = {"study": "squares", "faults": ("a", "b"), "runs": 6, "sources": "one"}
PIECES = [Piece(n) for n in range(6)]
WHOLE = [Squared(n, n**2 / 7.0, 0) for n in range(6)]


class Counted(Workers):
    """One after the other in an order of its own; `begun`: the items that were."""

    def __init__(self, order: Callable[[list[int]], Iterable[int]] = iter) -> None:
        self.begun: list[Any] = []
        self._order = order

    def as_they_come(self, work: Any, items: Any) -> Iterator[tuple[int, Any]]:
        there = list(items)
        for place in self._order(list(range(len(there)))):
            self.begun.append(there[place])
            yield place, work(there[place])


def gone_on(path, workers=None, head=HEAD, take=None, pieces=PIECES):
    """Return results of the study in this file, all or the first so many, and the items done for it."""
    workers = Counted() if workers is None else workers
    file = ResultsFile(path, head)
    try:
        found = list(islice(Keeping(workers, file)(squared, pieces), take))
    finally:
        file.close()
    return found, [piece.n for piece in workers.begun]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "kept.jsonl"


def test_a_study_cut_short_does_only_what_is_left(path):
    assert gone_on(path, take=2) == (WHOLE[:2], [0, 1])
    assert gone_on(path, take=4) == (WHOLE[:4], [2, 3])
    assert gone_on(path) == (WHOLE, [4, 5])
    before = path.read_bytes()
    assert gone_on(path) == (WHOLE, [])
    assert path.read_bytes() == before


def test_what_came_before_its_turn_is_kept_too(path):
    assert gone_on(path, Counted(lambda places: [3, 1, 0, 5, 2, 4]), take=1) == (
        WHOLE[:1],
        [3, 1, 0],
    )
    assert gone_on(path, Counted(reversed)) == (WHOLE, [5, 4, 2])
    lines = [json.loads(line) for line in path.read_text().splitlines()]
    assert [line["item"] for line in lines[1:]] == [3, 1, 0, 5, 4, 2]
    assert lines[3] == {
        "stage": 0,
        "item": 0,
        "result": {"n": 0, "square": 0.0, "process": lines[3]["result"]["process"]},
    }


def test_cut_off_at_any_byte_it_goes_on_to_the_same_end(path):
    gone_on(path, pieces=PIECES[:3])
    whole = path.read_bytes()
    for length in range(len(whole)):
        path.write_bytes(whole[:length])
        there = max(whole[:length].count(b"\n") - 1, 0)
        assert gone_on(path, pieces=PIECES[:3]) == (WHOLE[:3], list(range(there, 3))), length
        assert path.read_bytes() == whole


def test_begun_anew_nothing_of_before_is_given(path):
    gone_on(path)
    file = ResultsFile(path, HEAD, fresh=True)
    others = [Piece(n + 10) for n in range(6)]
    assert [one.n for one in Keeping(here, file)(squared, others)] == list(range(10, 16))
    file.close()


def test_stages_do_not_take_each_others_results(path):
    def both(take: int | None) -> tuple[list[Any], list[int]]:
        workers, file = Counted(), ResultsFile(path, HEAD)
        spread = Keeping(workers, file)
        first = list(spread(squared, PIECES[:2]))
        second = list(islice(spread(squared, PIECES[3:]), take))
        file.close()
        return first + second, [piece.n for piece in workers.begun]

    assert both(1) == (WHOLE[:2] + WHOLE[3:4], [0, 1, 3])
    assert both(None) == (WHOLE[:2] + WHOLE[3:], [4, 5])


def test_each_result_is_told_once_as_it_comes_or_as_it_is_read(path):
    gone_on(path, take=2)
    told: list[int] = []
    file = ResultsFile(path, HEAD)
    coming = Keeping(Counted(reversed), file)(squared, PIECES, lambda: told.append(1))
    assert [next(coming).n, len(told)] == [0, 1]
    assert [next(coming).n, len(told)] == [1, 2]
    assert [next(coming).n, len(told)] == [2, 6]
    assert len(list(coming)) == 3
    assert len(told) == 6
    file.close()


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("runs", 7, "runs = 6: this study has 7: begin anew with --fresh, or name another file"),
        ("sources", "two", 'sources = "one": this study has "two"'),
        ("faults", ("a",), 'faults = ["a", "b"]: this study has ["a"]'),
        ("more", 1, "more = null: this study has 1"),
    ],
)
def test_another_studys_file_is_refused_with_what_differs(path, key, value, said):
    gone_on(path)
    before = path.read_bytes()
    with pytest.raises(OtherStudy) as caught:
        ResultsFile(path, {**HEAD, key: value})
    (problem,) = caught.value.problems
    assert str(problem).startswith(f"{path}:1: {said}")
    assert path.read_bytes() == before
    ResultsFile(path, {**HEAD, key: value}, fresh=True).close()
    assert json.loads(path.read_text())[key] == json.loads(json.dumps(value))


@pytest.mark.parametrize("text", ["title: a drill\n", '{"a": 1}\n', "[1]\n", "no line end", "\n"])
def test_a_file_of_another_kind_is_not_touched_even_afresh(path, text):
    path.write_text(text)
    for fresh in (False, True):
        with pytest.raises(InputError, match="not the results of a study"):
            ResultsFile(path, HEAD, fresh)
    assert path.read_text() == text


@pytest.mark.parametrize(
    ("damage", "why"),
    [
        (lambda line: line.replace('"item":2', '"item":x'), "not in its form"),
        (lambda line: line[:20], "not in its form"),
        (lambda line: line.replace('"square": ', '"square": "x'), "Invalid JSON"),
        (lambda line: line.replace("square", "round"), "Field required"),
    ],
)
def test_a_spoilt_line_is_named(path, damage, why):
    gone_on(path)
    lines = path.read_text().splitlines()
    lines[3] = damage(lines[3])
    path.write_text("".join(f"{line}\n" for line in lines))
    with pytest.raises(InputError) as caught:
        gone_on(path)
    assert str(caught.value).startswith(f"{path}:4: not a result ({why}")
    assert "delete the line" in str(caught.value)
    del lines[3]
    path.write_text("".join(f"{line}\n" for line in lines))
    assert gone_on(path) == (WHOLE, [2])


def test_a_file_is_written_by_one_study_at_a_time(path):
    file = ResultsFile(path, HEAD)
    with pytest.raises(InUse, match="another study is writing this file"):
        ResultsFile(path, HEAD)
    file.close()
    assert gone_on(path) == (WHOLE, list(range(6)))


def test_a_disk_that_takes_no_more_is_named_and_costs_what_it_did_not_take(path, monkeypatch):
    class Full:
        def __init__(self, file: Any) -> None:
            self._file = file

        def write(self, data: bytes) -> int:
            if b'"item":2' in data:
                self._file.write(data[:9])
                raise OSError(errno.ENOSPC, "No space left on device")
            return int(self._file.write(data))

        def __getattr__(self, name: str) -> Any:
            return getattr(self._file, name)

    file = ResultsFile(path, HEAD)
    monkeypatch.setattr(file, "_out", Full(file._out))
    with pytest.raises(OSError, match="No space left on device") as caught:
        list(Keeping(here, file)(squared, PIECES))
    assert caught.value.filename == str(path)
    file.close()
    assert gone_on(path) == (WHOLE, [2, 3, 4, 5])


def test_lines_are_forced_to_the_disk_each_second_and_at_the_end(path, monkeypatch):
    now, forced = [0.0], []
    monkeypatch.setattr(kept, "monotonic", lambda: now[0])
    monkeypatch.setattr("os.fsync", lambda _: forced.append(now[0]))
    file = ResultsFile(path, HEAD)
    for n, at in enumerate((0.5, 0.9, 1.0, 1.5, 2.25)):
        now[0] = at
        file.write(0, n, b"1")
    assert forced == [1.0, 2.25]
    file.close()
    assert forced == [1.0, 2.25, 2.25]


# --- what studies keep ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Odd:
    """Numbers that are hard to write."""

    values: dict[str, float] = field(default_factory=dict)


ODD = Odd({"n": nan, "i": inf, "m": -inf, "z": -0.0, "s": 5e-324, "t": 0.1 + 0.2, "l": 1e308 / 3})


def odd(_: int) -> Odd:
    return ODD


def read_back(path, work, item):
    """Return a result as it is given first, and as a study that goes on gets it."""
    found = []
    for workers in (here, Counted(lambda _: pytest.fail("done twice"))):
        file = ResultsFile(path, HEAD)
        found.append(next(Keeping(workers, file)(work, [item])))
        file.close()
    return found


def test_numbers_come_back_to_the_last_bit(path):
    assert [repr(one) for one in read_back(path, odd, 0)] == [repr(ODD), repr(ODD)]


@pytest.mark.parametrize(
    ("work", "item"),
    [
        (attempt, Job("first-evening", load("first-evening"), "hasty", 3)),
        (attempt, Job("quiet-morning", load("quiet-morning"), "partial-50", 1)),
        (trials, Batch("gyro-bias-moved", 0.5, 1, ("pad-look", "stick-display", "propellers"))),
        (fresh_shown, Batch(None, 0.0, 1, ("rails", "pack-at-rest"))),
    ],
)
def test_what_a_study_gets_from_its_file_is_what_was_worked_out(path, work, item):
    wanted = repr(work(item))
    assert len(wanted) > 100
    assert [repr(one) for one in read_back(path, work, item)] == [wanted, wanted]


def test_shown_values_are_kept_by_check_and_measure(path):
    _, again = read_back(path, fresh_shown, Batch(None, 0.0, 1, ("pack-at-rest",)))
    assert ("pack-at-rest", "lowest_cell_v") in again[FRESH]


# --- killed, and large ----------------------------------------------------------------------------

STUDY = """
import sys
from pathlib import Path
from sim.diagnosis.kept import Keeping, ResultsFile
from sim.diagnosis.pool import on_cores
from tests.diagnosis.pieces import Piece, nothing, squared

if __name__ == "__main__":
    file = ResultsFile(Path(sys.argv[1]), {"study": "squares"})
    with on_cores(2, nothing) as workers:
        pieces = (Piece(n, sys.argv[2], 0.02) for n in range(100))
        for one in Keeping(workers, file)(squared, pieces):
            print(one.n, one.square)
    file.close()
"""


def assert_gone(processes: set[int]) -> None:
    """Wait for processes to end, but not for ever; one that nobody has asked about is a zombie."""
    until = time.monotonic() + 60.0
    for process in processes:
        status = Path(f"/proc/{process}/stat")
        while status.is_file() and status.read_text().split(") ")[1][0] != "Z":
            assert time.monotonic() < until
            time.sleep(0.02)


def test_a_study_killed_at_any_moment_goes_on_to_the_same_end(tmp_path):
    """Killed twice with SIGKILL; what is in the file by then is never done again."""
    script, file, log = tmp_path / "study.py", tmp_path / "kept.jsonl", tmp_path / "log"
    script.write_text(STUDY)
    root = str(Path(__file__).parents[2])
    words = [sys.executable, str(script), str(file), str(log)]
    kept_at_kill: list[set[int]] = []
    for wanted in (20, 60):
        started = subprocess.Popen(
            words, env={"PYTHONPATH": root}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        while not file.is_file() or file.read_bytes().count(b"\n") <= wanted:
            assert started.poll() is None
            time.sleep(0.005)
        started.kill()
        started.wait()
        done = log.read_text().split()
        lines = [json.loads(line) for line in file.read_bytes().splitlines()[1:-1]]
        assert_gone({line["result"]["process"] for line in lines[-9:]})
        kept_at_kill.append({line["item"] for line in lines})
    ended = subprocess.run(
        words, env={"PYTHONPATH": root}, capture_output=True, text=True, check=True
    )
    assert ended.stdout == "".join(f"{n} {n**2 / 7.0}\n" for n in range(100))
    last = log.read_text().split()[len(done) :]
    assert not {int(n) for n in last} & kept_at_kill[1]


LARGE = """
import json, resource, sys
from pathlib import Path
from sim.diagnosis.kept import Keeping, ResultsFile
from sim.diagnosis.attempts import Result
from sim.diagnosis.pool import here
from sim.diagnosis.tally import studied
from sim.scoring.detection import Calls
from sim.scoring.judgement import Calibration

FAULTS = ("pitch-channel-reversed", "level-trim-off")

def scored(n: int) -> Result:
    calls, known = Calls(n % 3, 1, n % 2, 80), Calibration(2, 0.9, 1.0, 0.01)
    who, points = ("careful", "hasty")[n % 2], (n * 7919 % 10001) / 100.0
    return Result("d", who, n, "cleared to hop", points, FAULTS, FAULTS[:1], 1, 0, calls, known)

def peak_mb():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0

def results(many):
    file = ResultsFile(Path(sys.argv[1]), {"study": "large"})
    for n, one in enumerate(Keeping(here, file)(scored, range(many))):
        if n == 50_000:
            peaks.append(peak_mb())
        yield one
    file.close()

peaks = []
document = studied(results(1_000_000))
peaks.append(peak_mb())
print(json.dumps([peaks, document]))
"""


@pytest.mark.slow
def test_memory_does_not_grow_with_a_million_runs(tmp_path):
    """Only where each line begins is held, 8 bytes a run; as objects the runs take some 800 MB."""
    ended = subprocess.run(
        [sys.executable, "-c", LARGE, str(tmp_path / "kept.jsonl")],
        env={"PYTHONPATH": str(Path(__file__).parents[2])}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    (early_mb, late_mb), document = json.loads(ended.stdout)
    print(f"{early_mb:.0f} MB after 50 000 runs, {late_mb:.0f} MB after a million")
    assert late_mb - early_mb <= 25.0  # twice the 8 MB, while the array is made longer, and some
    assert document["stand_ins"]["careful"]["attempts"] == 500_000
    assert document["stand_ins"]["hasty"]["points"]["most"] == 100.0
