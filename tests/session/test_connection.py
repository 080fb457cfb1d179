"""Cable, connection, software load, calibrations of sticks and voltage, and a reversed lead."""

import pytest

from sim.aircraft.changes import with_value
from sim.bench.connection import RATE_BD, Board, By
from sim.bench.rig import HANDS_OFF
from sim.errors import Refusal
from sim.keys import FaultId
from sim.session import actions as act
from sim.session.scenario import HiddenFault, Scenario
from sim.session.session import Session


def session(*faults: FaultId, fresh: bool = False, seed: int = 1, severity: float = 0.5) -> Session:
    hidden = tuple(HiddenFault(id=name, severity=severity) for name in faults)
    return Session(
        Scenario(
            title="A test",
            purpose="Test",
            origin="invented",
            faults=hidden,
            blank=("software",) if fresh else (),
        ),
        seed,
    )


def loaded(s: Session) -> int:
    """Load the software as it must be done; return how often it failed on the way."""
    failed = 0
    s.do(act.Cable(plugged=True))
    while "verified" not in s.do(act.LoadSoftware()).words:
        failed += 1
        with pytest.raises(Refusal, match="unplug it"):
            s.do(act.LoadSoftware())
        s.do(act.Cable(plugged=False))
        s.do(act.Cable(plugged=True))
    return failed


@pytest.mark.parametrize("by", ["cable", "telemetry"])
def test_only_its_own_rate_connects(by: By) -> None:
    board = Board(fresh=False, seed=1)
    board.plug_cable(True, pack=True)
    for rate in (9600, 57600, 115200):
        if rate == RATE_BD[by]:
            assert "Connected" in board.connect(by, rate, pack=True, blank=False)
            assert board.connected(pack=True)
        else:
            with pytest.raises(Refusal, match="no sense"):
                board.connect(by, rate, pack=True, blank=False)
            assert not board.connected(pack=True)
    assert (RATE_BD["cable"], RATE_BD["telemetry"]) == (115200, 57600)


def test_the_radio_needs_the_pack_and_the_cable_its_plug() -> None:
    board = Board(fresh=False, seed=1)
    with pytest.raises(Refusal, match="partner"):
        board.connect("telemetry", 57600, pack=False, blank=False)
    with pytest.raises(Refusal, match="cable"):
        board.connect("cable", 115200, pack=True, blank=False)
    board.connect("telemetry", 57600, pack=True, blank=False)
    assert not board.connected(pack=False)


def test_nothing_else_may_be_connected_during_a_load() -> None:
    s = session()
    with pytest.raises(Refusal, match="plug it in"):
        s.do(act.LoadSoftware())
    s.do(act.Cable(plugged=True))
    s.do(act.Connect(by="cable", rate_bd=115200))
    with pytest.raises(Refusal, match="Close the connection"):
        s.do(act.LoadSoftware())
    s.do(act.Disconnect())
    s.do(act.PlugPack())
    with pytest.raises(Refusal, match="Unplug the pack"):
        s.do(act.LoadSoftware())
    s.do(act.UnplugPack())
    s.do(act.LoadSoftware())


def test_a_load_fails_now_and_then_and_never_for_ever() -> None:
    failures = [loaded(session(fresh=True, seed=seed)) for seed in range(12)]
    assert min(failures) == 0
    assert 1 <= max(failures) <= 2


def test_a_failed_load_leaves_no_software() -> None:
    for seed in range(12):
        s = session(seed=seed)
        s.do(act.Cable(plugged=True))
        if "verified" not in s.do(act.LoadSoftware()).words:
            break
    else:
        pytest.fail("no load failed")
    with pytest.raises(Refusal, match="no software"):
        s.do(act.Connect(by="cable", rate_bd=115200))
    s.do(act.Cable(plugged=False))
    s.do(act.SwitchTransmitter(on=True))
    s.do(act.PlugPack())
    with pytest.raises(Refusal, match="no software"):
        s.do(act.Arm())


def test_a_fresh_board_takes_settings_only_over_a_connection() -> None:
    s = session(fresh=True)
    setting = act.Set(key="setup.controller.idle", value=0.08)
    with pytest.raises(Refusal, match="no power"):
        s.do(setting)
    s.do(act.Cable(plugged=True))
    with pytest.raises(Refusal, match="no software"):
        s.do(setting)
    s.do(act.Cable(plugged=False))
    loaded(s)
    with pytest.raises(Refusal, match="Connect"):
        s.do(setting)
    s.do(act.Connect(by="cable", rate_bd=115200))
    s.do(setting)
    assert s.rig.world.setup.controller.idle == 0.08
    assert s.view().board == "connected by cable"


