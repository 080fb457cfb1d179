"""Commands: exit 0 for fine, 1 for no, 2 for bad input; --json is one document (design 7)."""

import json
import os
import shutil
import subprocess
import sys
from collections import Counter

import pytest

from sim import __version__
from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.session.scenario import names

FILES = {"scenario.yaml", "journal.jsonl", "trace.csv", "scorecard.json"}


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    """Return (run folder, scorecard) of the careful stand-in, made by the command in a process."""
    folder = tmp_path_factory.mktemp("cli") / "run"
    words = [
        "rehearse",
        "first-evening",
        "--stand-in",
        "careful",
        "--seed",
        "7",
        "--out",
        folder,
        "--json",
    ]
    ended = subprocess.run(
        [sys.executable, "-m", "sim.cli", *map(str, words)],
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert ended.returncode == 0, ended.stderr
    return folder, json.loads(ended.stdout)


def test_rehearse_fills_a_run_folder(run):
    folder, card = run
    assert {path.name for path in folder.iterdir()} >= FILES
    assert json.loads((folder / "scorecard.json").read_text()) == card
    assert card["verdict"] == "cleared to hop"
    assert not [p for p in folder.iterdir() if p.name.endswith(".part")]


def test_two_processes_write_the_same_bits(run, dryhop, tmp_path):
    dryhop("rehearse", "first-evening", "--seed", 7, "--out", tmp_path / "again", "--json")
    for name in ("scenario.yaml", "journal.jsonl", "trace.csv"):
        assert (tmp_path / "again" / name).read_bytes() == (run[0] / name).read_bytes()


def test_replay_and_score_agree_with_it(run, dryhop):
    said = dryhop("replay", run[0])
    assert (said.code, said.err) == (0, "")
    scored = dryhop("score", run[0], "--json")
    assert (scored.code, json.loads(scored.out), scored.err) == (0, run[1], "")
    assert "CLEARED TO HOP" in dryhop("score", run[0]).out


@pytest.mark.parametrize(("seed_a", "seed_b", "same"), [(3, 3, True), (3, 4, False)])
def test_seed_decides(dryhop, seed_a, seed_b, same):
    a, b = (
        dryhop("rehearse", "first-evening", "--stand-in", "clicker", "--seed", seed, "--json").out
        for seed in (seed_a, seed_b)
    )
    assert (json.loads(a)["false_squawks"] == json.loads(b)["false_squawks"]) == same


def test_not_cleared_is_exit_one(dryhop, tmp_path):
    said = dryhop(
        "rehearse", "first-evening", "--stand-in", "hasty", "--out", tmp_path / "r", "--json"
    )
    assert (said.code, json.loads(said.out)["verdict"]) == (1, "stay on the bench")
    assert dryhop("score", tmp_path / "r").code == 1
    assert dryhop("replay", tmp_path / "r").code == 0  # the run is a true one all the same


def test_demo_tells_the_story_and_ends_with_the_scorecard(dryhop, tmp_path):
    said = dryhop("demo", "--out", tmp_path / "run")
    assert said.code == 0
    for text in ("First evening", "CLEARED TO HOP", "pitch-channel-reversed", "Run folder"):
        assert text in said.out
    assert {path.name for path in (tmp_path / "run").iterdir()} >= FILES


def test_demo_works_without_a_terminal_from_anywhere(tmp_path):
    bare = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "TERM", "COLUMNS")}
    ended = subprocess.run(
        [sys.executable, "-m", "sim.cli", "demo", "club-loaner"],
        cwd=tmp_path, env=bare, capture_output=True, text=True, timeout=120, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert ended.returncode == 0, ended.stderr
    (folder,) = (tmp_path / "runs").iterdir()
    assert folder.name.startswith("club-loaner-")


def keyed(rows, key):
    return {row[key] for row in rows}


@pytest.mark.parametrize(
    ("command", "key", "expected"),
    [
        ("scenarios", "name", set(names())),
        ("faults", "id", set(CATALOGUE)),
        ("checks", "key", set(CHECKS)),
    ],
)
def test_listings(dryhop, command, key, expected):
    listed = dryhop(command, "--json")
    assert (listed.code, listed.err) == (0, "")
    assert keyed(json.loads(listed.out), key) == expected
    plain = dryhop(command)
    assert plain.code == 0
    assert len(plain.out.splitlines()) > len(expected)


def test_schema_names_every_key(dryhop):
    schema = json.loads(dryhop("validate", "--schema").out)
    assert {"title", "purpose", "origin", "faults", "hop"} <= set(schema["properties"])


def test_qualify_passes(dryhop):
    said = dryhop("qualify", "--json")
    document = json.loads(said.out)
    assert (said.code, said.err) == (0, "")
    assert document["passed"] == len(document["rows"]) >= 80
    assert all(row["passed"] for row in document["rows"])
    by_kind = {kind: sum(found.values()) for kind, found in document["counts"].items()}
    assert by_kind == Counter(row["kind"] for row in document["rows"])
    ends = dryhop("qualify").out.split()
    assert f"{by_kind['outside']} outside" in " ".join(ends[-40:])


def test_version(dryhop):
    assert dryhop("version").out.strip() == __version__


@pytest.mark.parametrize(
    ("words", "names_it"),
    [
        (["rehearse", "first-evning"], "first-evening"),
        (["rehearse", "first-evening", "--stand-in", "carefull"], "careful"),
        (["rehearse", "gone.yaml"], "gone.yaml"),
        (["demo", "gone.yaml"], "gone.yaml"),
        (["replay", "gone"], "gone"),
        (["score", "gone"], "gone"),
        (["validate", "gone.yaml"], "gone.yaml"),
        (["rehearse", "first-evening", "--stand-in", "clicker", "--seed", "-1"], "-1"),
    ],
)
def test_bad_input_is_exit_two_with_one_line(dryhop, words, names_it):
    said = dryhop(*words)
    assert (said.code, said.out) == (2, "")
    assert said.err.count("\n") == 1
    assert names_it in said.err


def test_a_file_in_the_way_of_the_run_folder_is_exit_two(dryhop, tmp_path):
    (tmp_path / "taken").write_text("mine")
    said = dryhop("rehearse", "first-evening", "--stand-in", "clicker", "--out", tmp_path / "taken")
    assert said.code == 2
    assert said.err.count("\n") == 1
    assert (tmp_path / "taken").read_text() == "mine"


@pytest.mark.parametrize("text", ["not json", "[]", "{}"])
def test_score_bears_a_broken_note_of_who_flew(dryhop, run, tmp_path, text):
    folder = shutil.copytree(run[0], tmp_path / "run")
    (folder / "attempt.json").write_text(text)
    said = dryhop("score", folder, "--json")  # scenario and journal are all that marks rest on
    assert said.code == 0
    assert json.loads(said.out)["points"] == run[1]["points"]
