"""The six-face calibration as a trainee does it: refusals that say why, and a fit that holds."""

import numpy as np
import pytest

from sim.bench.accelerometer import solve_six_positions
from sim.bench.rig import HANDS_OFF
from sim.errors import Refusal
from sim.kernel.frames import from_angles
from sim.session import actions as act
from sim.session.faces import TAKE_S, Faces
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session

POSES = ((0, 0), (-90, 0), (90, 0), (0, -90), (0, 90), (180, 0))


def started(severity: float = 0.7, seed: int = 2) -> Session:
    hidden = (HiddenFault(id="accel-cal-bad", severity=severity),)
    drill = Scenario(title="x", purpose="x", origin="invented", faults=hidden)
    session = Session(drill, seed)
    session.do(act.SwitchTransmitter(on=True))
    session.do(act.PlugPack())
    session.do(act.Carry(to="bench", hold="hands"))
    return session


@pytest.mark.parametrize("seed", range(6))
def test_six_faces_by_hand_bring_gravity_back_to_size(seed: int) -> None:
    session = started(seed=seed)
    session.do(act.Calibrate(what="face-start"))
    for roll, pitch in POSES:
        session.do(act.Turn(roll_deg=roll, pitch_deg=pitch))
        session.do(act.Calibrate(what="face-take"))
    outcome = session.do(act.Calibrate(what="face-finish"))
    assert outcome.reading is not None
    assert 0.0 < outcome.reading.values["residual_m_s2"] < 0.05
    assert "m/s²" in outcome.words
    session.do(act.Turn())
    faces = session.do(act.Read(check="six-faces")).reading
    assert faces is not None
    assert max(abs(v / 9.80665 - 1.0) for v in faces.values.values()) < 0.01


def test_the_same_face_again_is_refused() -> None:
    session = started()
    session.do(act.Calibrate(what="face-start"))
    session.do(act.Calibrate(what="face-take"))
    with pytest.raises(Refusal, match="level has been taken already"):
        session.do(act.Calibrate(what="face-take"))


def test_an_aircraft_held_askew_is_refused() -> None:
    session = started()
    session.do(act.Calibrate(what="face-start"))
    session.do(act.Turn(roll_deg=40.0))
    with pytest.raises(Refusal, match="between two faces"):
        session.do(act.Calibrate(what="face-take"))


def test_a_moving_aircraft_is_refused() -> None:
    session = started()
    rig = session.rig
    rig.target = from_angles(0.0, 0.9, 0.0)
    rig.change(rig.world)
    window = rig.run(HANDS_OFF, TAKE_S)
    with pytest.raises(Refusal, match="moving"):
        Faces().take(window, rig.craft.estimator.mounting)


def test_missing_faces_are_named_and_nothing_is_stored() -> None:
    session = started()
    before = session.rig.world.setup.accelerometer
    session.do(act.Calibrate(what="face-start"))
    session.do(act.Calibrate(what="face-take"))
    with pytest.raises(Refusal, match="nose up"):
        session.do(act.Calibrate(what="face-finish"))
    assert session.rig.world.setup.accelerometer == before


def test_steps_out_of_order_are_refused() -> None:
    session = started()
    for step in ("face-take", "face-finish"):
        with pytest.raises(Refusal, match="under way"):
            session.do(act.Calibrate.model_validate({"what": step}))


def test_noiseless_faces_are_solved_to_the_last_digits_and_too_few_are_refused() -> None:
    """Authority: the linear model itself; twelve unknowns need faces that span all of space."""
    gain = np.array([[1.03, 0.01, -0.02], [0.0, 0.97, 0.015], [0.02, -0.01, 1.05]])
    offset = np.array([0.4, -0.7, 0.2])
    faces = 9.80665 * np.vstack([np.eye(3), -np.eye(3)])
    found, matrix = solve_six_positions(faces @ gain.T + offset, faces)
    assert np.abs(found - offset).max() < 1e-12
    assert np.abs(matrix - np.linalg.inv(gain)).max() < 1e-12
    with pytest.raises(ValueError, match="six"):
        solve_six_positions((faces @ gain.T + offset)[[0, 1, 3, 4]], faces[[0, 1, 3, 4]])
