"""How often a check shows something, with a fault and without."""

import pytest

from sim.diagnosis.table import shipped


def test_how_often_a_check_shows_something_is_never_less_than_on_sound_aircraft():
    table = shipped()
    sound = table.called(None, "weigh-and-balance", 0.0)
    assert 0.0 <= sound < 0.1
    assert table.called("over-mass", "weigh-and-balance", 1.0) > 0.9
    assert table.called("over-mass", "weigh-and-balance", 0.0) >= sound
    assert table.called("rate-gain-high", "weigh-and-balance", 1.0) == pytest.approx(sound, abs=0.1)
    assert table.called(None, "weigh-and-balance", 0.0) == table.called(
        None, "weigh-and-balance", 1.0
    )
