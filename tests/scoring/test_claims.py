"""What claims earn and cost, worked by hand from Brier's rule: 2p - p² if right, p² if wrong."""

import pytest
from pydantic import ValidationError

from sim.aircraft.conduct import Conduct
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import Rubric, shipped
from sim.scoring.claims import cost, earned, wrong_claims
from sim.scoring.ladder import ladder_share, rung
from sim.session.actions import Calibrate, Prepare, Read, Set, Squawk, Swap, Withdraw

PITCH: FaultId = "pitch-channel-reversed"
ROLL: FaultId = "roll-channel-reversed"
YAW: FaultId = "yaw-channel-reversed"
COMPASS: FaultId = "mag-hard-iron-offset"
LEVEL: FaultId = "level-trim-off"
GAINS: FaultId = "rate-gain-high"
PACK: FaultId = "pack-high-resistance"
TURN = Set(key="setup.transmitter.pitch.direction", value=1)
STICKS = Read(check="stick-display")
MANY = frozenset({PITCH, YAW, LEVEL, GAINS, PACK})  # five: below the least scale
BY_HAND = [(1, 0.40, 0.64, 0.16), (2, 0.60, 0.84, 0.36), (3, 0.80, 0.96, 0.64)]
BY_HAND += [(4, 0.95, 0.9975, 0.9025)]  # step, chance, earned if right, cost if wrong
each_step = pytest.mark.parametrize(("step", "chance", "right", "wrong"), BY_HAND)


def share(made):
    return ladder_share(made, shipped())


@each_step
def test_the_rule_by_hand(step, chance, right, wrong):
    assert shipped().sureness[step - 1] == chance
    assert earned(chance) == pytest.approx(right)
    assert cost(chance) == pytest.approx(wrong)


@pytest.mark.parametrize("chance", [0.40, 0.60, 0.80, 0.95])
def test_it_pays_to_say_what_one_believes(chance):
    """With a chance q of being right the best of the four steps is the one that says q."""
    worth = [chance * earned(p) - (1.0 - chance) * cost(p) for p in shipped().sureness]
    assert shipped().sureness[worth.index(max(worth))] == chance


@pytest.mark.parametrize(("chance", "pays"), [(1 / 88, False), (0.19, False), (0.21, True)])
def test_a_guess_loses_where_nothing_is_known(chance, pays):
    worth = max(chance * earned(p) - (1.0 - chance) * cost(p) for p in shipped().sureness)
    assert (worth > 0.0) == pays


def test_so_does_a_family_by_chance():
    """One family in eight, whose name is worth a half whatever the chance stated."""
    assert len({fault.family for fault in CATALOGUE.values()}) == 8
    assert shipped().right_family / 8 - cost(shipped().sureness[0]) < 0.0


@each_step
def test_a_right_claim(record, squawk, step, chance, right, wrong):
    assert share(record({PITCH}, squawk(PITCH, confidence=step))) == pytest.approx(
        0.3 + 0.2 * right
    )
    assert wrong_claims(record({PITCH}, squawk(PITCH, confidence=step)), shipped()) == []


@each_step
@pytest.mark.parametrize(
    ("start", "scale"), [({PITCH}, 0.20), ({PITCH, YAW}, 0.10), (MANY, 0.05), (set(), 0.10)]
)
def test_a_wrong_claim_costs_on_the_scale_of_the_gain(
    record, squawk, start, scale, step, chance, right, wrong
):
    """The naming over the number of hidden faults; not below .05, and .10 on a sound aircraft."""
    claims = [squawk(name) for name in start]
    less = share(record(start, *claims)) - share(
        record(start, *claims, squawk("pack-swollen-or-dented", confidence=step))
    )
    assert less == pytest.approx(scale * wrong * 0.5)  # everything was read
    blind = record(start, squawk("pack-swollen-or-dented", confidence=step), looked_first=False)
    assert share(record(start, looked_first=False)) == pytest.approx(0.0 if start else 1.0)
    if not start:
        assert share(blind) == pytest.approx(1.0 - scale * wrong)


def test_a_check_that_was_read_halves_the_price_of_one_claim_only(record, squawk):
    def founded(*steps):
        made = record(set(), *steps, looked_first=False)
        return [(c.cause, c.well_founded) for c in wrong_claims(made, shipped())]

    assert founded(squawk(PITCH)) == [(PITCH, False)]
    assert founded(STICKS, squawk(PITCH)) == [(PITCH, True)]
    assert founded(squawk(PITCH), STICKS) == [(PITCH, False)]
    assert founded(Read(check="heading-marks"), squawk(PITCH)) == [(PITCH, False)]
    assert founded(STICKS, STICKS, squawk(PITCH), squawk(ROLL)) == [(PITCH, True), (ROLL, False)]
    both = [STICKS, squawk(PITCH), Read(check="stick-to-motor"), squawk(ROLL)]
    assert founded(*both) == [(PITCH, True), (ROLL, True)]


