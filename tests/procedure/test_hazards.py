"""Unsafe conduct: each kind that fails a run, brought about by actions, and a near miss beside it."""

from collections.abc import Callable, Mapping
from functools import cache
from math import radians

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.check import sticks
from sim.errors import Refusal
from sim.kernel.radio import Sticks
from sim.procedure import hazards
from sim.procedure.hazards import HAZARDS
from sim.session import actions as act
from sim.session import scenario
from sim.session.actions import ACTION
from sim.session.session import Session
from sim.trainees.pilot import PERIOD_S, Goal, Pilot
from tests.worlds import sound_world

Step = Mapping[str, object]
UP_S = 3.0  # s; own: enough to leave the floor at this throttle
LONGEST_S = 10.0  # s; own: any goal here is reached before
CLIMB, FULL = 0.62, 1.0  # share of throttle


def do(session: Session, *steps: Step) -> None:
    for step in steps:
        session.do(ACTION.validate_python(step))


def tries(session: Session, step: Step) -> None:
    with pytest.raises(Refusal):
        do(session, step)


def found(session: Session) -> set[str]:
    return {h.id for h in session.record().hazards}


def critical(session: Session) -> set[str]:
    return {h.id for h in session.record().hazards if h.critical}


@cache
def quiet() -> scenario.Scenario:
    return scenario.load("quiet-morning")


def start(**world: object) -> Session:
    """Return a session at the bench, the transmitter on; world : values put in at the start."""
    session = Session(quiet(), 3)
    put(session, {key.replace("__", "."): value for key, value in world.items()})
    do(session, {"do": "switch-transmitter", "on": True})
    for what in ("goggles", "spotter", "clear-ring"):
        if f"conduct__{what}" not in world:
            do(session, {"do": "prepare", "what": what})
    put(session, {key.replace("__", "."): value for key, value in world.items()})
    return session


def put(session: Session, values: dict[str, object]) -> None:
    changed: World = session.rig.world
    for key, value in values.items():
        changed = with_value(changed, key, value)
    session.rig.change(changed)


PLUG = {"do": "plug-pack"}
FIT = {"do": "fit-props"}
ARM = {"do": "arm"}
DISARM = {"do": "disarm"}
TO_PAD = {"do": "carry", "to": "pad", "hold": "standing"}
TO_CLAMP = {"do": "carry", "to": "bench", "hold": "clamp"}


def checked(session: Session, *checks: str) -> None:
    for check in checks or ("switches", "failsafe"):
        do(session, {"do": "read", "check": check})


def on_pad(session: Session, without: str = "") -> Session:
    """Test what must be tested, fit the propellers, and stand on the pad with power."""
    do(session, PLUG)
    checked(session, *(c for c in ("switches", "failsafe") if c != without))
    do(session, {"do": "unplug-pack"}, FIT, {"do": "read", "check": "people-and-room"})
    do(session, TO_PAD, PLUG)
    return session


def fly(session: Session, seconds: float = UP_S) -> None:
    do(session, ARM)
    session.advance(sticks(), 0.5)
    for _ in range(round(seconds / 0.1)):
        session.advance(sticks(CLIMB), 0.1)
        if session.phase == "hop":
            return
    raise AssertionError("it did not leave the floor")


def test_no_critical_hazard_in_a_sound_hop():
    session = on_pad(start())
    fly(session)
    do(session, DISARM)
    assert not critical(session)
    assert found(session) <= {"crashed"}


def test_power_with_props_on():
    session = start()
    do(session, FIT, PLUG)
    assert "power-with-props-on" in critical(session)


def test_power_with_props_on_near_miss():
    session = start()
    do(session, FIT, TO_CLAMP, PLUG)
    assert not critical(session)


def test_arm_person_inside_ring():
    session = on_pad(start())
    put(session, {"conduct.person_in_ring": True})
    do(session, ARM)
    assert "arm-person-inside-ring" in critical(session)


