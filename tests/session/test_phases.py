"""Bench, pad, hop, debrief; what counts as takeoff; what a change voids; what can be seen."""

from dataclasses import fields, is_dataclass, replace

import numpy as np
import pytest
from pydantic import BaseModel

from sim.aircraft.build import Build, Pack, SensorBuild
from sim.aircraft.site import Site
from sim.aircraft.world import World
from sim.bench.rig import Rig
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Truth
from sim.keys import CheckKey
from sim.session import actions as act
from sim.session.scenario import HiddenFault, Scenario, load
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.hop import hop


def hazards(session):
    return {h.id for h in session.record().hazards}


def test_a_drill_goes_through_its_four_phases(done, action, sticks):
    session = done("")
    assert session.view().phase == "bench"
    for word, phase in (
        ("fit", "bench"),
        ("pad", "pad"),
        ("bench", "bench"),
        ("pad", "pad"),
        ("on", "pad"),
        ("plug", "pad"),
        ("arm", "pad"),
    ):
        session.do(action(word))
        assert session.view().phase == phase
    hop(Hands(session, session), 1.0, 5.0, 0.487)  # hover_throttle of the build sheet
    assert session.view().phase == "pad"  # disarmed, its rotors still: the evening goes on
    assert not session.view().crash
    with pytest.raises(Refusal, match="Too late"):
        session.do(action("clear"))
    session.do(action("finish"))
    assert session.view().phase == "debrief"
    assert session.record().finished


@pytest.mark.parametrize("place", ["bench", "open_floor", "steel_cupboard"])
def test_without_propellers_or_off_the_pad_it_stays_bench_work(done, place):
    session = done("")
    session.do(act.Carry.model_validate({"to": "pad", "hold": "standing"}))
    assert session.view().phase == "bench"
    session.do(act.FitProps())
    session.do(act.Carry.model_validate({"to": place, "hold": "standing"}))
    assert session.view().phase == "bench"


@pytest.mark.parametrize(("clear_ticks", "flown"), [(299, False), (300, True)])
def test_takeoff_is_all_feet_clear_for_three_tenths(flying, sticks, clear_ticks, flown):
    session = flying()
    left = clear_ticks - int(session.rig.value("clear_ticks"))
    session.advance(sticks(0.55), left / 1000.0)
    assert session.rig.value("clear_ticks") == clear_ticks
    assert (session.record().takeoff_s is not None) == flown
    assert session.view().phase == ("hop" if flown else "pad")
    if flown:  # the takeoff is when the feet left, not when it was noticed
        assert session.record().takeoff_s == pytest.approx(session.rig.time_s - 0.3, abs=1e-9)


def test_light_on_the_legs_is_before_takeoff(done, action):
    session = done("fit pad on plug read:light-on-legs")
    assert session.record().takeoff_s is None
    assert session.view().phase == "pad"


def test_a_hop_that_ends_before_anyone_looks_was_a_takeoff(flying, sticks):
    """One long stick sample: the link goes, it rises, the motors stop, it falls back."""
    session = flying(seed=2)  # which comes down on its legs
    began_s = session.rig.time_s
    seen = session.advance(sticks(0.55, transmitter_on=0.0), 6.0)
    assert (seen["load_n"] == 0.0).sum() * 0.01 > 0.3  # s; rows are 10 ms apart
    assert session.rig.value("clear_ticks") == 0.0  # it is down again
    assert session.record().takeoff_s == pytest.approx(began_s, abs=0.1)


def test_propellers_fitted_on_the_pad_do_not_hide_the_hop(done, action):
    """The pad is the pad in whatever order one got ready."""
    session = done("pad fit on plug arm")
    assert {"arm-failsafe-untested", "arm-stop-untested", "area-unread"} <= hazards(session)
    hop(Hands(session, session), 1.0, 5.0, 0.487)
    assert session.record().takeoff_s is not None


