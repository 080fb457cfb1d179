"""Settings are kept whole, and a bad file costs nothing but itself."""

import pytest

from sim.window.settings import Settings, keep, loaded


def test_what_is_kept_comes_back(tmp_path):
    path = tmp_path / "deep" / "window.json"
    settings = Settings(trainee="Ada", text_scale=1.5, keys={"pack": "f"})
    assert keep(path, settings) == ""
    assert loaded(path) == (settings, "")


def test_no_file_means_the_usual_settings(tmp_path):
    assert loaded(tmp_path / "none.json") == (Settings(), "")


@pytest.mark.parametrize("text", ["", "{", '{"text_scale": 9}', '{"colour": "pink"}', "[1]"])
def test_a_file_that_does_not_hold_is_laid_aside(tmp_path, text):
    path = tmp_path / "window.json"
    path.write_text(text, encoding="utf-8")
    settings, warning = loaded(path)
    assert settings == Settings()
    assert "unreadable" in warning
    assert (tmp_path / "window.unreadable.json").read_text(encoding="utf-8") == text


def test_one_bad_or_unknown_setting_costs_only_itself(tmp_path):
    path = tmp_path / "window.json"
    path.write_text('{"trainee": "Ada", "text_scale": 9, "of_yore": 1, "keys": {"pack": "f"}}')
    settings, warning = loaded(path)
    assert settings == Settings(trainee="Ada", keys={"pack": "f"})
    assert "text_scale" in warning
    assert "of_yore" in warning


def test_a_folder_in_the_way_is_told(tmp_path):
    assert "could not be kept" in keep(tmp_path, Settings())