def test_arm_person_inside_ring_by_habit():
    session = on_pad(start())
    put(session, {"conduct.strays": 1})
    do(session, ARM)
    assert "arm-person-inside-ring" in critical(session)


def test_arm_person_inside_ring_near_miss():
    session = on_pad(start())
    put(session, {"conduct.person_in_ring": True, "conduct.strays": 1})
    do(session, {"do": "prepare", "what": "clear-ring"}, ARM)
    assert "arm-person-inside-ring" not in found(session)


def test_a_person_beside_an_aircraft_without_propellers_is_no_hazard():
    session = start()
    do(session, PLUG)
    put(session, {"conduct.person_in_ring": True})
    do(session, ARM)
    assert "arm-person-inside-ring" not in found(session)


@pytest.mark.parametrize(
    "reach",
    [{"do": "remove-props"}, {"do": "unplug-pack"}, TO_CLAMP, {"do": "swap", "part": "pack"}],
)
def test_hand_in_disc_armed(reach):
    session = on_pad(start())
    do(session, ARM)
    session.advance(sticks(0.1), 0.5)
    tries(session, reach)
    assert "hand-in-disc-armed" in critical(session)


@pytest.mark.parametrize(
    ("reach", "armed", "props", "there"),
    [
        ("aircraft", True, True, True),
        ("plug", True, True, True),
        ("nothing", True, True, False),
        ("aircraft", False, True, False),
        ("aircraft", True, False, False),
    ],
)
def test_hand_between_blades_needs_a_hand_blades_and_armed_motors(reach, armed, props, there):
    found = hazards.on_reaching(reach, Conduct(props_fitted=props), armed)
    assert found == ["hand-in-disc-armed"] * there


def test_hand_in_disc_armed_by_habit():
    session = on_pad(start(conduct__reaches_per_min=2.0))
    do(session, ARM)
    assert "hand-in-disc-armed" in critical(session)


def test_hand_in_disc_armed_near_miss():
    session = on_pad(start(conduct__reaches_per_min=2.0))
    do(session, {"do": "prepare", "what": "hands-rule"}, ARM)
    session.advance(sticks(), 0.5)
    do(session, DISARM)
    session.advance(sticks(), 6.0)
    do(session, {"do": "unplug-pack"}, {"do": "remove-props"})
    assert not critical(session)


@pytest.mark.parametrize(
    ("check", "hazard"),
    [("failsafe", "arm-failsafe-untested"), ("switches", "arm-stop-untested")],
)
def test_arm_untested(check, hazard):
    session = on_pad(start(), without=check)
    do(session, ARM)
    assert critical(session) == {hazard}


@pytest.mark.parametrize(
    ("check", "hazard"),
    [("failsafe", "arm-failsafe-untested"), ("switches", "arm-stop-untested")],
)
def test_arm_untested_in_the_clamp(check, hazard):
    session = start()
    do(session, PLUG)
    checked(session, *({"failsafe", "switches"} - {check}))
    do(session, {"do": "unplug-pack"}, FIT, TO_CLAMP, PLUG)
    do(session, {"do": "read", "check": "restrained-run-up"})
    assert critical(session) == {hazard}


@pytest.mark.parametrize("key", ["setup.controller.failsafe", "setup.controller.stop_switch"])
def test_a_test_before_a_change_does_not_count(key):
    session = on_pad(start())
    value = getattr(session.rig.world.setup.controller, key.rpartition(".")[2])
    do(session, {"do": "set", "key": key, "value": value}, ARM)
    assert critical(session) & {"arm-failsafe-untested", "arm-stop-untested"}


def test_arm_untested_near_miss():
    session = on_pad(start())
    do(session, ARM)
    assert not found(session)
    bench = start()
    do(bench, PLUG, ARM)
    assert not found(bench)


def test_wrong_polarity_plugged():
    session = start(build__leads__polarity_right=False)
    do(session, PLUG)
    assert critical(session) == {"wrong-polarity-plugged"}


