"""An app whose settings lie in a folder of the test."""

import pytest

from sim.window.app import App


@pytest.fixture
def app(tmp_path):
    made = App(tmp_path / "window.json")
    made.settings = made.settings.model_copy(update={"shown_round": True})
    return made