# change made -> checks it makes due again (training design H, invalidation list)
VOIDS = [
    ("set:setup.transmitter.yaw.trim_us=5", {"stick-display", "failsafe", "switches"}),
    ("set:setup.controller.roll.p=0.05", {"steady-throttle", "settings-sheet"}),
    ("set:setup.controller.failsafe=stop", {"failsafe", "settings-sheet"}),
    ("set:setup.controller.stop_switch=1", {"switches", "settings-sheet"}),
    ("unplug swap plug", {"pack-at-rest"}),
    ("stand level", {"level-and-still"}),
    ("fit", {"propellers"}),
    ("unplug", set()),
]
DONE: tuple[CheckKey, ...] = (
    "propellers",
    "pack-at-rest",
    "stick-display",
    "failsafe",
    "switches",
    "settings-sheet",
    "steady-throttle",
)


@pytest.mark.parametrize(("change", "void"), VOIDS, ids=[c for c, _ in VOIDS])
def test_a_change_makes_its_checks_due_again(done, action, change, void):
    level = "level-and-still" in void
    session = done("on plug " + ("stand read:level-and-still bench " if level else ""))
    for check in DONE:
        session.do(act.Read(check=check))
    before = session.view().facts
    for word in change.split():
        session.do(action(word))
    assert before - session.view().facts == void


def test_a_crash_makes_nearly_everything_due_again(done, action, sticks):
    session = done(
        "read:propellers read:pack-at-rest on plug read:stick-display unplug fit pad plug arm"
    )
    session.advance(sticks(), 0.5)
    for _ in range(60):
        session.advance(sticks(0.75, roll=1.0), 0.05)
    assert session.view().crash
    assert "crashed" in hazards(session)
    assert not {"propellers", "pack-at-rest"} & session.view().facts
    assert "stick-display" in session.view().facts  # the transmitter did not crash


def parts(value, depth=0):
    """Yield everything a value is made of."""
    yield value
    assert depth < 12
    inner = []
    if is_dataclass(value):
        inner = [getattr(value, f.name) for f in fields(value)]
    elif isinstance(value, BaseModel):
        inner = [getattr(value, name) for name in type(value).model_fields]
    elif isinstance(value, dict):
        inner = [*value, *value.values()]
    elif isinstance(value, (tuple, list, set, frozenset)):
        inner = list(value)
    for part in inner:
        yield from parts(part, depth + 1)


TRUTH = (World, Build, Pack, SensorBuild, Site, Scenario, HiddenFault, Truth, Rig, Session)


@pytest.mark.parametrize(
    "drill", ["first-evening", "club-loaner", "second-hand", "spare-from-the-shelf", "blind-date"]
)
def test_the_view_never_holds_the_truth(done, drill):
    steps = "on plug read:stick-display read:settings-sheet read:heading-marks read:steady-throttle"
    session = done(steps, drill)
    view = session.view()
    told = {one.fault for one in view.pointers}  # on the first rung the helper tells
    drilled = load(drill)
    there = {fault.id for fault in drilled.faults}
    there |= {"person-in-ring"} if drilled.visitor_in_ring else set()
    assert told == (there if drilled.rung == 1 else set())
    held = list(parts(replace(view, pointers=())))
    assert not [part for part in held if isinstance(part, TRUTH)]
    assert not set(CATALOGUE) & {part for part in held if isinstance(part, str)}
    hidden = session.rig.world.build
    secrets = {hidden.pack.resistance_factor, *hidden.sensors.mag_hard_iron_ut} - {0.0, 1.0}
    assert not secrets & {part for part in held if isinstance(part, float)}


def test_a_view_is_a_copy(done):
    session = done("read:propellers")
    session.view().readings.clear()
    session.view().squawks["pack"] = None
    assert session.view().readings
    assert not session.view().squawks


def test_seed_sets_the_severity_and_the_drill_the_fault():
    worlds = [load("club-loaner").world(np.random.default_rng(seed)) for seed in (1, 1, 2)]
    irons = [world.build.sensors.mag_hard_iron_ut for world in worlds]
    assert irons[0] == irons[1] != irons[2]
