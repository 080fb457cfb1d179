"""Two faults at once: an aircraft with both, and which second fault explains what the first leaves."""

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.changes import value_at, with_values
from sim.diagnosis.recordings import Plan, made
from sim.keys import FaultId
from sim.reproduce.recorded.finding import weighed
from sim.reproduce.recorded.pairs import both, do_the_same

KEY = "build.frame.cg_offset_m"
LEG = "build.frame.leg_lift_m"


def changed(sound, **values):
    return with_values(sound, {key.replace("__", "."): value for key, value in values.items()})


def test_an_aircraft_with_both_has_what_each_has(sound):
    first = changed(sound, build__frame__mass_factor=1.3)
    second = changed(sound, setup__controller__tilt_limit_deg=70.0)
    two = both(sound, first, second)
    assert two is not None
    assert value_at(two, "build.frame.mass_factor") == 1.3
    assert value_at(two, "setup.controller.tilt_limit_deg") == 70.0


def test_what_both_change_adds_up(sound):
    first = changed(sound, **{KEY: (0.010, 0.002, 0.0)})
    second = changed(sound, **{KEY: (-0.004, 0.005, 0.0)})
    two = both(sound, first, second)
    assert two is not None
    assert value_at(two, KEY) == pytest.approx((0.006, 0.007, 0.0))


def test_of_words_the_one_that_is_changed_counts(sound):
    order = "setup.transmitter.order"
    mixed = ("pitch", "roll", "throttle", "yaw")
    first, plain = changed(sound, **{order: mixed}), changed(sound, build__frame__mass_factor=1.3)
    for pair in ((first, plain), (plain, first)):
        two = both(sound, *pair)
        assert two is not None
        assert value_at(two, order) == mixed


def test_what_no_aircraft_can_have_is_none(sound):
    first = changed(sound, build__pack__charge=0.5)
    second = changed(sound, build__pack__charge=0.3)
    assert both(sound, first, second) is None  # 0.88 less 0.38 less 0.58


def test_two_that_do_the_same_are_one_that_is_worse():
    assert do_the_same("level-trim-off", "level-trim-off")
    assert do_the_same("level-trim-off", "accel-cal-bad")
    assert not do_the_same("level-trim-off", "cg-offset")


@pytest.mark.slow
def test_the_second_fault_is_what_explains_most_of_the_rest():
    faults: tuple[tuple[FaultId, float], ...] = (
        ("idle-too-high", 0.5),
        ("loop-sign-reversed", 0.6),
    )
    one = made(Plan(seed=21, faults=faults, manoeuvre="takeoff", rate_hz=50))
    found = weighed(one.recording, library.airframe(library.TRAINER))
    best = max(found.pairs.pairs, key=lambda pair: pair.log_evidence)
    names = {found.hypotheses[i].fault for i in (best.first, best.second)}
    assert names == {name for name, _ in faults}
    single = max(fitted.log_evidence for fitted in found.fits.values())
    assert best.log_evidence > single + 10.0
    assert np.isfinite(best.log_evidence)
    for pair in found.pairs.pairs:
        assert not do_the_same(*(found.hypotheses[i].fault for i in (pair.first, pair.second)))
