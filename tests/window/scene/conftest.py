"""One painter for all tests: its backdrops are read once."""

import pytest

from sim.window.pixels.scene import ScenePainter


@pytest.fixture(scope="session")
def painter():
    return ScenePainter()
