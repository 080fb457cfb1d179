"""Faults of people: habits from the start, the same made by the trainee, and what puts them right."""

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from sim.aircraft.assemble import assemble
from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.rig import Rig
from sim.faults import conduct
from sim.faults.catalogue import present_faults
from sim.faults.fault import Fault, Truth
from sim.keys import FaultId
from sim.procedure import interruptions
from sim.procedure.preparations import PREPARATIONS
from sim.session import scenario
from sim.session.actions import ACTION
from sim.session.scenario import HiddenFault
from sim.session.session import Session

SEVERITIES = (0.3, 0.6, 1.0)
FAULTS = {fault.id: fault for fault in conduct.FAULTS}
Step = Mapping[str, object]
SHOWN = {
    "person-in-ring": "visitor_steps_in",
    "no-eye-protection": "others_without_goggles",
    "hand-in-disc-armed": "hands_between_blades_count",
    "no-abort-plan": "abort_try_s",
    "card-interrupted": "phone_rings_count",
    "repair-not-reverified": "repairs_without_check",
}  # the value of a look round that shows it
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


def session(*faults: FaultId) -> Session:
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
        assert (fault.id in run.state.known.unproved) == (fault.hazard >= 4)
        do(run, {"do": "read", "check": fault.proved_by[0]})
        assert not run.state.known.unproved


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


def test_somebody_in_the_ring_counts_with_power_or_without():
    world = with_value(sound().world, "conduct.hold", "clamp")
    assert not found(world)
    world = with_value(world, "conduct.person_in_ring", True)
    assert found(world) == {"person-in-ring"}
    for key in ("conduct.props_fitted", "conduct.pack_plugged"):
        world = with_value(world, key, True)
        assert found(world) == {"person-in-ring"}


GRADED = {
    "person-in-ring": ("strays", [1, 4]),
    "no-eye-protection": ("others_ungoggled", [1, 4]),
    "hand-in-disc-armed": ("reaches_per_min", [0.3, 3.3]),
    "no-abort-plan": ("abort_late_s", [1.0, 2.0]),
    "card-interrupted": ("rings_per_min", [0.2, 0.8]),
    "repair-not-reverified": ("repairs_untried", [1, 3]),
}
YES_OR_NO: set[FaultId] = {"props-on-at-bench", "no-spotter", "pack-charged-unattended"}


def with_fault(name: FaultId, severity: float) -> World:
    return FAULTS[name].inject(sound().world, severity, np.random.default_rng(0))


@pytest.mark.parametrize("name", GRADED)
def test_more_severe_means_more_of_it(name: FaultId):
    key, ends = GRADED[name]
    found_ = [getattr(with_fault(name, s).conduct, key) for s in (0.0, 1.0)]
    assert found_ == pytest.approx(ends)


@pytest.mark.parametrize("name", GRADED)
def test_a_look_shows_more_of_it(name: FaultId):
    """Summed over ten looks, what differs from a sound reading grows with the severity."""

    def seen(world: World) -> float:
        rows = []
        for seed in range(10):
            rig = Rig(world, seed)
            rig.place()
            rows.append(CHECKS["people-and-room"].take(rig).values)
        return float(sum(row[SHOWN[name]] for row in rows))

    none, mild, bad = (seen(w) for w in (sound().world, with_fault(name, 0.0), with_fault(name, 1.0)))  # fmt: skip
    assert none < mild < bad


def test_the_others_are_so_or_not():
    assert set(FAULTS) == YES_OR_NO | set(GRADED)
    for name in YES_OR_NO:
        assert with_fault(name, 0.0).conduct == with_fault(name, 1.0).conduct


def test_an_abort_that_comes_within_a_second_is_agreed():
    for late, there in ((0.29, False), (0.31, True)):
        world = with_value(sound().world, "conduct.abort_late_s", late)
        assert ("no-abort-plan" in found(world)) == there


# --- the phone -----------------------------------------------------------------------------------

PLUGGED = ({"do": "switch-transmitter", "on": True}, {"do": "plug-pack"})


def ticked(run: Session) -> frozenset[str]:
    """Return what stands ticked on the cards and was never read."""
    return run.view().facts - {e.action.check for e in run.record().events if e.action.do == "read"}


def busy(seed: int = 1, rings: float = 1e3) -> Session:
    run = Session(scenario.load("quiet-morning"), seed)
    run.rig.change(with_value(run.rig.world, "conduct.rings_per_min", rings))
    return run


def test_interruptions_leave_items_ticked_that_nobody_did():
    skipped = 0
    for seed in range(30):
        run = busy(seed)
        do(run, *PLUGGED, {"do": "read", "check": "switches"})
        assert ticked(run) <= {"failsafe"}  # the item below it on the card
        skipped += len(ticked(run))
    assert 3 <= skipped <= 17  # 9 expected of 30


def test_more_rings_mean_more_skipped():
    counts = []
    for rings in (0.0, 0.3, 1e3):
        runs = [busy(seed, rings) for seed in range(30)]
        for run in runs:
            do(run, *PLUGGED, {"do": "read", "check": "switches"})
        counts.append(sum(len(ticked(run)) for run in runs))
    assert counts[0] == 0
    assert counts[0] < counts[1] < counts[2]


def interrupted() -> Session:
    for seed in range(40):
        run = busy(seed)
        do(run, *PLUGGED, {"do": "read", "check": "switches"})
        if ticked(run):
            return run
    raise AssertionError("never interrupted")


def test_what_is_ticked_unread_proves_nothing():
    run = interrupted()
    assert "failsafe" in run.view().facts
    do(run, {"do": "unplug-pack"}, {"do": "fit-props"}, *READY)
    do(run, {"do": "carry", "to": "pad", "hold": "standing"}, {"do": "plug-pack"}, {"do": "arm"})
    assert "arm-failsafe-untested" in {h.id for h in run.record().hazards}


def test_starting_the_card_again_or_doing_the_item_settles_it():
    for step in ({"do": "prepare", "what": "restart-card"}, {"do": "read", "check": "failsafe"}):
        run = interrupted()
        run.rig.change(with_value(run.rig.world, "conduct.rings_per_min", 0.0))  # no other now
        do(run, step)
        assert run.state.known.on_cards == run.state.known.facts
        assert ("failsafe" in run.view().facts) == (step["do"] == "read")


def test_the_last_item_of_a_card_is_followed_by_none():
    assert interruptions.after("people-and-room") == "propellers"
    assert interruptions.after("propellers") is None


@pytest.mark.parametrize(
    ("cause", "people", "true"),
    [
        ("props-on-at-bench", {"props_fitted": True, "place": "bench"}, True),
        ("props-on-at-bench", {"props_fitted": True, "place": "pad"}, False),
        ("props-on-at-bench", {"props_fitted": False, "place": "bench"}, False),
        ("no-eye-protection", {"goggles_on": False}, True),
        ("no-eye-protection", {"goggles_on": True, "others_ungoggled": 1}, True),
        ("no-eye-protection", {"goggles_on": True}, False),
        ("no-spotter", {"spotter_present": False}, True),
        ("no-spotter", {"spotter_present": True}, False),
        ("nose-lost", {"nose_marked": False}, False),  # what is not about people is no such word
    ],
)
def test_words_about_people_are_true_by_what_is_there(cause, people, true):
    assert conduct.said_truly(cause, Conduct(**people)) is true
