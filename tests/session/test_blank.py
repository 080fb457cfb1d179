"""A board that knows nothing: each thing is needed, and what is begun and not finished is not there."""

from typing import get_args

import numpy as np
import pytest

from sim.aircraft.blank import Blank
from sim.aircraft.setup import Unset
from sim.bench.interlocks import UNSET, reasons_not_to_arm
from sim.bench.rig import HANDS_OFF
from sim.bench.transmitter import transmitted
from sim.errors import Refusal
from sim.faults.catalogue import present_faults
from sim.faults.severity import truth_of
from sim.session import actions as act
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.trainees.boardwork import loaded, teach, tell
from sim.trainees.craftwork import FACES, calibrate_compass
from sim.trainees.driver import Hands

EVERYTHING: tuple[Blank, ...] = ("software", *get_args(Unset))


def scenario(*blank: Blank) -> Scenario:
    return Scenario(title="A test", purpose="Test", origin="invented", blank=blank)


def hands(*blank: Blank, seed: int = 1) -> Hands:
    session = Session(scenario(*blank), seed)
    return Hands(session, session)


def powered(*blank: Blank) -> Hands:
    """Return hands at an aircraft with power and, where one is needed, a connection."""
    at = hands(*blank)
    at.do(act.SwitchTransmitter(on=True))
    at.do(act.PlugPack())
    if blank:
        at.do(act.Connect(by="telemetry", rate_bd=57600))
    return at


def wanted(at: Hands) -> set[str]:
    return {one.reason for one in reasons_not_to_arm(at.session.rig)}


def test_nothing_blank_is_a_fault_by_itself() -> None:
    for seed in range(20):
        world = scenario(*EVERYTHING).world(np.random.default_rng(seed))
        assert present_faults(truth_of(world)) <= {"spotter-missing", "eyes-unprotected"}


def test_a_blank_board_reads_raw_and_another_aircraft_is_as_before() -> None:
    def iron(*blank: Blank) -> list[float]:
        worlds = (scenario(*blank).world(np.random.default_rng(s)) for s in range(30))
        return [float(np.linalg.norm(w.build.sensors.mag_hard_iron_ut)) for w in worlds]

    assert iron() == iron("software", "sticks")
    assert np.mean(iron()) < 1.0
    assert 7.0 < np.mean(iron("compass")) < 13.0  # uT; 6 along each axis make 10 at 3 axes


@pytest.mark.parametrize("what", get_args(Unset))
def test_each_is_needed(what: Unset) -> None:
    at = powered(what)
    at.do(act.Carry(to="bench", hold="standing"))
    with pytest.raises(Refusal) as refused:
        at.do(act.Arm())
    assert UNSET[what].reason in refused.value.reasons
    assert UNSET[what].words in str(refused.value)


@pytest.mark.parametrize("what", get_args(Unset))
def test_without_arming_rules_too(what: Unset) -> None:
    at = powered(what)
    at.do(act.Set(key="setup.controller.arming_rules", value=False))
    at.do(act.Carry(to="bench", hold="standing"))
    assert wanted(at) == {UNSET[what].reason}


def test_a_whole_board_is_told_and_taught_and_arms() -> None:
    at = hands(*EVERYTHING)
    tell(at)
    assert set(at.session.rig.world.setup.unset) == {
        "sticks", "drives", "accelerometer", "compass"
    }  # fmt: skip
    teach(at)
    assert at.session.rig.world.setup.unset == ()
    at.do(act.Carry(to="bench", hold="standing"))
    at.do(act.Arm())
    assert present_faults(at.session.truth()) <= {"spotter-missing", "eyes-unprotected"}


def test_what_the_switch_gives_without_an_assignment_is_self_level() -> None:
    def modes(*blank: Blank) -> tuple[float, float]:
        at = powered(*blank)
        given = []
        for ahead in (True, False):
            at.do(act.SetMode(self_level=ahead))
            at.session.rig.run(HANDS_OFF, 0.1)
            given.append(at.session.rig.world)
        first, second = (transmitted(HANDS_OFF, world, 0.0).self_level for world in given)
        return first, second

    assert modes("mode-switch") == (1.0, 1.0)
    assert modes() == (1.0, 0.0)


def test_a_compass_calibration_begun_and_not_finished_leaves_none() -> None:
    at = powered()
    at.do(act.Carry(to="open_floor", hold="hands"))
    assert "compass" not in wanted(at)
    at.do(act.Calibrate(what="compass-start"))
    assert "compass" in wanted(at)
    with pytest.raises(Refusal, match="No calibration was stored"):
        at.do(act.Calibrate(what="compass-finish"))
    assert "compass" in wanted(at)
    calibrate_compass(at)
    assert "compass" not in wanted(at)