def test_the_same_cause_is_wrong_once_at_its_surest(record, squawk):
    made = record(set(), *[squawk(PACK, confidence=n) for n in (1, 3, 2)], looked_first=False)
    assert [(c.cause, c.sure) for c in wrong_claims(made, shipped())] == [(PACK, 0.80)]
    assert share(made) == pytest.approx(1.0 - 0.1 * 0.64)
    right = record({PITCH}, *[squawk(PITCH, confidence=n) for n in (1, 3, 2)])
    assert rung(CATALOGUE[PITCH], right, shipped()).sure == 0.80


@pytest.mark.parametrize(("step", "wrong"), [(1, 0.16), (4, 0.9025)])
def test_a_wrong_cause_of_the_right_family_is_half_a_name_and_a_wrong_claim(
    record, squawk, step, wrong
):
    made = record({PITCH}, squawk(ROLL, confidence=step))
    assert [c.cause for c in wrong_claims(made, shipped())] == [ROLL]
    assert share(made) == pytest.approx(max(0.0, 0.2 * 0.5 - 0.2 * wrong * 0.5))


def test_a_family_is_named_once_for_each_fault_and_by_each_claim(record, squawk):
    def named(start, *causes):
        made = record(start, *[squawk(cause) for cause in causes])
        return sorted(rung(CATALOGUE[f], made, shipped()).named for f in start)

    order: FaultId = "channel-order-mixed"
    assert named({PITCH}, ROLL, order) == [0.5]
    assert named({PITCH, YAW}, ROLL) == [0.0, 0.5]
    assert named({PITCH, YAW}, ROLL, ROLL) == [0.0, 0.5]
    assert named({PITCH, YAW}, ROLL, order) == [0.5, 0.5]
    assert named({PITCH, YAW}, ROLL, PITCH) == [0.5, 1.0]  # the half goes to the one not named


def test_a_harmless_fault_of_ones_own_excuses_no_claim_of_its_family(record, squawk):
    made = record({PACK}, (TURN, {PACK, PITCH}), squawk(ROLL))
    assert [c.cause for c in wrong_claims(made, shipped())] == [ROLL]
    own = record({PACK}, (TURN, {PACK, PITCH}), squawk(PITCH))
    assert wrong_claims(own, shipped()) == []
    assert share(own) == 0.0  # true, and worth nothing


def test_a_claim_true_when_written_is_never_false_later(record, squawk):
    assert wrong_claims(record({PITCH}, squawk(PITCH), (TURN, set())), shipped()) == []
    after = record({PITCH}, (TURN, set()), squawk(PITCH))
    assert wrong_claims(after, shipped()) == []
    blind = record({PITCH}, (TURN, set()), squawk(PITCH), looked_first=False)
    assert wrong_claims(blind, shipped()) == []  # so it was, but nothing was noticed
    early = record(set(), squawk(PITCH), (TURN, {PITCH}))
    assert [c.cause for c in wrong_claims(early, shipped())] == [PITCH]  # made so afterwards
    assert wrong_claims(record(set(), "takeoff", squawk(PACK)), shipped()) == []


CHANGES = [
    (PACK, Swap(part="pack")),
    (COMPASS, Calibrate(what="compass-finish")),
    (LEVEL, Calibrate(what="level")),
    (GAINS, Set(key="setup.controller.pitch.p", value=0.03)),
    ("failsafe-holds-last", Set(key="setup.controller.failsafe", value="stop")),
    (YAW, Set(key="setup.inputs.yaw", value=-1)),
]


@pytest.mark.parametrize(("cause", "change"), CHANGES, ids=[c for c, _ in CHANGES])
def test_a_change_for_a_wrong_claim_costs_besides_in_either_order(record, squawk, cause, change):
    def changed(*steps):
        made = record(set(), *steps, looked_first=False)
        (claim,) = wrong_claims(made, shipped())
        return claim.led_to_change, 1.0 - share(made)

    assert changed(squawk(cause)) == (False, pytest.approx(0.064))
    assert changed(squawk(cause), change) == (True, pytest.approx(0.084))
    assert changed(change, squawk(cause)) == (True, pytest.approx(0.084))
    assert share(record(set(), change)) == 1.0  # changing is no claim


