"""Faults of people: habits from the start, the same made by the trainee, and what puts them right."""

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from sim.aircraft.assemble import assemble
from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.rig import Rig
from sim.faults import conduct
from sim.faults.catalogue import present_faults
from sim.faults.fault import Fault, Truth
from sim.procedure.preparations import PREPARATIONS
from sim.session import scenario
from sim.session.actions import ACTION
from sim.session.scenario import HiddenFault
from sim.session.session import Session

SEVERITIES = (0.3, 0.6, 1.0)
FAULTS = {fault.id: fault for fault in conduct.FAULTS}
Step = Mapping[str, object]
READY: tuple[Step, ...] = (
    {"do": "prepare", "what": "goggles"},
    {"do": "prepare", "what": "spotter"},
    {"do": "switch-transmitter", "on": True},
)


@cache
def sound() -> Truth:
    world = scenario.load("quiet-morning").world(np.random.default_rng(0))
    rig = Rig(world, 1)
    craft = assemble(with_value(world, "conduct.props_fitted", True), rig.target)
    return Truth(world, craft, rig.tables, rig.cells(), 75.0)


def found(world: World) -> frozenset[str]:
    """Conduct changes nothing of the aircraft, so the sound one's truth serves."""
    return present_faults(Truth(world, *(getattr(sound(), n) for n in ("craft", "tables", "cells", "hop_s"))))  # fmt: skip


def session(*faults: str) -> Session:
    quiet = scenario.load("quiet-morning")
    hidden = tuple(HiddenFault(id=name, severity=0.5) for name in faults)
    return Session(quiet.model_copy(update={"faults": hidden}), 1)


def do(run: Session, *steps: Step) -> None:
    for step in steps:
        run.do(ACTION.validate_python(step))


def fixing(fix: str) -> tuple[Step, ...]:
    if fix == "remove-props":
        return ({"do": "unplug-pack"}, {"do": "remove-props"})
    return ({"do": "prepare", "what": fix.removeprefix("prepare:")},)


def test_the_shipped_drill_has_none():
    assert not found(sound().world)


@pytest.mark.parametrize("severity", SEVERITIES)
@pytest.mark.parametrize("fault", conduct.FAULTS, ids=lambda fault: fault.id)
def test_there_when_put_in_and_alone(fault: Fault, severity: float):
    for seed in range(3):
        world = fault.inject(sound().world, severity, np.random.default_rng(seed))
        assert found(world) == {fault.id}


@pytest.mark.parametrize("fault", conduct.FAULTS, ids=lambda fault: fault.id)
def test_seen_cured_by_each_fix_and_proved(fault: Fault):
    for fix in fault.fixes:
        run = session(fault.id)
        assert run.record().present_at_start == {fault.id}
        for check in fault.revealed_by:
            do(run, {"do": "read", "check": check})
        do(run, *fixing(fix))
        assert not run.record().present_now
        assert (fault.id in run._unproved) == (fault.hazard >= 4)
        do(run, {"do": "read", "check": fault.proved_by[0]})
        assert not run._unproved


@pytest.mark.parametrize("fault", conduct.FAULTS, ids=lambda fault: fault.id)
def test_other_preparations_do_not_put_it_right(fault: Fault):
    world = fault.inject(sound().world, 0.5, np.random.default_rng(0))
    for what, (_, changes) in PREPARATIONS.items():
        changed = world
        for key, value in changes.items():
            changed = with_value(changed, key, value)
        assert (fault.id in found(changed)) == (f"prepare:{what}" not in fault.fixes)


def test_plugging_in_with_propellers_in_the_hands_makes_the_fault():
    run = session()
    do(run, *READY, {"do": "fit-props"})
    assert not run.record().present_now
    do(run, {"do": "plug-pack"})
    assert run.record().present_now == {"props-on-at-bench"}
    do(run, {"do": "unplug-pack"})
    assert not run.record().present_now


def test_the_same_in_the_clamp_or_on_the_pad_is_none():
    for to, hold in (("bench", "clamp"), ("pad", "standing")):
        run = session()
        do(run, *READY, {"do": "fit-props"}, {"do": "carry", "to": to, "hold": hold})
        do(run, {"do": "plug-pack"})
        assert not run.record().present_now


def test_somebody_in_the_ring_counts_once_propellers_have_power():
    world = sound().world
    for key, value in {
        "conduct.place": "pad",
        "conduct.hold": "standing",
        "conduct.person_in_ring": True,
    }.items():
        world = with_value(world, key, value)
    assert not found(world)
    for key in ("conduct.props_fitted", "conduct.pack_plugged"):
        world = with_value(world, key, True)
    assert found(world) == {"person-in-zone"}


def test_more_severe_means_more_repairs_untried():
    worlds = [FAULTS["repair-not-reverified"].inject(sound().world, s, np.random.default_rng(0)) for s in (0.0, 1.0)]  # fmt: skip
    assert [w.conduct.repairs_untried for w in worlds] == [1, 3]