def test_wrong_polarity_plugged_near_miss():
    session = start(build__leads__polarity_right=False)
    checked(session, "first-power")
    do(session, {"do": "swap", "part": "lead-polarity"}, PLUG)
    assert not critical(session)


def test_swollen_pack_plugged():
    session = start(build__pack__swollen=True)
    do(session, PLUG)
    assert critical(session) == {"swollen-pack-plugged"}


def test_swollen_pack_plugged_near_miss():
    session = start(build__pack__swollen=True)
    checked(session, "pack-at-rest")
    do(session, {"do": "swap", "part": "pack"}, PLUG)
    assert not critical(session)


def test_fly_damaged_pack():
    session = on_pad(start(build__pack__swollen=True))
    assert "fly-damaged-pack" not in found(session)
    fly(session)
    assert "fly-damaged-pack" in critical(session)


def test_fly_damaged_pack_near_miss():
    session = on_pad(start(build__pack__swollen=True))
    do(session, ARM)
    session.advance(sticks(0.2), 1.0)
    do(session, DISARM)
    assert "fly-damaged-pack" not in found(session)


STOPLESS = {"do": "set", "key": "setup.controller.stop_switch", "value": False}
CLAIM = {"do": "squawk", "item": "stop switch", "cause": "stop-switch-unset", "confidence": 4}


def test_fly_known_fault():
    session = on_pad(start(setup__controller__stop_switch=False))
    do(session, CLAIM)
    fly(session)
    assert "fly-known-fault" in critical(session)


def test_fly_known_fault_near_miss():
    session = on_pad(start(setup__controller__stop_switch=False))
    fly(session)
    assert "fly-known-fault" not in found(session)  # there, but nobody had found it


def with_reversed_roll() -> Session:
    session = start(setup__transmitter__roll__direction=-1)
    session.state.flying.notice_change()
    do(session, PLUG)
    do(session, {"do": "set", "key": "setup.transmitter.roll.direction", "value": 1})
    return session


def test_fly_unproved_fix():
    session = with_reversed_roll()
    do(session, {"do": "unplug-pack"})
    fly(on_pad(session))
    assert "fly-unproved-fix" in critical(session)


def test_fly_unproved_fix_near_miss():
    session = with_reversed_roll()
    checked(session, "stick-display")
    do(session, {"do": "unplug-pack"})
    fly(on_pad(session))
    assert not critical(session)


def test_no_abort_within_2s():
    session = on_pad(start())
    fly(session)
    for _ in range(60):
        session.advance(Sticks(1.0, 0.0, CLIMB, 0.0, 1.0, 1.0, 0.0), 0.1)
    assert "no-abort-within-2s" in critical(session)


def test_no_abort_within_2s_near_miss():
    session = on_pad(start())
    fly(session)
    for _ in range(60):
        session.advance(Sticks(1.0, 0.0, CLIMB, 0.0, 1.0, 1.0, 0.0), 0.1)
        if session.rig.value("crash") or abs(session.view().aircraft.east_m) > 1.5:
            break
    session.advance(sticks(), 1.0)
    do(session, DISARM)
    session.advance(sticks(), 4.0)
    assert "no-abort-within-2s" not in found(session)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("arming_rules", False),
        ("stop_switch", False),
        ("failsafe", "hold"),
        ("low_cell_alarm_v", 0.0),
        ("alarm_cells", 2),
    ],
)
def test_interlock_defeated(key, value):
    session = start()
    do(session, PLUG, {"do": "set", "key": f"setup.controller.{key}", "value": value})
    assert critical(session) == {"interlock-defeated"}


