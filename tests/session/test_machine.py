"""A machine that may do anything in any order: whatever it does, the state stays sound.

Actions are made from the union of actions itself, so a new one takes part as soon as it is there.
"""

from contextlib import suppress
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from hypothesis.strategies import SearchStrategy
from pydantic import ValidationError

from sim.aircraft.fields import PLACES
from sim.bench.checklist import CHECKS
from sim.bench.checks.control import numbers_of
from sim.bench.inputs import Inputs, Slider, Turning
from sim.bench.parts import PARTS
from sim.bench.rig import POSITION
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.kernel.radio import Sticks
from sim.procedure.cards import CARDS
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session import actions as act
from sim.session.journal import Recorder, apply, digest, entries, header_of, step_of
from sim.session.scenario import load, names
from sim.session.session import Session
from sim.trainees.craftwork import ready
from sim.trainees.driver import Hands
from sim.trainees.others import to_the_pad
from tests.scoring.tables import TABLES

ATTITUDES = ("body.attitude", "estimator.attitude", "hold.attitude")
UNIT = 1e-6  # renormalised each tick: only rounding and one step of drift are left
SETTINGS = sorted(numbers_of(Session(load("quiet-morning"), 0).rig.world.setup.controller))
WAIT_MIN = (
    0.2  # min; own: longer waits are tested by themselves, here they would be most of the time
)
WORDS: dict[str, list[str]] = {  # what stands in a field of words, beside any word at all
    "item": sorted({f.item for f in CATALOGUE.values()} | {i.key for c in CARDS for i in c.items}),
    "cause": sorted(CATALOGUE),
    "part": sorted(PARTS),
    "value": ["done", "stop", "hold", "cross", "plus", "this aircraft", "glider"],
    "key": [f"setup.controller.{key}" for key in SETTINGS]
    + [f"setup.{whose}.{name}" for whose in ("inputs", "transmitter") for name in ("roll", "yaw")]
    + ["setup.transmitter.memory", "setup.controller.failsafe", "setup.controller.nothing"],
}
ANY_WORD = st.text(min_size=1, max_size=8)


def made(kind: Any, name: str, limits: dict[str, Any]) -> SearchStrategy[Any]:
    """Return a strategy for one field of an action, by its type and limits."""
    if get_origin(kind) is Annotated:
        inner, *marks = get_args(kind)
        return made(inner, name, limits | limits_of(marks))
    if get_origin(kind) is Literal:
        return st.sampled_from(get_args(kind))
    if get_origin(kind) in (Union, UnionType):
        return st.one_of([made(part, name, limits) for part in get_args(kind)])
    if kind is NoneType:
        return st.none()
    if kind is bool:
        return st.booleans()
    if kind is NoneType:
        return st.none()
    if kind is int:
        return st.integers(limits.get("ge"), limits.get("le"))
    if kind is float:
        low, high = limits.get("ge", limits.get("gt")), limits.get("le", limits.get("lt"))
        high = WAIT_MIN if name == "minutes" else high
        return st.floats(
            low, high, exclude_min="gt" in limits, allow_nan=False, allow_infinity=False
        )
    if kind is str:
        return st.sampled_from(WORDS[name]) | ANY_WORD if name in WORDS else ANY_WORD
    raise TypeError(f"no strategy for {name}: {kind}")


def limits_of(marks: Any) -> dict[str, Any]:
    """Return the limits among the marks of a type or field."""
    found: dict[str, Any] = {}
    for mark in marks:
        for inner in (mark, *getattr(mark, "metadata", ())):
            for limit in ("ge", "gt", "le", "lt"):
                if getattr(inner, limit, None) is not None:
                    found[limit] = getattr(inner, limit)
    return found


def acts(model: Any) -> SearchStrategy[dict[str, Any]]:
    """Return a strategy for the plain data of one kind of action."""
    fields = model.model_fields.items()
    return st.fixed_dictionaries(
        {name: made(field.annotation, name, limits_of(field.metadata)) for name, field in fields}
    )


KINDS = get_args(get_args(act.Action)[0])
ACTIONS = st.one_of([acts(kind) for kind in KINDS])
STICK = st.floats(-1.0, 1.0)
SWITCH = st.sampled_from((0.0, 1.0))
STICKS = st.builds(Sticks, STICK, STICK, st.floats(0.0, 1.0), STICK, SWITCH, SWITCH, SWITCH)
HANDS = st.builds(
    Inputs,
    STICKS,
    st.none() | st.builds(Turning, STICK, STICK, STICK),
    st.none() | st.builds(Slider, st.sampled_from(PLACES), st.floats(0.0, 0.3)),
)
BY_HAND = sorted(key for key, check in CHECKS.items() if check.by_hand)


