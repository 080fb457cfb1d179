"""Compiled code is taken up only where it would not be compiled anew."""

import os
import shutil
import sys
from pathlib import Path

import numpy as np
import pytest

import sim.kernel
from sim.bench.rig import HANDS_OFF
from sim.kernel import cache

KERNEL = Path(sim.kernel.__file__).parent


@pytest.fixture
def folder(tmp_path):
    """Return a kernel of another installation, as old as ours."""
    return Path(shutil.copytree(KERNEL, tmp_path / "kernel", copy_function=shutil.copy2))


def test_an_installation_elsewhere_has_a_folder_of_its_own(folder):
    assert cache.key(folder) != cache.key(KERNEL)
    assert cache.key(folder) == cache.key(folder)


def test_any_edit_and_any_new_file_changes_the_name(folder):
    names = {cache.key(folder)}
    with (folder / "rotor.py").open("a") as file:
        file.write("# a word more\n")
    names.add(cache.key(folder))
    (folder / "new.py").write_text("")
    names.add(cache.key(folder))
    (folder / "new.py").rename(folder / "newer.py")
    names.add(cache.key(folder))
    assert len(names) == 4


def test_so_does_all_else_that_makes_the_compiler_start_again(folder, monkeypatch):
    names = {cache.key(folder)}
    os.utime(folder / "run.py", (1.0, 1.0))  # s; the compiler goes by the time of this one file
    names.add(cache.key(folder))
    monkeypatch.setattr(sys.implementation, "cache_tag", "cpython-999")
    names.add(cache.key(folder))
    monkeypatch.setattr(cache, "version", lambda name: f"{name} of tomorrow")
    names.add(cache.key(folder))
    assert len(names) == 4


def test_warm_means_that_the_compiled_loop_of_this_folder_is_there(tmp_path, monkeypatch):
    monkeypatch.setenv("DRYHOP_CACHE_DIR", str(tmp_path))
    assert not cache.is_warm()
    below = cache.cache_dir() / "kernel_1"
    below.mkdir(parents=True)
    (below / "run.other-1.nbc").write_bytes(b"")
    assert not cache.is_warm()
    (below / "run.run-1.nbc").write_bytes(b"")
    assert cache.is_warm()
    monkeypatch.setattr(cache, "key", lambda _: "another")
    assert not cache.is_warm()


def test_a_flight_leaves_what_is_looked_for(craft, flight):
    flight(craft).run(0.001, HANDS_OFF)
    assert cache.is_warm()
    assert np.isfinite(flight(craft).run(0.001, HANDS_OFF).rows).all()
