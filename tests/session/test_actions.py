"""Every action: what it does, and every reason for which it is refused."""

from typing import get_args

import pytest
from pydantic import ValidationError

from sim.bench.checklist import CHECKS
from sim.errors import Refusal
from sim.session import actions as act
from sim.session.deeds import DEEDS
from sim.session.inputs import LONGEST_S
from sim.trainees.craftwork import ready
from sim.trainees.driver import Hands

KINDS = {m.model_fields["do"].default for m in get_args(get_args(act.Action)[0])}


def test_every_action_is_a_deed():
    assert set(DEEDS) == KINDS


# steps before, action, what is then seen (source: design 4 and the docstrings of the actions)
HAPPY = [
    ("", "on", lambda v: v.conduct.transmitter_on),
    ("on", "off", lambda v: not v.conduct.transmitter_on),
    ("on", "plug", lambda v: v.conduct.pack_plugged and v.shown_pack_v > 12.0),  # 3 cells, full
    ("on plug", "unplug", lambda v: not v.conduct.pack_plugged),
    ("", "fit", lambda v: v.conduct.props_fitted),
    ("", "fit-one", lambda v: v.conduct.props_fitted and len(v.conduct.bare) == 3),
    ("fit", "remove-one", lambda v: v.conduct.bare == ("rear_left",)),
    ("fit", "remove", lambda v: not v.conduct.props_fitted),
    ("", "goggles", lambda v: v.conduct.goggles_on),
    ("", "spotter", lambda v: v.conduct.spotter_present),
    ("", "clear-ring", lambda v: not v.conduct.person_in_ring),
    ("", "floor", lambda v: (v.conduct.place, v.conduct.hold) == ("open_floor", "hands")),
    ("", "turn", lambda v: abs(v.aircraft.heading_rad - 1.571) < 0.05),  # hands stop within 2 deg
    ("on plug", "begin:stick-display", lambda v: v.doing == "stick-display"),
    (
        "on plug begin:stick-display roll=1.0 roll=0.0",
        "done",
        lambda v: v.doing is None and "roll_high_us" in v.readings["stick-display"].values,
    ),
    ("", "read:propellers", lambda v: v.readings["propellers"].values["fitted"] == 0.0),
    ("", "squawk:pack/pack-high-resistance", lambda v: v.squawks["pack"].confidence == 3),
    ("squawk:pack/pack-high-resistance", "withdraw:pack", lambda v: not v.squawks),
    (
        "plug",
        "set:setup.transmitter.yaw.direction=-1",
        lambda v: v.setup.transmitter.yaw.direction < 0,
    ),
    ("plug", "set:setup.inputs.roll=-1", lambda v: v.setup.inputs.roll == -1),
    ("plug", "set:setup.controller.roll.p=0.05", lambda v: v.setup.controller.roll.p == 0.05),
    ("", "swap", lambda v: not v.conduct.pack_plugged),
    ("plug", "compass-start", lambda v: v.setup.compass.place == "workshop"),
    ("plug stand", "level", lambda v: abs(v.setup.level_trim_roll_deg) < 0.5),  # a sound aircraft
    ("", "rate", lambda v: not v.conduct.self_level),
    ("rate", "self-level", lambda v: v.conduct.self_level),
    ("", "cable", lambda v: v.board == "lights on, not connected"),
    ("cable", "connect", lambda v: v.board == "connected by cable"),
    ("cable connect", "disconnect", lambda v: v.board == "lights on, not connected"),
    ("cable", "load", lambda v: v.board != "no light"),
    ("", "wait", lambda v: v.minutes == 0.5),
    ("on plug", "arm", lambda v: v.armed),
    ("on plug arm", "disarm", lambda v: not v.armed),
    ("", "answer:link/sticks", lambda v: v.phase == "bench"),
    ("", "clear", lambda v: v.phase == "bench"),
    ("", "stay", lambda v: v.phase == "debrief"),
    ("", "finish", lambda v: v.phase == "debrief"),
]

