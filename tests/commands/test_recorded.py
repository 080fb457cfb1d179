"""A run for a class needs a run and a display."""

from typer.testing import CliRunner

from sim.cli import app
from sim.errors import InputError, Refusal
from sim.session.envelope import SCENARIO
from sim.session.journal import JOURNAL


def test_a_folder_without_a_run_is_told_before_a_window_opens(tmp_path):
    done = CliRunner().invoke(app, ["classroom", str(tmp_path)])
    assert isinstance(done.exception, InputError)
    assert "not a run folder" in str(done.exception)


def test_without_a_display_it_says_so(tmp_path, monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    for name in (SCENARIO, JOURNAL):
        (tmp_path / name).write_text("")
    done = CliRunner().invoke(app, ["classroom", str(tmp_path)])
    assert isinstance(done.exception, Refusal)
    assert done.exception.reasons == {"no_display"}
