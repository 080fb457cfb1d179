"""How much faster a study is with two workers than with one. Run with `--benchmark-enable`."""

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sim.diagnosis.attempts import Job, attempt
from sim.diagnosis.cluster import on_cluster
from sim.diagnosis.pool import Mapper, here, on_cores
from sim.diagnosis.readings import load_model
from sim.session.scenario import load
from tests.diagnosis.loopback import Cluster
from tests.diagnosis.pieces import Meeting, Piece, met, squared

pytestmark = pytest.mark.bench

ITEMS = 24
FASTER = 1.8  # design target
DRILL = load("quiet-morning")
WORK: dict[str, tuple[Any, Any]] = {
    "flying": (attempt, [Job("quiet-morning", DRILL, "hasty", seed) for seed in range(ITEMS)]),
    "waiting": (squared, [Piece(n, seconds=0.25) for n in range(ITEMS)]),  # costs no processor
}


def timed_s(spread: Mapper, workers: int, folder: Path, kind: str) -> float:
    """Return how long a study takes once every worker is there and has flown."""
    meeting = folder / f"meeting-{workers}-{time.monotonic_ns()}"
    meeting.mkdir()
    list(spread(met, [Meeting(n, str(meeting), workers) for n in range(workers)]))
    work, items = WORK[kind]
    list(spread(work, items[: 4 * workers]))
    start = time.perf_counter()
    list(spread(work, items))
    return time.perf_counter() - start


def compared(benchmark, one: Callable[[], float], two: Callable[[], float]) -> None:
    if len(os.sched_getaffinity(0)) < 2:
        pytest.skip("one core only")
    alone_s = one()
    together_s = benchmark.pedantic(two, rounds=1)
    benchmark.extra_info.update(one_s=alone_s, two_s=together_s, speed_up=alone_s / together_s)
    print(f"one {alone_s:.2f} s, two {together_s:.2f} s, {alone_s / together_s:.2f} times")
    assert alone_s / together_s >= FASTER


@pytest.mark.parametrize("kind", WORK)
def test_two_processes(benchmark, tmp_path, kind):
    def two() -> float:
        with on_cores(2, load_model) as workers:
            return timed_s(workers, 2, tmp_path, kind)

    compared(benchmark, lambda: timed_s(here, 1, tmp_path, kind), two)


@pytest.mark.parametrize("kind", WORK)
def test_two_workers_of_a_cluster(benchmark, tmp_path, kind):
    pytest.importorskip("distributed")
    cluster = Cluster(tmp_path)

    def with_one_more(count: int) -> Callable[[], float]:
        def timed() -> float:
            cluster.add_worker()
            with on_cluster(cluster.address) as workers:
                return timed_s(workers, count, tmp_path, kind)

        return timed

    try:
        compared(benchmark, with_one_more(1), with_one_more(2))
    finally:
        cluster.end()
