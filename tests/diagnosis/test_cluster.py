"""A study on a cluster: a scheduler and two workers as processes of their own on this computer."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.diagnosis import cluster, pool
from sim.diagnosis.cluster import on_cluster, same_origin
from sim.diagnosis.kept import Keeping, ResultsFile
from sim.errors import DryhopError
from sim.origin import origin
from tests.diagnosis.loopback import ROOT, Cluster
from tests.diagnosis.pieces import Meeting, Piece, Squared, fails, met, squared


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Cluster]:
    """Return a cluster of two workers."""
    pytest.importorskip("distributed")
    found = Cluster(tmp_path)
    found.add_worker()
    found.add_worker()
    yield found
    found.end()


def wanted(count: int) -> list[Squared]:
    return [Squared(n, n**2 / 7.0, 0) for n in range(count)]


def test_two_workers_give_results_in_order_and_one_lost_midway_costs_only_its_pieces(two, tmp_path):
    log, folder = tmp_path / "log", tmp_path / "meeting"
    folder.mkdir()
    with on_cluster(two.address) as workers:
        together = list(workers(met, [Meeting(n, str(folder), 2) for n in range(2)]))
        assert {process for _, process in together} == {one.pid for one in two.workers}
        pieces = (Piece(n, str(log), 0.02) for n in range(100))
        file = ResultsFile(tmp_path / "kept.jsonl", {"study": "squares"})
        found = []
        for one in Keeping(workers, file)(squared, pieces):
            found.append(one)
            if len(found) == 30:
                two.workers[0].kill()
        file.close()
    assert found == wanted(100)
    assert {one.process for one in found[-20:]} == {two.workers[1].pid}
    again = len(log.read_text().split()) - 100
    assert 0 <= again <= 2 * pool.AHEAD  # at most what was in hand


def test_what_stops_a_cluster_is_said_in_one_line(two, monkeypatch):
    monkeypatch.setattr(cluster, "ANSWER_S", 1.0)
    with on_cluster(two.address) as workers:
        assert list(workers(squared, [Piece(n) for n in range(9)])) == wanted(9)
        with pytest.raises(ZeroDivisionError):
            list(workers(fails, range(6)))
    for process in two.workers:
        process.kill()
    monkeypatch.setattr(pool, "SILENCE_S", 1.0)
    with pytest.raises(DryhopError, match="has no workers"), on_cluster(two.address) as workers:
        list(workers(squared, [Piece(1)]))
    with pytest.raises(DryhopError, match="does not answer"), on_cluster(two.address) as workers:
        list(workers(squared, ends_first(two.scheduler)))
    with pytest.raises(DryhopError, match="No cluster answers at tcp:"), on_cluster(two.address):
        pass


def ends_first(process: "subprocess.Popen[bytes]") -> Iterator[Piece]:
    yield Piece(1)
    process.kill()
    yield Piece(2)


def test_a_worker_of_another_version_refuses_the_work():
    mine = origin()
    assert same_origin(abs, mine, -3) == 3
    with pytest.raises(DryhopError, match=r"has another sources: .*, here elsewhere"):
        same_origin(abs, {**mine, "sources": "elsewhere"}, -3)
    with pytest.raises(DryhopError, match="has another numpy"):
        same_origin(abs, {**mine, "numpy": "0"}, -3)


def test_a_cluster_without_its_package_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(DryhopError, match=r"dryhop\[cluster\]"), on_cluster("tcp://nowhere:1"):
        pass


@pytest.mark.parametrize(
    "address", ["tcp://127.0.0.1:1", "nonsense", "tcp://127.0.0.1:x", "ab://c"]
)
def test_an_address_where_nothing_is_gets_one_line(address, monkeypatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr(cluster, "ANSWER_S", 0.5)
    with pytest.raises(DryhopError, match="No cluster answers at"), on_cluster(address):
        pass


def study(folder: Path, name: str, *words: str) -> tuple[dict[str, object], list[bytes]]:
    """Return the document and the kept lines, in the order of the items, of a real study."""
    file = folder / f"{name}.jsonl"
    ended = subprocess.run(
        [sys.executable, "-m", "sim", "study", "first-evening", "--stand-ins", "hasty,partial-50",
         "--runs", "4", "--json", "--keep", str(file), *words],
        cwd=ROOT, capture_output=True, check=True,
    )  # fmt: skip
    document = json.loads(ended.stdout)
    del document["seconds"]
    return document, sorted(file.read_bytes().splitlines(), key=lambda line: (len(line), line))


@pytest.mark.slow
def test_a_study_of_a_drill_is_the_same_on_a_cluster(two, tmp_path):
    alone = study(tmp_path, "alone", "--workers", "1")
    assert study(tmp_path, "cores", "--workers", "2") == alone
    assert study(tmp_path, "cluster", "--cluster", two.address) == alone
