"""Giving a run or a drill away and opening it, as commands; and the files of a free desktop."""

import configparser
import json
import shlex
import shutil
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from sim.commands import desktop
from sim.session.attempt import SCORECARD
from tools.fuzz import small_run


@pytest.fixture
def home(tmp_path, monkeypatch):
    """Stand in a folder of one's own, with a home of one's own and no display."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


def test_a_drill_there_and_back(dryhop, home):
    said = dryhop("share", "first-evening")
    assert (said.code, said.out) == (0, "Shared: first-evening.dryhop\n")
    assert dryhop("share", "first-evening").code == 2
    assert dryhop("share", "first-evening", "--replace").code == 0
    said = dryhop("first-evening.dryhop")
    path = home / "data" / "dryhop" / "drills" / "first-evening-1.yaml"
    assert said.code == 0
    assert f"dryhop practise {path}" in said.out
    assert dryhop("validate", path).code == 0


def test_a_run_there_and_back(dryhop, home):
    small_run(home / "runs" / "mine", whole=True)
    said = dryhop("share", "runs/mine", "--out", "mine.dryhop")
    assert "The name in it: a person" in said.out
    said = dryhop("open", "mine.dryhop", "--no-window")
    folder = home / "data" / "dryhop" / "opened" / "first-evening-1"
    assert f"dryhop logbook import {folder}" in said.out
    assert "a person" in (folder / SCORECARD).read_text()
    assert "It was opened before." in dryhop("open", "mine.dryhop").err
    said = dryhop("logbook", "import", folder, "--json", "--book", home / "club.sqlite")
    assert json.loads(said.out)["new"] == 1
    assert "name" not in dryhop("share", "runs/mine", "--out", "b.dryhop", "--nameless").out
    assert dryhop("open", "b.dryhop", "--out", home / "into").code == 0
    assert "a person" not in (home / "into" / SCORECARD).read_text()
    assert dryhop("logbook", "forget", "a person", "--yes").code == 0
    assert not folder.exists()
    assert (home / "into").exists()


@pytest.mark.parametrize(
    "words", [("open",), ("open", "no.dryhop"), ("no.dryhop",), ("share", "no")]
)
def test_what_is_not_there_is_told_in_a_line(dryhop, home, words):
    said = dryhop(*words)
    assert said.code == 2
    assert said.err.count("\n") == 1
    assert "Traceback" not in said.err


def test_a_file_that_is_none_is_told_in_a_line(dryhop, home):
    (home / "a.dryhop").write_bytes(b"PK\x03\x04 nothing of ours")
    said = dryhop("a.dryhop")
    assert said.code == 2
    assert said.err == "a.dryhop: no shared file: it does not end as one\n"
    assert sorted(path.name for path in home.iterdir()) == ["a.dryhop"]


def test_a_desktop_is_told_by_two_files(dryhop, home):
    said = dryhop("open", "--register")
    mime = home / "data" / "mime" / "packages" / "dryhop.xml"
    entry = home / "data" / "applications" / "dryhop-open.desktop"
    assert said.out == f"Written: {mime}\nWritten: {entry}\n"
    kinds = ElementTree.parse(mime).getroot()
    space = "{http://www.freedesktop.org/standards/shared-mime-info}"
    [kind] = kinds
    assert (kinds.tag, kind.tag) == (f"{space}mime-info", f"{space}mime-type")
    assert [glob.get("pattern") for glob in kind.iter(f"{space}glob")] == ["*.dryhop"]
    read = configparser.RawConfigParser()
    read.read(entry, encoding="utf-8")
    told = dict(read["Desktop Entry"])
    assert told["mimetype"] == f"{kind.get('type')};"
    assert shlex.split(told["exec"]) == [sys.executable, "-m", "sim", "open", "--by-click", "%f"]
    if shutil.which("update-mime-database"):
        globs = (home / "data" / "mime" / "globs2").read_text()
        assert f"{kind.get('type')}:*.dryhop" in globs
    if found := shutil.which("desktop-file-validate"):
        assert subprocess.run([found, entry], capture_output=True, check=False).stdout == b""


def test_a_path_with_anything_in_it_is_one_argument():
    odd = 'a "b" $c `d` \\e 100%'
    line = desktop.quoted(odd)
    # the value of a key first loses one layer of backslashes, then the quotes another, and %% is %
    # (Desktop Entry Specification 1.5, "The Exec key")
    unescaped = line.replace("\\\\", "\\")
    assert (
        shlex.split(unescaped.replace("\\`", "`").replace("\\$", "$"))[0].replace("%%", "%") == odd
    )


@pytest.fixture
def display(monkeypatch):
    """A display, on which nothing is opened; what would be is kept."""
    shown: list[object] = []
    monkeypatch.setattr("sim.commands.window.has_display", lambda: True)
    monkeypatch.setattr("sim.commands.window.on_shared", shown.append)
    monkeypatch.setattr("sim.commands.window.at_home", shown.append)
    return shown


def test_with_a_display_the_window_does_the_rest(dryhop, home, display):
    dryhop("share", "first-evening")
    assert dryhop("first-evening.dryhop").code == 0
    [one] = display
    assert one.drill.title == "First evening"
    assert not (home / "data").exists()  # nothing is laid down before the window does it
    assert dryhop("open", "first-evening.dryhop", "--no-window").code == 0
    assert dryhop("open", "first-evening.dryhop", "--out", home / "mine").code == 0
    assert len(display) == 1


def test_a_double_click_on_a_bad_file_is_told_in_the_window(dryhop, home, display):
    (home / "a.dryhop").write_bytes(b"nothing")
    said = dryhop("open", "--by-click", "a.dryhop")
    assert (said.code, said.err) == (0, "")
    assert display == ["a.dryhop: no shared file: it does not end as one"]
    assert dryhop("open", "a.dryhop").code == 2