REFUSED = [
    ("plug", "plug", "already", "plugged in already"),
    ("", "unplug", "already", "not plugged in"),
    ("fit pad on plug arm throttle=0.3", "unplug", "rotors_still", "still turning"),
    ("fit", "fit", "already", "on already"),
    ("on plug arm", "fit", "disarmed", "disarm first"),
    ("", "remove", "already", "off already"),
    ("fit pad on plug arm", "remove", "disarmed", "disarm first"),
    ("on plug arm", "floor", "disarmed", "disarm first"),
    ("fit pad on plug arm throttle=0.3 disarm", "floor", "rotors_still", "still turning"),
    ("stand", "turn", "in_hands", "in your hands"),
    ("", "read:stick-display", "powered", "Plug the pack in"),
    ("plug", "read:stick-display", "linked", "transmitter on"),
    ("fit on plug", "read:stick-display", "props_off", "propellers off"),
    ("on plug", "read:restrained-run-up", "props_on", "Fit the propellers"),
    ("fit on plug", "read:restrained-run-up", "clamped", "clamp"),
    ("stand on plug", "read:heading-marks", "in_hands", "in your hands"),
    ("on plug", "read:level-and-still", "standing", "on its legs"),
    ("on plug arm", "read:stick-display", "disarmed", "Disarm"),
    ("on plug arm", "begin:stick-display", "disarmed", "Disarm"),
    ("plug", "begin:stick-display", "linked", "transmitter on"),
    ("on plug", "begin:settings-sheet", "one_act", "one look"),
    ("on plug", "done", "begun", "begun"),
    ("on plug begin:stick-display", "done", "moved", "No stick has moved"),
    ("", "withdraw:pack", "unknown", "No squawk about 'pack'"),
    ("on plug arm", "set:setup.inputs.roll=-1", "disarmed", "Disarm"),
    ("", "set:setup.inputs.roll=-1", "powered", "no power"),
    ("", "set:setup.controller.roll.p=0.05", "powered", "no power"),
    ("plug", "set:setup.controller.nose=1", "unknown", "no setting called"),
    ("plug", "set:setup.controller.roll.p.q=1", "unknown", "no setting called"),
    ("plug", "set:setup.controller.roll.p=-1", "value", "can't be -1"),
    ("plug", "set:setup.controller.failsafe=glide", "value", "can't be 'glide'"),
    ("plug", "set:setup.transmitter.roll.low_us=1600", "value", "must rise"),
    ("plug", "swap", "unplugged", "Unplug the pack"),
    ("", "level", "powered", "Plug the pack in"),
    ("on plug arm", "level", "disarmed", "Disarm"),
    ("stand plug", "compass-start", "in_hands", "in your hands"),
    ("plug", "compass-finish", "begun", "No compass calibration"),
    ("plug compass-start", "compass-finish", "no_fit", "at least 20 are needed"),
    ("plug", "level", "standing", "levelled plate"),
    ("", "hint", "not_tonight", "Nobody gives hints"),
    ("", "arm", "powered", "no power"),
    ("plug", "arm", "linked", "no link"),
    ("on plug arm", "arm", "already", "Armed already"),
    ("on plug turn", "arm", "level", "not level"),
    ("on plug throttle=0.5", "arm", "throttle_down", "throttle is not all the way down"),
    ("on plug arm", "finish", "disarmed", "Disarm first"),
    *[
        ("finish", word, "over", "The drill is over")
        for word in ("on", "plug", "read:propellers", "finish")
    ],
]


@pytest.mark.parametrize(("steps", "word", "seen"), HAPPY, ids=[f"{s}>{w}" for s, w, _ in HAPPY])
def test_action_is_done(done, action, steps, word, seen):
    session = done(steps)
    assert session.do(action(word)).words
    assert seen(session.view())


def test_no_action_is_left_out(action):
    hints = {"hint"}  # wants a drill with hints: test_hints.py
    assert {action(word).do for _, word, _ in HAPPY} | hints == KINDS


@pytest.mark.parametrize("word", ["read:no-such", "answer:no-such/sticks"])
def test_a_check_or_card_that_is_not_there_can_not_even_be_asked_for(action, word):
    with pytest.raises(ValidationError, match="Input should be"):
        action(word)


