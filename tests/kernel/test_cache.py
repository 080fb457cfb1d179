"""Compiled code is taken up only where it would not be compiled anew."""

import os
import shutil
import sys
import tempfile
from pathlib import Path

import numpy as np
import pytest

import sim.kernel
from sim.bench.rig import HANDS_OFF
from sim.kernel import cache, warm
from sim.kernel.jit import Entry

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
    for name in ("run.py", "faces.py"):
        os.utime(folder / name, (1.0, 1.0))  # s; the compiler goes by the time of these files
        names.add(cache.key(folder))
    monkeypatch.setattr(sys.implementation, "cache_tag", "cpython-999")
    names.add(cache.key(folder))
    monkeypatch.setattr(cache, "version", lambda name: f"{name} of tomorrow")
    names.add(cache.key(folder))
    assert len(names) == 5


def test_warm_means_that_all_compiled_loops_of_this_folder_are_there(tmp_path, monkeypatch):
    monkeypatch.setenv("DRYHOP_CACHE_DIR", str(tmp_path))
    assert not cache.is_warm()
    below = cache.cache_dir() / "kernel_1"
    below.mkdir(parents=True)
    (below / "run.other-1.nbc").write_bytes(b"")
    for name in cache.KEPT:
        assert not cache.is_warm()
        (below / f"{name}-1.nbc").write_bytes(b"")
    assert cache.is_warm()
    monkeypatch.setattr(cache, "key", lambda _: "another")
    assert not cache.is_warm()


def test_a_command_without_a_window_needs_the_flight_model_alone(tmp_path, monkeypatch):
    monkeypatch.setenv("DRYHOP_CACHE_DIR", str(tmp_path))
    below = cache.cache_dir() / "kernel_1"
    below.mkdir(parents=True)
    assert not cache.is_warm(cache.FLIGHT)
    (below / "run.run-1.nbc").write_bytes(b"")
    assert cache.is_warm(cache.FLIGHT)
    assert not cache.is_warm()


def test_a_flight_and_a_picture_leave_what_is_looked_for(craft, flight):
    flight(craft).run(0.001, HANDS_OFF)
    warm.paint()
    assert cache.is_warm()
    assert np.isfinite(flight(craft).run(0.001, HANDS_OFF).rows).all()


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """Return files of compiled code, each with its list, in a cache of their own."""
    monkeypatch.setenv("DRYHOP_CACHE_DIR", str(tmp_path / "cache"))
    below = cache.cache_dir() / "kernel_1"
    below.mkdir(parents=True)
    files = [below / f"{name}-1.py311{end}" for name in cache.KEPT for end in (".1.nbc", ".nbi")]
    for file in files:
        file.write_bytes(b"machine code")
    cache.seal()
    assert cache.is_warm()
    return files


def compiled_again(kept):
    for file in kept:
        file.write_bytes(b"new code")


@pytest.mark.parametrize("which", [0, 1, -2, -1])
@pytest.mark.parametrize("damage", [b"", b"machine codf", b"machine code and more"])
def test_damaged_code_is_deleted_and_compiled_again(kept, which, damage):
    kept[which].write_bytes(damage)
    assert not cache.is_warm()
    assert not any(file.exists() for file in kept)
    compiled_again(kept)
    cache.seal()
    assert cache.is_warm()


def test_a_lost_list_or_a_spoiled_seal_is_damage_as_well(kept):
    kept[1].unlink()
    assert not cache.is_warm()
    compiled_again(kept)
    (cache.cache_dir() / cache.SEAL).write_bytes(b"\xff\x00")
    assert not cache.is_warm()
    assert not kept[0].exists()


def test_what_nobody_has_sealed_yet_is_left_alone(kept):
    (cache.cache_dir() / cache.SEAL).unlink()
    kept[0].write_bytes(b"more of it")
    assert cache.is_warm()
    assert kept[0].exists()
    assert not (cache.cache_dir() / cache.SEAL).exists()


@pytest.fixture
def nowhere(tmp_path, monkeypatch):
    """Take the cache away; return the folder of temporary files."""
    (tmp_path / "file").write_text("in the way")
    (tmp_path / "temporary").mkdir()
    monkeypatch.setenv("DRYHOP_CACHE_DIR", str(tmp_path / "file" / "cache"))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    cache._nobody_elses.cache_clear()
    yield tmp_path / "temporary"
    cache._nobody_elses.cache_clear()


def test_where_nothing_can_be_written_temporary_files_stand_in_for_each_source(
    nowhere, monkeypatch
):
    folder = cache.cache_dir()
    assert folder.is_relative_to(nowhere)
    assert folder == cache.cache_dir()
    assert folder.parent.stat().st_mode & 0o077 == 0
    monkeypatch.setattr(cache, "key", lambda _: "another")
    assert cache.cache_dir() != folder


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="temporary files are each user's own")
def test_code_is_not_read_from_where_others_can_write_it(nowhere):
    folder = cache.cache_dir().parent
    folder.chmod(0o777)
    assert cache.cache_dir().parent != folder
    shutil.rmtree(folder)
    (nowhere / "theirs").mkdir(mode=0o700)
    folder.symlink_to(nowhere / "theirs")
    assert cache.cache_dir().parent != folder
    assert cache.cache_dir() == cache.cache_dir()


def test_a_home_that_is_none_makes_no_folder_of_that_name(nowhere, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("DRYHOP_CACHE_DIR", "~/.cache/dryhop")
    assert cache.cache_dir().is_relative_to(nowhere)
    assert not (tmp_path / "~").exists()


def doubled(value):
    return 2 * value


def test_what_is_compiled_later_is_sealed_with_the_rest(tmp_path, monkeypatch):
    """Else the next command would take the folder for damaged, and compile all of it again."""
    monkeypatch.setenv("DRYHOP_CACHE_DIR", str(tmp_path))
    sealed: list[int] = []
    monkeypatch.setattr(cache, "seal", lambda: sealed.append(len(cache._kept(cache.cache_dir()))))
    run = Entry(doubled)
    assert run(4) == run(4) == 8
    assert len(sealed) == 1
    assert run(0.5) == 1.0
    assert len(sealed) == 2
    assert 0 < sealed[0] < sealed[1]  # after it was kept
    assert Entry(doubled)(4) == 8
    assert len(sealed) == 2  # read from the folder: nothing new
