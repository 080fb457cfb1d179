"""Anything may be done in any order: it is refused or it works, and the state stays sound."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from sim.bench.checks.control import numbers_of
from sim.bench.rig import POSITION
from sim.errors import Refusal
from sim.session import actions as act
from sim.session.scenario import load, names
from sim.session.session import Session
from sim.trainees.others import random_action, random_sticks

ATTITUDES = ("body.attitude", "estimator.attitude", "hold.attitude")
UNIT = 1e-6  # renormalised each tick: only rounding and one step of drift are left
SHORT_WAIT_MIN = 0.02  # min; own: drawn as they come, waits would be two thirds of the time
SETTINGS = sorted(numbers_of(Session(load("quiet-morning"), 0).rig.world.setup.controller))


def assert_sound(session, earlier_s):
    row = np.array(session.rig.row())
    bad = [name for name, i in POSITION.items() if not np.isfinite(row[i])]
    assert not bad, bad
    for name in ATTITUDES:
        size = np.linalg.norm([session.rig.value(f"{name}.{axis}") for axis in "wxyz"])
        assert abs(size - 1.0) < UNIT, name
    cells = session.rig.cells()
    charges = (cells[0], cells[1])  # the good cells and the weakest
    assert 0.0 <= min(charges) <= max(charges) <= 1.0
    assert session.rig.time_s >= earlier_s
    return session.rig.time_s


def driven(drill, seed, count):
    """Do this many things at random, starting anew when the drill is over; return what happened."""
    rng = np.random.default_rng([seed, 31])
    counts = {"done": 0, "refused": 0, "flown": 0}
    session, time_s = Session(load(drill), seed), 0.0
    for n in range(count):
        if session.phase == "debrief" or n % 200 == 199:
            session, time_s = Session(load(drill), seed + n), 0.0
        try:
            action = random_action(rng)
            if isinstance(action, act.Wait) and n % 40:
                action = act.Wait(minutes=SHORT_WAIT_MIN)
            session.do(action)
            counts["done"] += 1
        except (Refusal, ValidationError):
            counts["refused"] += 1
        if rng.random() < 0.4:
            session.advance(random_sticks(rng), 0.02 * float(rng.integers(1, 50)))
        time_s = assert_sound(session, time_s)
        session.view()
        counts["flown"] += session.record().takeoff_s is not None
    return counts


@pytest.mark.parametrize("drill", names())
def test_random_actions_leave_it_sound(drill):
    counts = driven(drill, 1, 150)
    assert min(counts["done"], counts["refused"]) > 30  # both happened, a fifth each at least


@pytest.mark.slow
@pytest.mark.parametrize("drill", names())
def test_many_more_random_actions_leave_it_sound(drill):
    assert driven(drill, 100_000, 2000)["done"] > 400


@pytest.mark.parametrize("key", SETTINGS)
def test_every_number_on_the_setup_sheet_can_be_set(done, key):
    value = done().rig.world.setup.model_dump()["controller"]
    for part in key.split("."):
        value = value[part]
    done("plug").do(act.Set(key=f"setup.controller.{key}", value=value))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(key=st.sampled_from(SETTINGS), value=st.floats(min_value=-1e4, max_value=1e4))
def test_any_number_on_the_setup_sheet_is_refused_or_flyable(key, value):
    assert_flyable(key, value)


@pytest.mark.parametrize("value", [1e-300, 1e300])
@pytest.mark.parametrize(
    "key", ["level_gain_per_s", "compass_gain_per_s", "roll.p", "gyro_cutoff_hz"]
)
def test_an_absurd_number_is_refused_or_flyable(key, value):
    assert_flyable(key, value)


def assert_flyable(key, value):
    session = Session(load("quiet-morning"), 1)
    session.do(act.SwitchTransmitter(on=True))
    session.do(act.PlugPack())
    try:
        session.do(act.Set(key=f"setup.controller.{key}", value=value))
        session.do(act.Arm())
    except (Refusal, ValidationError):
        pass
    session.advance(random_sticks(np.random.default_rng(3))._replace(stop=0.0), 0.5)
    assert_sound(session, 0.0)
    session.truth()
