"""Killed at any moment, an attempt loses nothing that was finished and goes on where it was left."""

import subprocess
import sys

import pytest

from sim.paths import assets_dir


def killed(count, limit_s):
    """Return what the tool that kills attempts says, run in a process of its own."""
    ended = subprocess.run(
        [sys.executable, "-m", "tools.crash", "--kills", str(count)],
        cwd=assets_dir().parent, capture_output=True, text=True, timeout=limit_s, check=False,
    )  # fmt: skip
    assert ended.returncode == 0, ended.stderr
    return ended.stdout


@pytest.mark.skipif(sys.platform == "win32", reason="needs fork and SIGKILL")
def test_a_few_moments():
    assert "3 kills" in killed(3, limit_s=120)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="needs fork and SIGKILL")
def test_two_hundred_moments():
    said = killed(200, limit_s=1800)
    assert "nothing lost" in said
    assert said.count("taken up") >= 2
