"""How a new board is set up by a stand-in, and what it says of it on the cards."""

from sim.session import actions as act
from sim.session.scenario import load
from sim.trainees.standins import Attempt, rehearsed


def test_each_item_of_a_new_board_is_answered_by_what_fits_it():
    record = rehearsed(Attempt(load("fresh-board"), "careful", 0))
    said = {
        event.action.item: event.action.value
        for event in record.events
        if isinstance(event.action, act.Answer) and event.action.card in ("board", "teach")
    }
    assert said["load"] == "loaded and verified"
    assert said["connect"] == "connected by telemetry, 57600 Bd"
    assert said["layout"] == "layout_chosen 1"
    assert said["mode-switch"] == "mode_switch_assigned 1"
    assert said["drives"] == "drives_taught 1"
    assert said["sticks"] == "sticks_calibrated 1"
    assert said["faces"] == "accelerometer_calibrated 1"
    assert said["level"].startswith("trims ")
    assert said["compass"] == "compass_calibrated 1"
    assert said["list"].count(" 1") == 6
