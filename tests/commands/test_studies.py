"""Studies by the command: what is kept when one is cut short, and what is said then."""

import errno
import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from sim.commands.ends import BAD_INPUT, FINE, NO, STOPPED
from sim.diagnosis import attempts
from sim.diagnosis.attempts import made as make
from sim.diagnosis.kept import ResultsFile
from sim.errors import DryhopError
from sim.session.record import Record
from sim.session.scenario import load
from sim.trainees.standins import Attempt

STUDY = ("study", "quiet-morning", "--stand-ins", "hasty", "--runs", "3", "--workers", "1")


@pytest.fixture
def cut_short(monkeypatch) -> Callable[[BaseException, int], None]:
    """Return what makes studies stop as their file holds so many results."""
    write = ResultsFile.write

    def at(error: BaseException, results: int) -> None:
        def stops(self: ResultsFile, stage: int, item: int, result: bytes) -> None:
            if self.count == results:
                raise error
            write(self, stage, item, result)

        monkeypatch.setattr(ResultsFile, "write", stops)

    return at


@cache
def attempt_made() -> tuple[Record, bool]:
    return make(Attempt(load("quiet-morning"), "hasty", 0))


@pytest.fixture(autouse=True)
def made(monkeypatch) -> list[int]:
    """Return the seeds of the attempts that were made; each comes to the same, at no cost."""
    seeds: list[int] = []

    def noted(attempt: Attempt) -> tuple[Record, bool]:
        seeds.append(attempt.seed)
        return attempt_made()

    monkeypatch.setattr(attempts, "made", noted)
    return seeds


@pytest.fixture(autouse=True)
def cache_folder(monkeypatch, tmp_path) -> Path:
    """Return a folder of the test's own for what studies keep if no file is named."""
    monkeypatch.setattr("sim.commands.working.user_cache", lambda: str(tmp_path / "cache"))
    return tmp_path / "cache" / "studies"


def table(said: Any) -> dict[str, object]:
    document: dict[str, object] = json.loads(said.out)
    del document["seconds"]
    return document


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (KeyboardInterrupt(), STOPPED, "Stopped."),
        (OSError(errno.ENOSPC, "No space left", "f"), BAD_INPUT, "f: No space left"),
        (DryhopError("The cluster does not answer."), NO, "The cluster does not answer."),
    ],
)
def test_cut_short_it_says_what_is_kept_and_the_same_command_goes_on(
    dryhop, cut_short, cache_folder, made, error, code, words
):
    whole = table(dryhop(*STUDY, "--json"))
    assert (made, list(cache_folder.iterdir())) == ([0, 1, 2], [])
    cut_short(error, 2)
    said = dryhop(*STUDY, "--json")
    (file,) = cache_folder.iterdir()
    assert (said.code, said.out) == (code, "")
    assert said.err.splitlines()[-2:] == [
        f"Kept 2 results in {file}: the same command goes on from there.",
        words,
    ]
    cut_short(error, 9)
    said = dryhop(*STUDY, "--json")
    assert f"Going on with 2 results in {file}" in said.err
    assert (table(said), made) == (whole, [0, 1, 2, 0, 1, 2, 2])
    assert list(cache_folder.iterdir()) == []


def test_a_named_file_stays_and_a_finished_study_is_not_done_again(dryhop, tmp_path, made):
    keep = ("--keep", tmp_path / "hasty.jsonl")
    first = dryhop(*STUDY, *keep, "--json")
    assert table(dryhop(*STUDY, *keep, "--json")) == table(first)
    assert made == [0, 1, 2]
    lines = [json.loads(line) for line in keep[1].read_text().splitlines()]
    assert (lines[0]["study"], lines[0]["runs"]) == ("drills", 3)
    assert [line["result"]["seed"] for line in lines[1:]] == [0, 1, 2]
    assert dryhop(*STUDY, *keep, "--fresh").code == FINE
    assert made == [0, 1, 2, 0, 1, 2]


def test_begun_afresh_and_cut_short_it_says_to_go_on_without_that(dryhop, cut_short, cache_folder):
    cut_short(KeyboardInterrupt(), 1)
    said = dryhop(*STUDY, "--fresh")
    (file,) = cache_folder.iterdir()
    wanted = f"Kept 1 result in {file}: the same command without --fresh goes on from there."
    assert said.err.splitlines()[-2:] == [wanted, "Stopped."]


def test_the_file_of_another_study_is_refused_and_says_what_to_do(dryhop, tmp_path):
    path = tmp_path / "hasty.jsonl"
    assert dryhop(*STUDY, "--keep", path).code == FINE
    said = dryhop(*STUDY, "--keep", path, "--runs", "4")
    assert said.code == BAD_INPUT
    assert said.err == (
        f"{path}:1: runs = 3: this study has 4: begin anew with --fresh, or name another file\n"
    )


def test_kept_results_of_another_version_in_the_cache_folder_are_done_again(
    dryhop, cut_short, cache_folder, made
):
    cut_short(KeyboardInterrupt(), 1)
    dryhop(*STUDY)
    (file,) = cache_folder.iterdir()
    file.write_text(file.read_text().replace('"dryhop": "', '"dryhop": "9'))
    cut_short(KeyboardInterrupt(), 9)
    assert dryhop(*STUDY).code == FINE
    assert made == [0, 1, 0, 1, 2]


def test_where_nothing_can_be_kept_it_says_so_and_goes_on(dryhop, cache_folder):
    cache_folder.parent.write_text("a file is in the way\n")
    said = dryhop(*STUDY)
    assert said.code == FINE
    assert said.err.splitlines()[0] == f"Nothing is kept meanwhile: {cache_folder}: Not a directory"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--keep", "no-such-folder/kept.jsonl"), "no-such-folder/kept.jsonl: No such file"),
        (("--keep", "."), ".: Is a directory"),
        (("--cluster", "tcp://127.0.0.1:1"), "--workers: 1: not with --cluster"),
    ],
)
def test_what_can_not_be_used_is_one_line(dryhop, monkeypatch, tmp_path, words, says):
    monkeypatch.chdir(tmp_path)
    said = dryhop(*STUDY, *words)
    assert (said.code, said.out, said.err.count("\n")) == (BAD_INPUT, "", 1)
    assert said.err.startswith(says)


def test_tables_that_can_not_be_written_are_told_before_the_work(dryhop, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("in the way\n")
    monkeypatch.setattr("sim.diagnosis.bandstudy.bands", lambda *_: pytest.fail("worked in vain"))
    said = dryhop("study", "--bands", "--out", tmp_path / "file")
    assert (said.code, said.err.count("\n")) == (BAD_INPUT, 1)
    assert said.err.startswith(f"{tmp_path / 'file'}")
    assert said.err.endswith(": Not a directory\n")
