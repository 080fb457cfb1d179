"""Work spread over processes: results in order, and never more in hand than said."""

from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Event

import pytest

from sim.diagnosis import pool
from sim.diagnosis.pool import AHEAD, Elsewhere, here, on_cores
from sim.errors import DryhopError
from tests.diagnosis.pieces import Meeting, ends, fails, met, nothing

WORKERS = 2


@pytest.fixture(scope="module")
def processes():
    with on_cores(WORKERS, nothing) as workers:
        yield workers


def test_results_come_in_the_order_of_the_items_from_several_processes(processes, tmp_path):
    pieces = [Meeting(n, str(tmp_path), WORKERS if n < WORKERS else 0) for n in range(40)]
    done: list[int] = []
    found = list(processes(met, pieces, lambda: done.append(1)))
    assert [n for n, _ in found] == list(range(40))
    assert len(done) == 40
    assert len({process for _, process in found}) == WORKERS
    assert len({process for _, process in found[:WORKERS]}) == WORKERS


def noting(count: int, taken: list[int]) -> Iterator[int]:
    """Give numbers, noting each that is taken."""
    for n in range(count):
        taken.append(n)
        yield n


def test_alone_nothing_is_begun_before_it_is_asked_for():
    taken: list[int] = []
    results = here(abs, noting(9, taken))
    assert taken == []
    assert next(results) == 0
    assert taken == [0]


def test_a_long_piece_lets_the_others_go_ahead_so_far_and_no_further():
    taken: list[int] = []
    first, others = Event(), [Event() for _ in range(99)]

    def waits(n: int) -> int:
        if n == 0:
            first.wait()
        others[n - 1].set()
        return n

    with ThreadPoolExecutor(WORKERS) as threads:
        workers = Elsewhere(threads.submit, WORKERS)
        coming = workers.as_they_come(waits, noting(60, taken))
        early = [next(coming) for _ in range(AHEAD * WORKERS - 1)]
        assert sorted(place for place, _ in early) == list(range(1, AHEAD * WORKERS))
        assert taken == list(range(AHEAD * WORKERS))
        first.set()
        assert next(coming) == (0, 0)
        assert sorted(place for place, _ in coming) == list(range(AHEAD * WORKERS, 60))
        assert taken == list(range(60))


def test_an_error_of_the_work_is_that_of_the_study(processes):
    with pytest.raises(ZeroDivisionError):
        list(processes(fails, range(6)))
    assert list(processes(fails, range(3))) == [0, -1, -2]


def test_a_process_ended_from_outside_is_said_in_one_line():
    with (
        pytest.raises(DryhopError, match="was ended from outside"),
        on_cores(WORKERS, nothing) as workers,
    ):
        list(workers(ends, range(4)))


def test_where_nothing_comes_for_long_somebody_looks(monkeypatch):
    monkeypatch.setattr(pool, "SILENCE_S", 0.01)
    looks: list[int] = []

    def looked_for() -> None:
        looks.append(1)
        if len(looks) == 3:
            raise DryhopError("nobody there")

    workers = Elsewhere(lambda work, item: Future(), 1, looked_for)
    with pytest.raises(DryhopError, match="nobody there"):
        list(workers(abs, [1]))
    assert len(looks) == 3
