"""Faults are what the aircraft does, not what was put in: cures and mishaps by any way count."""

import pytest

from sim.errors import Refusal
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.ladder import stories
from sim.session import actions as act

PITCH: FaultId = "pitch-channel-reversed"
COMPASS: FaultId = "mag-hard-iron-offset"
AT_TX, AT_CONTROLLER = "set:setup.transmitter.pitch.direction", "set:setup.inputs.pitch"


def present(session):
    return session.record().present_now


@pytest.mark.parametrize("channel", ["roll", "pitch", "yaw"])
def test_two_reversals_are_no_fault(done, action, channel):
    fault = f"{channel}-channel-reversed"
    session = done("on plug")
    session.do(action(f"set:setup.transmitter.{channel}.direction=-1"))
    assert present(session) == {fault}
    session.do(action(f"set:setup.inputs.{channel}=-1"))
    assert present(session) == set()
    values = session.do(action("read:stick-display")).reading.values
    assert values[f"{channel}_high_share"] > 0.9  # full stick arrives, the right way


@pytest.mark.parametrize("seed", range(6))  # the reversal sits at either end, by seed
def test_a_hidden_reversal_is_undone_at_either_end(done, action, seed):
    session = done("clear-ring on plug", "first-evening", seed)
    assert present(session) == {PITCH}
    inputs = session.view().setup.inputs.pitch
    session.do(action(f"{AT_CONTROLLER}={-inputs}"))
    assert present(session) == set()
    session.do(action(f"{AT_TX}={-session.view().setup.transmitter.pitch.direction}"))
    assert present(session) == {PITCH}


def calibrated(session, axes=("pitch_deg", "roll_deg"), quarters=8):
    """Turn it as asked while the controller collects; return what it says of the fit."""
    session.do(act.Calibrate(what="compass-start"))
    for axis in axes:
        for quarter in range(1, quarters + 1):
            session.do(act.Turn.model_validate({axis: 90.0 * quarter}))
    reading = session.do(act.Calibrate(what="compass-finish")).reading
    session.do(act.Turn())
    return reading.values


def test_calibrating_on_the_open_floor_cures(done):
    session = done("on plug floor", "club-loaner")
    assert present(session) == {COMPASS}
    values = calibrated(session)
    assert present(session) == set()
    iron = session.rig.world.build.sensors.mag_hard_iron_ut
    for axis, true_ut in zip("xyz", iron, strict=True):
        # 0.3 uT noise a reading and thousands of them; what is left is the cupboard, 4 m away
        assert values[f"offset_{axis}_ut"] == pytest.approx(true_ut, abs=1.0)
    assert values["residual_share"] < 0.05
    assert values["coverage_share"] > 0.7


@pytest.mark.parametrize("drill", ["quiet-morning", "club-loaner"])
def test_calibrating_beside_the_steel_cupboard_is_a_fault(done, drill):
    session = done("on plug cupboard", drill)
    calibrated(session)
    assert COMPASS in present(session) <= {COMPASS, "mag-soft-iron"}
    rungs = {rung.id: rung for rung in stories(session.record(), shipped())}
    assert rungs[COMPASS].present_at_start == (drill == "club-loaner")
    assert not rungs[COMPASS].cleared


@pytest.mark.parametrize(
    ("axes", "quarters"), [(("heading_deg",), 8), (("pitch_deg",), 8), (("roll_deg",), 2)]
)
def test_turning_about_one_axis_is_refused_or_bad_by_its_numbers(done, action, axes, quarters):
    session = done("on plug floor", "club-loaner")
    kept, values, why = session.view().setup.compass, {}, ""
    try:
        values = calibrated(session, axes, quarters)
    except Refusal as refusal:
        why = str(refusal)
    if not values:
        assert "No calibration was stored" in why
        assert session.view().setup.compass == kept
        return
    assert values["coverage_share"] < 0.6  # the interlock's own limit
    with pytest.raises(Refusal, match=r"coverage|directions|does not fit"):
        session.do(action("arm"))


def test_coverage_and_fit_get_better_with_turning(done):
    half, full = (calibrated(done("on plug floor"), quarters=n) for n in (2, 8))
    assert half["coverage_share"] < full["coverage_share"]


def test_another_pack_of_the_same_kind_cures_a_worn_one(done, action):
    session = done("", "spare-from-the-shelf")
    assert present(session) == {"pack-high-resistance"}
    session.do(action("swap"))
    assert present(session) == set()


@pytest.mark.parametrize(("factor", "cured"), [(1.0, True), (1.5, True), (2.0, False)])
def test_gains_are_cured_by_margin_not_by_the_sheet(done, factor, cured):
    """The sound loop bears a factor of 1.6 (docstring of its fault)."""
    session = done("plug", "second-hand")
    sheet = session.view().sheet
    for axis in ("roll", "pitch"):
        for term, value in getattr(sheet, axis).model_dump().items():
            session.do(act.Set(key=f"setup.controller.{axis}.{term}", value=factor * value))
    assert present(session) == (set() if cured else {"rate-gain-high"})


@pytest.mark.parametrize("seed", range(3))
def test_level_and_failsafe_are_cured_by_the_trainee(done, action, seed):
    session = done("on plug set:setup.controller.failsafe=hold", seed=seed)
    assert present(session) == {"failsafe-holds-last"}
    assert session.do(action("read:failsafe")).reading.values["still_turning"] == 1.0
    session.do(action("set:setup.controller.failsafe=stop"))
    assert session.do(action("read:failsafe")).reading.values["stop_s"] < 2.0  # design 4
    assert present(session) == set()
