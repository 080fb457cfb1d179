"""What a session refuses at its limits, and what it says of small things."""

import numpy as np
import pytest

from sim.session import actions as act
from sim.session.folder import JournalFile, holds_run, is_finished
from sim.session.scenario import HiddenFault, Scenario, load


@pytest.mark.parametrize("axis", ["roll", "pitch", "yaw"])
def test_sticks_end_at_one(done, sticks, axis):
    session = done()
    for end in (-1.0, 1.0):
        session.advance(sticks(**{axis: end}), 0.01)
        with pytest.raises(ValueError, match=r"-1\.\.1"):
            session.advance(sticks(**{axis: 1.01 * end}), 0.01)


def test_the_throttle_goes_from_none_to_all(done, sticks):
    session = done()
    for throttle in (0.0, 1.0):
        session.advance(sticks(throttle), 0.01)
    for throttle in (-0.01, 1.01):
        with pytest.raises(ValueError, match=r"0\.\.1"):
            session.advance(sticks(throttle), 0.01)


def test_modes_are_called_by_their_names(done):
    session = done()
    assert session.do(act.SetMode(self_level=True)).words == "Mode switch at self-level."
    assert session.do(act.SetMode(self_level=False)).words == "Mode switch at rate."


def test_it_is_watched_closely_on_the_pad_alone(done):
    assert done().rig.watch_ticks == 0
    assert done("fit pad").rig.watch_ticks > 1
    assert done("fit pad bench").rig.watch_ticks == 0


def test_a_hidden_fault_is_as_severe_as_said_but_for_its_spread():
    """Over-mass goes from 1.06 at severity 0.1 to 1.58 at 1, whatever the aircraft weighed before;
    a tenth of severity to either side is chance."""
    found = []
    for seed in range(40):
        drill = Scenario(
            title="A test",
            purpose="Test",
            origin="invented",
            faults=(HiddenFault(id="over-mass", severity=0.5),),
        )
        world, hidden = drill.set_out(np.random.default_rng(seed))
        assert hidden == {"over-mass"}
        found.append(0.1 + 0.9 * (world.build.frame.mass_factor - 1.06) / 0.52)
    assert min(found) == pytest.approx(0.4, abs=0.02)
    assert max(found) == pytest.approx(0.6, abs=0.02)


@pytest.mark.parametrize(
    ("said", "least", "most"),
    [(0.0, 0.0, 0.0), (0.05, 0.0, 0.05), (0.1, 0.1, 0.2), (0.15, 0.1, 0.25), (1.0, 0.9, 1.0)],
)
def test_chance_leaves_a_fault_on_its_side_of_the_limit(said, least, most):
    """From severity 0.1 on it is a fault; below it is a deviation."""
    fault = HiddenFault(id="over-mass", severity=said)
    drawn = [fault.drawn(np.random.default_rng(seed)) for seed in range(40)]
    assert min(drawn) == pytest.approx(least, abs=0.01)
    assert max(drawn) == pytest.approx(most, abs=0.01)


def test_the_scatter_of_an_aircraft_leaves_its_faults_as_they_are():
    """Each has a generator of its own, and every seed another aircraft."""
    drill = load("first-evening")
    worlds = [drill.set_out(np.random.default_rng(seed))[0] for seed in (1, 2)]
    assert worlds[0] == drill.set_out(np.random.default_rng(1))[0]
    assert worlds[0].build.sensors.volt_scale != worlds[1].build.sensors.volt_scale
    rng = np.random.default_rng(1)
    sound = drill.model_copy(update={"faults": ()})
    assert sound.set_out(rng)[0].build.sensors == worlds[0].build.sensors
    assert rng.random() == np.random.default_rng(1).random()


def test_it_is_seen_to_stand_on_its_legs_or_hang_in_the_hands(done, sticks):
    standing, held = done("pad"), done("bench")
    for session, loaded in ((standing, True), (held, False)):
        session.advance(sticks(), 0.3)
        assert session.view().aircraft.loaded is loaded


def test_a_journal_that_was_let_go_of_is_no_trouble(tmp_path):
    journal = JournalFile(tmp_path / "journal.jsonl")
    journal.write("one\n")
    journal.sync()
    journal.close()
    journal.sync()
    assert journal.trouble is None


def test_an_empty_folder_holds_nothing_finished_or_begun(tmp_path):
    assert not is_finished(tmp_path)
    assert not holds_run(tmp_path)
