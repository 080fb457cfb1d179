"""Spoiled files of every kind: a clear line and the right code, no traceback, no hang."""

import resource
import signal

import pytest

from tools.fuzz import MOST_KB, fuzzed


@pytest.fixture(autouse=True)
def _alarm():
    """Put the alarm clock back."""
    before = signal.getsignal(signal.SIGALRM)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize("files", [45, pytest.param(5000, marks=pytest.mark.slow)])
def test_spoiled_files_are_refused_or_taken(files):
    counts, wrong, _ = fuzzed(files, seed=files)
    assert wrong == []
    assert sum(counts.values()) == files
    assert len(counts) == 11
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss < MOST_KB
