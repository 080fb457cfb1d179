"""The sound aircraft that recordings are held against."""

import pytest

from sim.aircraft import library
from sim.reproduce.recorded.loading import sound_world


@pytest.fixture(scope="session")
def sound():
    return sound_world(library.airframe(library.TRAINER))