class Evening(RuleBasedStateMachine):
    """One evening at a drill, whatever is done."""

    steps = 0

    @initialize(drill=st.sampled_from(names()), seed=st.integers(0, 2**63 - 1))
    def begin(self, drill, seed):
        self.lines: list[str] = []
        self.session = Session(load(drill), seed)
        self.recorder = Recorder(self.session, self.lines.append, drill)
        self.swapped = True
        self.look()

    def look(self):
        self.tick = self.session.rig.tick
        cells = self.session.rig.cells()
        self.charge = (cells.charge, cells.weak_charge)

    @rule(data=ACTIONS)
    def do(self, data):
        Evening.steps += 1
        try:
            action = act.ACTION.validate_python(data)
        except ValidationError:
            return
        self.done(action)

    def done(self, action):
        before = self.session.rig.fingerprint()
        try:
            self.recorder.do(action)
            self.swapped |= isinstance(action, act.Swap)
        except Refusal:
            if not isinstance(
                action, act.Read | act.Calibrate
            ):  # these may be found out on the way
                assert self.session.rig.fingerprint() == before

    @rule(sticks=STICKS, ticks=st.integers(1, 300))
    def hold(self, sticks, ticks):
        Evening.steps += 1
        tick = self.session.rig.tick
        over = self.session.phase == "debrief"
        try:
            self.recorder.advance(sticks, ticks / 1000.0)
        except Refusal:
            assert over
            ticks = 0
        assert self.session.rig.tick == tick + ticks

    @rule(hands=HANDS, ticks=st.integers(1, 300))
    def handle(self, hands, ticks):
        """Let the hands do anything with aircraft, sticks and motor test; refused, nothing moves."""
        Evening.steps += 1
        bits, minutes = self.session.rig.fingerprint(), self.session.minutes
        try:
            self.recorder.advance(hands, ticks / 1000.0)
        except Refusal:
            assert self.session.rig.fingerprint() == bits
            assert self.session.minutes == minutes

    @precondition(lambda self: self.session.phase == "bench")
    @rule(check=st.sampled_from(BY_HAND), moves=st.lists(HANDS, max_size=4), arm=st.booleans())
    def by_hand(self, check, moves, arm):
        """Work at a check in any way, then be done with it: a reading, or a refusal in words."""
        Evening.steps += 1
        hands = Hands(self.recorder, self.session)
        try:
            ready(hands, check)
            hands.do(act.Begin(check=check))
        except Refusal:
            return
        if arm:
            hands.tries(act.Arm())
        for inputs in moves:
            with suppress(Refusal):
                hands.fly(inputs, 0.9)
        hands.tries(act.Disarm())
        read = hands.tries(act.Done())
        assert read is None or read.reading is not None
        assert self.session.view().doing in (None, check)

    @precondition(lambda self: self.session.phase == "bench")
    @rule(throttle=st.floats(0.3, 1.0), ticks=st.integers(100, 1500))
    def hop(self, throttle, ticks):
        """Do what leads off the floor, since chance alone seldom does."""
        Evening.steps += 1
        hands = Hands(self.recorder, self.session)
        try:
            to_the_pad(hands)
            hands.do(act.Arm())
        except Refusal:
            return
        hands.fly(Sticks(0.0, 0.0, throttle, 0.0, 1.0, 1.0, 0.0), ticks / 1000.0)

    @invariant()
    def every_number_is_one(self):
        row = np.array(self.session.rig.row())
        assert [name for name, i in POSITION.items() if not np.isfinite(row[i])] == []

    @invariant()
    def attitudes_are_turns(self):
        for name in ATTITUDES:
            size = np.linalg.norm([self.session.rig.value(f"{name}.{axis}") for axis in "wxyz"])
            assert abs(size - 1.0) < UNIT, name

    @invariant()
    def time_goes_forward_and_charge_down(self):
        tick, (charge, weak) = self.tick, self.charge
        self.look()
        assert self.tick >= tick
        assert all(0.0 <= share <= 1.0 for share in self.charge)
        if not self.swapped:  # braking rotors send current back, but no charge is credited
            assert self.charge[0] <= charge
            assert self.charge[1] <= weak
        self.swapped = False

    @invariant()
    def armed_only_with_power(self):
        conduct = self.session.rig.world.conduct
        assert self.session.rig.value("armed") == 0.0 or conduct.pack_plugged
        assert self.session.view().armed == (self.session.rig.value("armed") > 0.0)

    def teardown(self):
        if not hasattr(self, "session"):
            return
        record = self.session.record()
        card = scorecard(record, "anybody", "a drill", shipped(), TABLES)
        assert 0.0 <= card["points"] <= 100.0
        assert card["verdict"] != CLEARED or not any(h["critical"] for h in card["hazards"])
        again = Session(self.session.scenario, self.session.seed)
        header, *lines = entries("".join(self.lines))
        assert header_of(header)[0] == self.session.seed
        for line in lines:
            apply(again, step_of(line))
            assert digest(again.rig.fingerprint()) == line.content["state"]


def spent(evenings: int, steps: int) -> int:
    """Let evenings go by; return how many steps were taken."""
    Evening.steps = 0
    how = settings(
        max_examples=evenings,
        stateful_step_count=steps,
        deadline=None,
        derandomize=True,
        phases=(Phase.explicit, Phase.generate),  # to make a failure short takes minutes
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(Evening, settings=how)
    return Evening.steps


def test_anything_in_any_order():
    assert spent(evenings=8, steps=30) > 100


@pytest.mark.slow
def test_ten_thousand_steps():
    assert spent(evenings=300, steps=60) > 10_000
