"""The evening ends: past its minutes the club locks up, but nobody is stopped in the air."""

from dataclasses import fields

import pytest

from sim.errors import Refusal
from sim.procedure.rubric import shipped
from sim.session import actions as act
from sim.session.scenario import load
from sim.session.session import Session
from sim.session.view import Visible


@pytest.fixture
def evening():
    """Return a session whose evening has so many minutes."""

    def made(minutes):
        drill = load("quiet-morning")
        short = drill.model_copy(update={"careful_min": minutes / shipped().evening})
        return Session(short, 3)

    return made


def test_the_evening_is_as_long_as_careful_needs_and_some(evening):
    session = Session(load("quiet-morning"), 3)
    view = session.view()
    assert view.careful_min == session.scenario.careful_min
    assert view.evening_min == pytest.approx(1.8 * view.careful_min)
    assert evening(10.0).evening_min == pytest.approx(10.0)


def test_past_it_the_club_locks_up(evening):
    session = evening(10.0)
    session.do(act.PlugPack())  # half a minute
    session.do(act.Wait(minutes=9.5))
    assert (session.phase, session.minutes) == ("bench", 10.0)  # to the minute is in time
    told = session.do(act.Prepare(what="goggles"))
    assert "locks up" in told.words
    assert session.phase == "debrief"
    record = session.record()
    assert record.locked_up
    assert record.finished
    assert record.declared is None  # nobody decided anything
    assert not session.rig.world.conduct.pack_plugged
    assert "still-plugged" not in {h.id for h in record.hazards}
    with pytest.raises(Refusal, match="over"):
        session.do(act.Arm())
    assert len(session.record().events) == 3


def test_who_ends_in_time_was_not_locked_out(evening):
    session = evening(10.0)
    session.do(act.Finish())
    assert not session.record().locked_up


def test_what_is_armed_is_put_out_first(evening):
    session = evening(2.0)
    session.do(act.Wait(minutes=1.9))
    session.rig.put("armed", 1.0)
    session.do(act.Prepare(what="goggles"))
    assert session.phase == "bench"
    session.do(act.Disarm())
    assert session.phase == "debrief"


def test_the_hop_is_flown_out(evening):
    session = evening(2.0)
    session.state.flying.phase = "hop"
    session.state.evening.minutes = 5.0
    session.do(act.Disarm())
    assert session.phase == "hop"


def test_what_changed_is_told_from_what_did_not(evening):
    session = evening(100.0)
    session.do(act.PlugPack())
    key = "setup.controller.roll.p"
    as_is = session.rig.world.setup.controller.roll.p
    session.do(act.Set(key=key, value=as_is))
    session.do(act.Set(key=key, value=2.0 * as_is))
    session.do(act.Prepare(what="goggles"))
    *_, same, other, goggles = session.record().events
    assert (same.changed, other.changed, goggles.changed) == (False, True, False)


def test_a_look_shows_what_is_in_sight_and_no_more():
    """Habits, briefings, the log and who could help are asked about, not seen."""
    hidden = "helper_here others_ungoggled strays reaches_per_min rings_per_min repairs_untried"
    hidden += " abort_late_s loose_pieces charge_watched"
    conduct = Session(load("quiet-morning"), 3).view().conduct
    assert not {field.name for field in fields(Visible)} & set(hidden.split())
    assert not any(hasattr(conduct, name) for name in hidden.split())
    assert Session(load("first-evening"), 3).view().conduct.person_in_ring
    assert not conduct.person_in_ring


def test_settings_are_read_with_power_and_connection_only():
    session = Session(load("quiet-morning"), 3)
    assert session.view().setup is None
    session.do(act.PlugPack())
    assert session.view().setup == session.rig.world.setup


def test_a_new_board_shows_no_settings_until_it_is_connected(loaded_board):
    session = loaded_board
    sheet = act.Read(check="settings-sheet")
    assert session.view().setup is None
    with pytest.raises(Refusal, match="Connect"):
        session.do(sheet)
    session.do(act.Connect(by="telemetry", rate_bd=57600))
    assert session.view().setup is not None
    assert session.do(sheet).reading is not None


@pytest.fixture
def loaded_board():
    """Return a session with a new board, its software loaded, under power from the pack."""
    drill = load("quiet-morning").model_copy(update={"blank": ("software",)})
    session = Session(drill, 3)
    session.do(act.Cable(plugged=True))
    for _ in range(3):
        if session.do(act.LoadSoftware()).words.startswith("Loaded"):
            break
        session.do(act.Cable(plugged=False))
        session.do(act.Cable(plugged=True))
    session.do(act.Cable(plugged=False))
    session.do(act.PlugPack())
    return session
