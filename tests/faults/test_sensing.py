"""Faults of the sensors: there when put in, gone when cured, and no other with them."""

from typing import cast

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.parts import swapped
from sim.bench.rig import Rig
from sim.faults.catalogue import present_faults
from sim.faults.compass import error_parts_rad, worst_heading_error_rad
from sim.faults.fault import Truth
from sim.faults.sensing import FAULTS
from sim.kernel.frames import Vec3
from sim.keys import CheckKey, FaultId, PartKey
from sim.session import actions as act
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session
from sim.trainees.craftwork import calibrate, cure, plugged, read, restart_still, unplugged, warm_up
from sim.trainees.driver import Hands
from tests.worlds import sound_world

BY_ID = {fault.id: fault for fault in FAULTS}
SEVERITIES = (0.3, 0.6, 1.0)


def shipped() -> World:
    return sound_world(pack_plugged=True, transmitter_on=True)


def truth(world: World) -> Truth:
    rig = Rig(with_value(world, "conduct.props_fitted", True), 1)
    return Truth(world, rig.craft, rig.tables, rig.cells(), 75.0)


def injected(fault: FaultId, severity: float, seed: int) -> World:
    return BY_ID[fault].inject(shipped(), severity, np.random.default_rng(seed))


def test_a_sound_aircraft_has_none() -> None:
    assert not present_faults(truth(shipped()))


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize("fault", BY_ID)
def test_injected_it_is_there_and_nothing_undeclared_with_it(
    fault: FaultId, severity: float
) -> None:
    for seed in (1, 2, 3):
        found = present_faults(truth(injected(fault, severity, seed)))
        assert fault in found
        assert found <= {fault, *BY_ID[fault].also}


@pytest.mark.parametrize("fault", BY_ID)
def test_names_of_its_checks_exist(fault: FaultId) -> None:
    entry = BY_ID[fault]
    assert {*entry.revealed_by, *entry.proved_by} <= CHECKS.keys()


@pytest.mark.parametrize(
    "fault", [f.id for f in FAULTS if any(fix.startswith(("swap:", "setup.")) for fix in f.fixes)]
)
def test_parts_and_settings_cure(fault: FaultId) -> None:
    for severity in SEVERITIES:
        world = injected(fault, severity, 4)
        for fix in BY_ID[fault].fixes:
            if fix.startswith("swap:"):
                world = swapped(
                    world, cast(PartKey, fix.removeprefix("swap:")), 0.97, np.random.default_rng(8)
                )
            else:  # the controller is told how the board or the compass sits
                built = getattr(world.build.sensors, fix.split(".")[-1])
                world = with_value(world, fix, built)
        assert fault not in present_faults(truth(world))


def session_with(fault: FaultId, severity: float) -> tuple[Session, Hands]:
    hidden = (HiddenFault(id=fault, severity=severity),)
    drill = Scenario(title="x", purpose="x", origin="invented", faults=hidden)
    session = Session(drill, 5)
    assert fault in present_faults(session.truth())
    return session, Hands(session, session)


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize(
    ("fault", "what"),
    [
        ("mag-hard-iron-offset", "compass"),
        ("mag-soft-iron", "compass"),
        ("level-trim-off", "level"),
        ("accel-cal-bad", "faces"),
    ],
)
def test_calibrating_cures(fault: FaultId, what: str, severity: float) -> None:
    session, hands = session_with(fault, severity)
    calibrate(hands, what)
    assert not present_faults(session.truth())