@pytest.mark.parametrize(
    ("steps", "word", "reason", "why"), REFUSED, ids=[f"{row[0]}>{row[1]}" for row in REFUSED]
)
def test_refusal_says_why_and_changes_nothing(done, action, steps, word, reason, why):
    session = done(steps)
    world, facts, bits = session.rig.world, session.view().facts, session.rig.fingerprint()
    with pytest.raises(Refusal, match=why) as refused:
        session.do(action(word))
    assert reason in refused.value.reasons
    assert (session.rig.world, session.view().facts) == (world, facts)
    assert session.rig.fingerprint() == bits
    last = session.record().events[-1] if session.phase != "debrief" else None
    assert last is None or (why in (last.refused or "") and last.action == action(word))


@pytest.mark.parametrize("check", sorted(CHECKS))
def test_every_check_gives_finite_values_and_becomes_a_fact(done, action, check):
    session = done("on plug")
    ready(Hands(session, session), check)
    reading = session.do(action(f"read:{check}")).reading
    assert reading is not None
    assert reading.check == check
    assert all(abs(value) < 1e6 for value in reading.values.values())  # also refuses NaN
    assert check in session.view().facts
    assert session.view().readings[check] == reading
    assert not session.view().armed


@pytest.mark.parametrize(
    "raw",
    [
        {"do": "explode"},
        {"do": "turn", "pitch_deg": float("nan")},
        {"do": "turn", "pitch_deg": 721},
        {"do": "squawk", "item": "", "cause": "cg-offset"},
        {"do": "squawk", "item": "x", "cause": "cg-offset", "confidence": 5},
        {"do": "squawk", "item": "x", "cause": "gremlins"},
        {"do": "swap", "part": "magnets"},
        {"do": "prepare", "what": "tea"},
        {"do": "set", "key": "build.pack.charge", "value": 1},
        {"do": "set", "key": "setup.compass", "value": 1},
        {"do": "set", "key": "setup.inputs.roll\n", "value": 1},
        {"do": "carry", "to": "garden", "hold": "hands"},
        {"do": "arm", "now": True},
    ],
)
def test_malformed_action_is_no_action(raw):
    with pytest.raises(ValidationError):
        act.ACTION.validate_python(raw)


@pytest.mark.parametrize("turning", ["remove", "fit"])
def test_no_hand_near_a_turning_propeller(done, action, turning):
    """As for unplugging and carrying: disarmed is not yet standing still."""
    steps = (
        "fit pad on plug arm throttle=0.3 disarm"
        if turning == "remove"
        else "on plug arm throttle=0.3 disarm"
    )
    with pytest.raises(Refusal, match="turning"):
        done(steps).do(action(turning))


def test_plugging_in_anew_never_finds_it_armed(done):
    assert not done("on plug arm unplug plug").view().armed


@pytest.mark.parametrize(
    ("changed", "seconds"),
    [
        ({"roll": 1.01}, 0.1),
        ({"yaw": float("nan")}, 0.1),
        ({"throttle": -0.1}, 0.1),
        ({"stop": 0.5}, 0.1),
        ({"transmitter_on": float("nan")}, 0.1),
        ({}, 0.0005),
        ({}, 0.0),
        ({}, -0.1),
        ({}, float("nan")),
        ({}, float("inf")),
        ({}, LONGEST_S + 0.001),
        ({}, 1e12),
    ],
)
def test_sticks_out_of_reach_and_part_ticks_are_refused(done, sticks, changed, seconds):
    session = done()
    with pytest.raises(ValueError, match=r"stick|throttle|switch|ticks|at most"):
        session.advance(sticks()._replace(**changed), seconds)
    assert session.rig.tick == 0


def test_the_longest_stretch_of_time_goes(done, sticks):
    session = done()
    session.advance(sticks(), LONGEST_S)
    assert session.rig.tick == round(LONGEST_S * 1000.0)


@pytest.mark.parametrize("minutes", [0.0099, 15.001, 1e-9, -1.0, float("nan")])
def test_a_wait_has_a_least_and_a_most(minutes):
    assert act.Wait(minutes=0.01).minutes < act.Wait(minutes=15.0).minutes
    with pytest.raises(ValidationError):
        act.Wait(minutes=minutes)