@pytest.mark.parametrize("what", ["compass-start", "compass-finish"])
def test_a_refused_change_or_a_beginning_is_no_change(record, squawk, what):
    refused = "no readings" if what == "compass-finish" else None
    step: tuple[object, ...] = (Calibrate(what=what), set(), refused)
    (claim,) = wrong_claims(record(set(), squawk(COMPASS), step), shipped())
    assert not claim.led_to_change


def test_a_suspicion_withdrawn_before_its_change_costs_and_earns_nothing(record, squawk):
    back, other = Withdraw(item="anything"), Withdraw(item="another")
    swap, fan = Swap(part="pack"), Swap(part="motor-front-left")

    def wrong(*steps):
        return [c.cause for c in wrong_claims(record(set(), *steps), shipped())]

    assert wrong(squawk(PACK), back) == []
    assert wrong(squawk(PACK), fan, back) == []  # a change for something else
    assert wrong(squawk(PACK), swap, back) == [PACK]
    assert wrong(squawk(PACK), other) == [PACK]
    assert wrong(squawk(PACK), back, squawk(PACK)) == [PACK]
    assert share(record({PITCH}, squawk(PITCH), back)) == 0.0
    cured = record({PITCH}, squawk(PITCH), (TURN, set()), back)  # struck out as done
    assert share(cured) == pytest.approx(0.55 + 0.2 * 0.96)


PEOPLE: list[tuple[FaultId, Conduct, Conduct]] = [
    ("no-eye-protection", Conduct(), Conduct(goggles_on=True)),
    ("no-eye-protection", Conduct(goggles_on=True, others_ungoggled=1), Conduct(goggles_on=True)),
    ("no-spotter", Conduct(), Conduct(spotter_present=True)),
    ("props-on-at-bench", Conduct(props_fitted=True), Conduct()),
    ("props-on-at-bench", Conduct(props_fitted=True), Conduct(props_fitted=True, place="pad")),
]


@pytest.mark.parametrize(("cause", "so", "not_so"), PEOPLE)
def test_what_is_so_about_people_is_no_false_squawk(record, squawk, cause, so, not_so):
    """Goggles are not on and the spotter is not asked yet, though no propeller has power."""
    assert wrong_claims(record(set(), squawk(cause), conduct=so), shipped()) == []
    (claim,) = wrong_claims(record(set(), squawk(cause), conduct=not_so), shipped())
    assert claim.cause == cause


def test_worked_example(record, squawk):
    """w = 5, 3, 2: named .80 sure, unproved; by another cause of the family; missed.

    (5 (.3 + .2 x .96 + .25) + 3 (.2 x .5 + .25 + .25) + 0) / 10 = .5510. The wrong cause costs
    .0667 x .36 / 2, as the sticks had been read; a pack claimed unread and swapped .0667 x .64 + .02.
    """
    turned = Set(key="setup.inputs.yaw", value=1)
    claims = [STICKS, squawk(PITCH), squawk(ROLL, confidence=2)]
    cures = [(turned, {PITCH, LEVEL}), STICKS, (TURN, {LEVEL})]
    start = {PITCH, YAW, LEVEL}
    assert [CATALOGUE[f].hazard for f in (PITCH, YAW, LEVEL)] == [5, 3, 2]
    first = record(start, *claims, *cures, looked_first=False)
    assert share(first) == pytest.approx(0.5510 - 0.2 / 3 * 0.36 / 2)
    rash = record(start, *claims, squawk(PACK), Swap(part="pack"), *cures, looked_first=False)
    assert share(rash) == pytest.approx(0.5510 - 0.2 / 3 * (0.36 / 2 + 0.64) - 0.02)


@pytest.mark.parametrize("steps", [(0.4, 0.6, 0.8), (0.4, 0.6, 0.6, 0.8), (0.8, 0.6, 0.4, 0.2)])
def test_steps_of_sureness_are_four_and_rise(steps):
    with pytest.raises(ValidationError):
        Rubric.model_validate({**shipped().model_dump(), "sureness": steps})


def test_withdrawing_is_of_a_claim_not_of_a_precaution(record):
    claim = Squawk(item="goggles", cause="no-eye-protection")
    eyes = CATALOGUE["no-eye-protection"]
    steps: tuple[object, ...] = (claim, Withdraw(item="goggles"), (Prepare(what="goggles"), set()))
    assert rung(eyes, record({eyes.id}, *steps), shipped()).noticed