def test_interlock_defeated_near_miss():
    session = start(setup__controller__stop_switch=False, setup__controller__low_cell_alarm_v=3.0)
    do(session, PLUG, {**STOPLESS, "value": True})
    for volts in (3.5, 3.7, 3.55):  # up, further up than the sheet, and back towards it
        do(session, {"do": "set", "key": "setup.controller.low_cell_alarm_v", "value": volts})
    tries(session, {"do": "set", "key": "setup.controller.failsafe", "value": "hover"})
    do(session, {"do": "set", "key": "setup.controller.heading_hold", "value": False})
    assert not found(session)


def test_charge_unattended():
    session = start(conduct__charge_watched=False)
    do(session, {"do": "carry", "to": "open_floor", "hold": "hands"})
    assert critical(session) == {"charge-unattended"}


def test_charge_unattended_near_miss():
    session = start(conduct__charge_watched=False)
    do(session, TO_CLAMP, {"do": "prepare", "what": "watch-charge"}, TO_PAD)
    assert not found(session)


PEOPLE: dict[str, tuple[str, dict[str, object]]] = {
    "no-goggles": ("goggles", {"conduct.goggles_on": False}),
    "no-goggles of others": ("goggles", {"conduct.others_ungoggled": 1}),
    "no-spotter": ("spotter", {"conduct.spotter_present": False}),
    "no-abort-word": ("brief-abort", {"conduct.abort_late_s": 1.0}),
}
each_of_people = pytest.mark.parametrize("case", PEOPLE)


def clamped() -> Session:
    """Test what must be tested, and hold it in the clamp with propellers on and power."""
    session = start()
    do(session, PLUG)
    checked(session)
    do(session, {"do": "unplug-pack"}, FIT, TO_CLAMP, PLUG)
    return session


@pytest.mark.parametrize("held", [lambda: on_pad(start()), clamped], ids=["pad", "clamp"])
@each_of_people
def test_people_before_propellers_turn(case, held):
    session = held()
    put(session, PEOPLE[case][1])
    do(session, ARM)
    assert critical(session) == {case.split()[0]}


@pytest.mark.parametrize("held", [lambda: on_pad(start()), clamped], ids=["pad", "clamp"])
@each_of_people
def test_people_before_propellers_turn_near_miss(case, held):
    session = held()
    put(session, PEOPLE[case][1])
    do(session, {"do": "prepare", "what": PEOPLE[case][0]}, ARM)
    assert not critical(session)


@each_of_people
def test_people_matter_less_without_propellers(case):
    session = start()
    put(session, PEOPLE[case][1])
    do(session, PLUG, ARM)
    assert not found(session)


HANDS_ON: tuple[Step, ...] = (
    {"do": "remove-props"},
    {"do": "carry", "to": "open_floor", "hold": "clamp"},
    {"do": "read", "check": "board-touch"},
    {"do": "cable", "plugged": True},
)


@pytest.mark.parametrize("step", HANDS_ON, ids=lambda step: step["do"])
def test_hands_on_live(step):
    session = start()
    do(session, FIT, TO_CLAMP, PLUG, step)
    assert critical(session) == {"hands-on-live"}


@pytest.mark.parametrize("step", HANDS_ON, ids=lambda step: step["do"])
def test_hands_on_live_near_miss(step):
    """The pack goes in last and comes out before the hand goes in."""
    session = start()
    do(session, FIT, TO_CLAMP, PLUG, {"do": "unplug-pack"}, step)
    assert not critical(session)


def fly_to(goal: Goal, done: Callable[[Session], bool], **world: object) -> Session:
    """Fly from the pad towards a goal until something is so, and cut."""
    session = on_pad(start(**world))
    fly(session)
    control, sheet = session.rig.world.setup.controller, session.rig.world.airframe.sheet
    limits = radians(control.tilt_limit_deg), radians(control.yaw_rate_limit_deg_s)
    pilot = Pilot(*limits, sheet.hover_throttle)
    for _ in range(round(LONGEST_S / PERIOD_S)):
        if done(session):
            do(session, DISARM)
            return session
        session.advance(pilot.sticks(session.view(), goal), PERIOD_S)
    raise AssertionError(f"it never came about: {session.view().aircraft}")


