"""One spelling of fixes: what actions change, and everything that can put something right."""

from typing import get_args

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.keys import FixKey
from sim.session import actions as act
from sim.session.fixes import fix_of, fixes, settings
from sim.session.scenario import load
from sim.session.session import Session


@pytest.mark.parametrize(
    ("action", "key"),
    [
        (act.Set(key="setup.inputs.yaw", value=-1), "setup.inputs.yaw"),
        (act.Swap(part="motor-rear-left"), "swap:motor-rear-left"),
        (act.Prepare(what="shut-door"), "prepare:shut-door"),
        (act.Calibrate(what="face-finish"), "calibrate:faces"),
        (act.Calibrate(what="compass-finish"), "calibrate:compass"),
        (act.Calibrate(what="sticks"), "calibrate:sticks"),
        (act.PlugPack(), "plug"),
        (act.RemoveProps(), "remove-props"),
        (act.Wait(minutes=5.0), "wait"),
    ],
)
def test_an_action_is_the_fix_the_catalogue_names(action, key):
    assert fix_of(action) == key
    assert any(key in fault.fixes for fault in CATALOGUE.values())


@pytest.mark.parametrize(
    "action", [act.Calibrate(what="compass-start"), act.Calibrate(what="face-take"), act.Arm()]
)
def test_what_changes_nothing_is_no_fix(action):
    assert fix_of(action) is None


def test_every_fix_of_the_catalogue_is_one_there_is():
    known = set(fixes())
    assert known == set(get_args(FixKey))
    for fault in CATALOGUE.values():
        assert fault.fixes, fault.id
        assert set(fault.fixes) <= known, fault.id


def test_every_setting_can_be_made_by_its_key():
    session = Session(load("quiet-morning"), 1)
    session.do(act.SwitchTransmitter(on=True))
    session.do(act.PlugPack())
    for key in settings():
        value: object = session.rig.world
        for name in key.split("."):
            value = getattr(value, name)
        told = " ".join(value) if isinstance(value, tuple) else value
        session.do(act.Set.model_validate({"key": key, "value": told}))