def test_two_turns_about_two_axes_suffice_against_hard_iron() -> None:
    session, hands = session_with("mag-hard-iron-offset", 1.0)
    plugged(hands)
    hands.do(act.Carry(to="open_floor", hold="hands"))
    hands.do(act.Calibrate(what="compass-start"))
    for axis in ("pitch_deg", "roll_deg"):
        for quarter in range(1, 9):
            hands.do(act.Turn.model_validate({axis: 90.0 * quarter}))
    reading = hands.do(act.Calibrate(what="compass-finish")).reading
    assert reading is not None
    assert reading.values["residual_share"] < 0.01
    assert reading.values["coverage_share"] > 0.7
    assert reading.values["fitted_field_ut"] == pytest.approx(
        reading.values["site_field_ut"], rel=0.01
    )
    assert reading.values["loosest_share"] < 0.03  # and says that soft iron stays open
    craft = session.truth().craft
    error = worst_heading_error_rad(craft.field.earth_ut, craft.sensors, craft.estimator)
    # deg; the soft iron of a sound build stays: three times 0.5 % of 45 uT on 19.6 level
    assert np.degrees(error) < 2.0


def test_a_start_left_in_peace_cures_a_moved_gyro() -> None:
    session, hands = session_with("gyro-bias-moved", 0.5)
    assert session.view().conduct.pack_plugged
    unplugged(hands)
    plugged(hands)  # still in the hands
    assert "gyro-bias-moved" in present_faults(session.truth())
    restart_still(hands)
    assert not present_faults(session.truth())


def test_warming_up_and_starting_again_cures_a_cold_gyro() -> None:
    session, hands = session_with("gyro-warmup-drift", 0.5)
    plugged(hands)
    hands.do(act.Carry(to="bench", hold="standing"))
    hands.do(act.Wait(minutes=5.0))
    assert present_faults(session.truth()) == {"gyro-bias-moved"}  # warm, but not learnt yet
    warm_up(hands)
    assert not present_faults(session.truth())
    reading = hands.do(act.Read(check="level-and-still")).reading
    assert reading is not None
    assert reading.values["rate_ahead_deg_s"] < 0.3


@pytest.mark.parametrize("offset_ut", [1.0, 3.5, 10.0, 15.0])
def test_hard_iron_errs_by_the_arcsine_of_its_share(offset_ut: float) -> None:
    """Authority: geometry; the worst error is asin(b / B_h), within 0.01 degrees on a fine grid."""
    level = 20.0
    craft = truth(
        with_value(shipped(), "build.sensors.mag_hard_iron_ut", (0.0, offset_ut, 0.0))
    ).craft
    held = craft.estimator._replace(declination_rad=0.0)
    exact = np.degrees(np.arcsin(offset_ut / level))
    worst = 0.0
    for turn in np.radians(np.arange(0.0, 360.0, 0.25)):
        iron = Vec3(offset_ut * np.sin(turn), offset_ut * np.cos(turn), 0.0)
        fitted = craft.sensors._replace(mag_hard_iron_ut=iron)
        if abs(np.sin(turn) - offset_ut / level) < 0.02:
            parts = error_parts_rad(Vec3(level, 0.0, 45.0), fitted, held)
            worst = max(worst, float(np.degrees(parts["iron"])))
    assert worst == pytest.approx(exact, abs=0.01)


def test_a_second_turn_that_undoes_the_first_is_no_fault() -> None:
    world = with_value(shipped(), "build.sensors.board_turn_deg", 90.0)
    assert "board-rotation-untold" in present_faults(truth(world))
    world = with_value(world, "setup.controller.board_turn_deg", 90.0)
    assert not present_faults(truth(world))
    world = with_value(world, "build.sensors.board_turn_deg", 0.0)
    assert "board-rotation-untold" in present_faults(truth(world))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(
    ("fault", "check"),
    [("mag-mount-rotated", "heading-marks"), ("board-rotation-untold", "hand-tilt")],
)
def test_the_careful_work_out_how_a_board_sits(fault: FaultId, check: CheckKey, seed: int) -> None:
    drill = Scenario(
        title="x", purpose="x", origin="invented", faults=(HiddenFault(id=fault, severity=0.5),)
    )
    session = Session(drill, seed)
    hands = Hands(session, session)
    for finding in hands.suspects(read(hands, check)):
        cure(hands, finding)
    for finding in hands.suspects(read(hands, check)):
        cure(hands, finding)
    assert not present_faults(session.truth())
    assert not hands.suspects(read(hands, check))