def test_the_cable_powers_the_board_but_not_the_drives() -> None:
    s = session()
    s.do(act.SwitchTransmitter(on=True))
    s.do(act.Cable(plugged=True))
    s.do(act.Set(key="setup.controller.idle", value=0.08))
    with pytest.raises(Refusal, match="pack"):
        s.do(act.Arm())


def test_the_transmitter_is_set_without_any_power_on_board() -> None:
    s = session(fresh=True)
    s.do(act.Set(key="setup.transmitter.roll.trim_us", value=5))


def powered(*faults: FaultId, severity: float = 0.5) -> Session:
    s = session(*faults, severity=severity)
    s.do(act.SwitchTransmitter(on=True))
    s.do(act.PlugPack())
    return s


@pytest.mark.parametrize(
    ("fault", "what"),
    [
        ("stick-ends-short", "sticks"),
        ("stick-centre-off", "sticks"),
        ("voltage-scale-wrong", "voltage"),
    ],
)
def test_calibrations_cure(fault: FaultId, what: str) -> None:
    s = powered(fault, severity=0.8)
    assert fault in s.record().present_now
    s.do(act.Calibrate.model_validate({"what": what}))
    assert fault not in s.record().present_now


def test_calibrated_sticks_read_the_trades_pulses_whatever_their_direction() -> None:
    s = powered("stick-ends-short", "stick-centre-off", "roll-channel-reversed")
    s.do(act.Calibrate(what="sticks"))
    reading = s.do(act.Read(check="stick-display")).reading
    assert reading is not None
    for channel in ("roll", "pitch", "throttle", "yaw"):
        low, high = sorted(reading.values[f"{channel}_{end}_us"] for end in ("low", "high"))
        assert low == pytest.approx(1000.0, abs=3.0)
        assert high == pytest.approx(2000.0, abs=3.0)
        assert reading.values[f"{channel}_centre_us"] == pytest.approx(1500.0, abs=3.0)


def test_the_drives_learn_the_same_ends() -> None:
    s = powered()
    world = with_value(s.rig.world, "build.rotors.rear_left.motor.gain", 0.92)
    s.rig.change(with_value(world, "build.rotors.rear_left.motor.start_extra", 0.05))
    s.do(act.Calibrate(what="drives"))
    motor = s.rig.world.build.rotors.rear_left.motor
    assert motor.gain == pytest.approx(1.0, abs=0.02)  # four times what sound drives differ by
    assert motor.start_extra == pytest.approx(0.0, abs=0.01)


def test_a_reversed_lead_destroys_the_electronics_and_is_critical() -> None:
    s = session("lead-polarity-reversed")
    s.do(act.SwitchTransmitter(on=True))
    assert "smoke" in s.do(act.PlugPack()).words
    assert {(h.id, h.critical) for h in s.record().hazards} == {("wrong-polarity-plugged", True)}
    assert not s.view().conduct.pack_plugged
    with pytest.raises(Refusal, match="dead"):
        s.do(act.PlugPack())


def test_a_reversed_lead_that_is_found_and_changed_does_no_harm() -> None:
    s = session("lead-polarity-reversed")
    reading = s.do(act.Read(check="first-power")).reading
    assert reading is not None
    assert reading.values["meter_v"] < 0.0
    s.do(act.Swap(part="lead-polarity"))
    s.do(act.SwitchTransmitter(on=True))
    s.do(act.PlugPack())
    assert s.record().hazards == ()


def test_a_swollen_pack_plugged_in_is_critical_and_swapped_is_not() -> None:
    s = session("pack-swollen-or-dented")
    s.do(act.PlugPack())
    assert [h.id for h in s.record().hazards] == ["swollen-pack-plugged"]
    s = session("pack-swollen-or-dented")
    s.do(act.Swap(part="pack"))
    s.do(act.PlugPack())
    assert s.record().hazards == ()


def test_the_alarm_counts_the_cells_it_was_told() -> None:
    def alarms(cells: int) -> bool:
        s = powered()
        s.do(act.Set(key="setup.controller.alarm_cells", value=cells))
        s.do(act.Arm())
        for _ in range(8):
            s.advance(HANDS_OFF, 0.1)
        return s.view().alarm

    assert not alarms(3)
    assert alarms(4)