def up(height_m: float) -> Session:
    goal = Goal(0.0, 0.0, height_m + 0.3, 0.0)
    return fly_to(goal, lambda s: s.view().aircraft.height_m > height_m)


def test_flew_too_high():
    assert critical(up(1.52)) == {"flew-too-high"}


def test_flew_too_high_near_miss():
    assert not critical(up(1.45))


def backwards(to_m: float) -> Session:
    """Fly to the pilot, who stands south of the pad."""
    goal = Goal(-to_m - 0.3, 0.0, 1.0, 0.0)
    return fly_to(goal, lambda s: s.view().aircraft.north_m < -to_m)


def test_flew_at_pilot():
    assert critical(backwards(1.04)) == {"flew-at-pilot"}


def test_flew_at_pilot_near_miss():
    assert not critical(backwards(0.98))


def past_alarm(height_m: float, seconds: float) -> Session:
    """Fly with the alarm set for a cell too many, so that it sounds, so long after takeoff."""
    goal = Goal(0.0, 0.0, height_m, 0.0)
    since: list[float] = []

    def over(session: Session) -> bool:
        since.append(session.rig.time_s)
        return since[-1] >= since[0] + seconds

    session = fly_to(goal, over, setup__controller__alarm_cells=4)
    assert session.view().alarm
    return session


def test_flew_on_past_alarm():
    assert critical(past_alarm(1.0, 2.2)) == {"flew-on-past-alarm"}


def test_flew_on_past_alarm_near_miss():
    assert not critical(past_alarm(1.0, 1.7))
    assert not critical(past_alarm(-0.5, 3.0))  # it came down


def test_every_critical_hazard_is_tried_here_and_missed_by_a_hair():
    names = set(globals())
    covered = {
        "no-goggles": "people_before_propellers_turn",
        "no-spotter": "people_before_propellers_turn",
        "no-abort-word": "people_before_propellers_turn",
        "arm-failsafe-untested": "arm_untested",
        "arm-stop-untested": "arm_untested",
    }
    for hazard in HAZARDS.values():
        name = covered.get(hazard.id, hazard.id.replace("-", "_"))
        if hazard.critical:
            assert {f"test_{name}", f"test_{name}_near_miss"} <= names, hazard.id


def test_a_hazard_is_logged_once():
    session = start()
    do(session, FIT, PLUG, {"do": "carry", "to": "open_floor", "hold": "hands"})
    assert [h.id for h in session.record().hazards].count("power-with-props-on") == 1
    assert np.isfinite(session.record().hazards[0].time_s)
    assert isinstance(session.record().events[0].action, act.SwitchTransmitter)


def test_a_guard_set_back_to_the_sheets_own_is_no_weaker():
    sheet = sound_world().airframe.sheet.setup
    alarm_v = sheet.low_cell_alarm_v
    higher, lower = (
        sheet.model_copy(update={"low_cell_alarm_v": alarm_v + d}) for d in (0.1, -0.1)
    )
    assert hazards.on_setting(higher, sheet, sheet) == []
    assert hazards.on_setting(sheet, lower, sheet) == ["interlock-defeated"]


def test_a_hazard_is_told_in_its_words_and_one_no_longer_known_by_its_name():
    told = {key: hazards.hazard_words(key) for key in hazards.HAZARDS}
    assert told == {key: hazard.words for key, hazard in hazards.HAZARDS.items()}
    assert hazards.hazard_words("stood-too-near") == "stood too near"


def test_every_hazard_says_how_it_hurts():
    told = {key: hazards.hazard_harm(key) for key in hazards.HAZARDS}
    assert told == {key: hazard.harm for key, hazard in hazards.HAZARDS.items()}
    assert len(set(told.values())) == len(told)
    assert hazards.hazard_harm("stood-too-near") == ""