def test_six_faces_begun_and_not_finished_leave_none() -> None:
    at = powered()
    at.do(act.Carry(to="bench", hold="hands"))
    at.do(act.Calibrate(what="face-start"))
    at.do(act.Calibrate(what="face-take"))
    with pytest.raises(Refusal, match="still to do"):
        at.do(act.Calibrate(what="face-finish"))
    assert "accelerometer" in wanted(at)
    at.do(act.UnplugPack())
    at.do(act.PlugPack())
    at.session.rig.run(HANDS_OFF, 0.5)
    assert "accelerometer" in wanted(at)
    with pytest.raises(Refusal, match="under way"):
        at.do(act.Calibrate(what="face-take"))  # without power it was forgotten
    at.do(act.Calibrate(what="face-start"))
    for roll, pitch in FACES:
        at.do(act.Turn(roll_deg=roll, pitch_deg=pitch))
        at.do(act.Calibrate(what="face-take"))
    at.do(act.Calibrate(what="face-finish"))
    assert "accelerometer" not in wanted(at)


def test_a_calibration_wants_the_pack_and_a_connection() -> None:
    at = hands("sticks")
    at.do(act.Cable(plugged=True))
    at.do(act.Connect(by="cable", rate_bd=115200))
    at.do(act.SwitchTransmitter(on=True))
    with pytest.raises(Refusal, match="cable feeds the board alone"):
        at.do(act.Calibrate(what="sticks"))
    at.do(act.Disconnect())
    at.do(act.PlugPack())
    with pytest.raises(Refusal, match="Connect to the controller"):
        at.do(act.Calibrate(what="sticks"))
    at.do(act.Connect(by="cable", rate_bd=115200))
    at.do(act.Calibrate(what="sticks"))
    assert at.session.rig.world.setup.unset == ()


def test_the_cable_is_in_the_way_of_turning_and_of_carrying() -> None:
    at = powered()
    at.do(act.Cable(plugged=True))
    with pytest.raises(Refusal, match="no further than the bench"):
        at.do(act.Carry(to="open_floor", hold="hands"))
    at.do(act.Calibrate(what="compass-start"))
    for quarter in range(1, 5):
        at.do(act.Turn(pitch_deg=90.0 * quarter))
        at.do(act.Turn(roll_deg=90.0 * quarter))
    at.tries(act.Calibrate(what="compass-finish"))
    assert "compass" in wanted(at)  # on the cable it turned too little
    at.do(act.Cable(plugged=False))
    at.do(act.Carry(to="open_floor", hold="hands"))
    calibrate_compass(at)
    assert "compass" not in wanted(at)


def test_nothing_is_read_of_a_board_without_software_or_connection() -> None:
    at = hands("software")
    at.do(act.SwitchTransmitter(on=True))
    at.do(act.PlugPack())
    for check in ("stick-display", "board-list", "level-and-still"):
        at.do(act.Carry(to="bench", hold="standing"))
        with pytest.raises(Refusal, match="no software"):
            at.do(act.Read.model_validate({"check": check}))
    loaded(at)
    at.do(act.PlugPack())
    with pytest.raises(Refusal, match="Connect"):
        at.do(act.Read(check="board-list"))
    at.do(act.Connect(by="cable", rate_bd=115200))
    reading = at.do(act.Read(check="board-list")).reading
    assert reading is not None
    assert set(reading.values.values()) == {1.0}


def test_the_boards_list_says_what_is_wanted() -> None:
    at = powered("mode-switch", "compass")
    reading = at.do(act.Read(check="board-list")).reading
    assert reading is not None
    assert {line for line, done in reading.values.items() if not done} == {
        "mode_switch_assigned", "compass_calibrated"
    }  # fmt: skip
    assert reading.notes == (UNSET["mode-switch"].words, UNSET["compass"].words)
    at.do(act.Set(key="setup.transmitter.mode_switch_right", value=True))
    assert "board-list" not in at.see().facts
    assert at.session.rig.world.setup.unset == ("compass",)


def test_only_a_blank_evening_has_the_cards_of_a_blank_board() -> None:
    keys = [card.key for card in hands("compass").see().cards]
    assert keys.index("before-power") < keys.index("board") < keys.index("teach")
    assert keys.index("teach") < keys.index("power")
    assert not {"board", "teach"} & {card.key for card in hands().see().cards}
