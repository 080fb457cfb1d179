"""Killed in the middle, again and again: the file stays whole, nothing finished is lost."""

import json
import os
import subprocess
import sys

import pytest


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no process can be forked here")
@pytest.mark.parametrize("times", [6, pytest.param(200, marks=pytest.mark.slow)])
def test_killed_at_any_moment_nothing_finished_is_lost(tmp_path, times):
    """Half of them in each of two processes that write to one logbook; each run replays to the bit."""
    call = [
        sys.executable,
        "-W",
        "error",
        "-m",
        "tests.logbook.killed",
        tmp_path / "home",
        times,
        7,
    ]
    done = subprocess.run([str(word) for word in call], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    counts = json.loads(done.stdout)
    assert counts["in the end"] >= counts["finished"] >= counts["entered"]
    assert counts["in the end"] - counts["finished"] <= times + 2  # killed before it could say so
    if times == 200:  # of few kills none may fall into the middle of an evening
        assert counts["taken-up"] > 20
        assert counts["finished"] > 20
