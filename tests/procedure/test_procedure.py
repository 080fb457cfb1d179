"""Cards are short with killers first; changes void checks; unsafe conduct is told (training design F3, H)."""

from itertools import product

import pytest

from sim.aircraft.conduct import Conduct
from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey
from sim.procedure.cards import CARDS, LONGEST_CARD, Card, Item
from sim.procedure.facts import voided_by
from sim.procedure.hazards import HAZARDS, on_arming, on_power, on_touching, on_turning

KILLER, OTHER = Item("k", "k", "failsafe", True), Item("o", "o", "switches")
PLACES = ("bench", "pad", "open_floor")
ON_CARDS = {item.check for card in CARDS for item in card.items}


@pytest.mark.parametrize("card", CARDS, ids=[c.key for c in CARDS])
def test_cards_are_short_end_in_a_call_and_lead_to_checks(card):
    assert 1 <= len(card.items) <= 7  # F3: at most seven items a chunk
    assert card.call
    assert {item.check for item in card.items} <= set(CHECKS)
    killers = [item.killer for item in card.items]
    assert killers == sorted(killers, reverse=True)


@pytest.mark.parametrize(
    "items", [(OTHER, KILLER), (OTHER,) * (LONGEST_CARD + 1)], ids=["killer hidden", "too long"]
)
def test_a_bad_card_is_refused(items):
    with pytest.raises(ValueError, match="at most 7 items, killer items first"):
        Card("link", "bench", "Bad", items, "Done")


def test_cards_hold_every_check_and_no_item_twice():
    assert set(CHECKS) == ON_CARDS
    keys = [(card.key, item.key) for card in CARDS for item in card.items]
    assert len(keys) == len(set(keys))
    assert [card.phase for card in CARDS] == sorted(card.phase for card in CARDS)  # bench first


def test_bench_cards_need_no_turning_propeller_before_load():
    for card in CARDS[:4]:
        assert not [item.key for item in card.items if CHECKS[item.check].hurts]


@pytest.mark.parametrize("fault", CATALOGUE.values(), ids=list(CATALOGUE))
def test_every_fault_has_a_cue_and_a_proof_before_takeoff(fault):
    """The four core faults have two independent cues each; all have a cure and a proof."""
    core = {
        "pitch-channel-reversed",
        "mag-hard-iron-offset",
        "rate-gain-high",
        "pack-high-resistance",
    }
    assert len(set(fault.revealed_by)) >= (2 if fault.id in core else 1)
    assert set(fault.proved_by) | set(fault.revealed_by) <= set(CHECKS)
    assert fault.fixes


@pytest.mark.parametrize("fault", CATALOGUE.values(), ids=list(CATALOGUE))
def test_a_fix_voids_what_proves_it(fault):
    """A changed setting makes its own proof due again."""
    for fix in fault.fixes:
        if fix not in ("plug", "remove-props"):  # done many times a drill without a repair
            assert set(fault.proved_by) <= voided_by(fix), fix


STICKS_DUE = {"stick-display", "stick-to-motor", "switches", "failsafe"}
LOOP_DUE = {
    "settings-sheet",
    "stick-to-motor",
    "tilt-while-armed",
    "idle-creep",
    "steady-throttle",
    "light-on-legs",
}


@pytest.mark.parametrize(
    ("change", "due"),
    [
        ("setup.transmitter.yaw.trim_us", STICKS_DUE),
        ("setup.inputs.roll", STICKS_DUE),
        ("setup.controller.roll.p", LOOP_DUE),
        ("setup.controller.level_gain_per_s", LOOP_DUE),
        ("setup.controller.failsafe", {"failsafe", "settings-sheet"}),
        ("setup.controller.idle", {"settings-sheet", "ramp-and-snap", "light-on-legs"}),
        ("swap:pack", {"pack-at-rest", "restrained-run-up", "light-on-legs"}),
        ("swap:pack-strap", {"look-and-tug", "weigh-and-balance"}),  # begins like the pack
        ("swap:wire-tie-rear-left", {"propellers-in-hand"}),
        ("prepare:sweep", {"people-and-room"}),
        ("prepare:warm-pack", {"pack-at-rest", "restrained-run-up"}),
        ("fit-props", {"propellers", "people-and-room"}),
        ("remove-props", {"propellers"}),
        ("plug", {"pad-look"}),
        ("mode", set()),
    ],
)
def test_what_a_change_makes_due_again(change, due):
    assert voided_by(change) == due


def test_a_crash_leaves_valid_only_what_it_cannot_touch():
    settings = {"settings-sheet", "switches", "failsafe", "stick-display", "voltage-and-alarm"}
    assert settings | {"range-walk", "rails", "people-and-room"} <= set(CHECKS) - voided_by("crash")
    assert {"propellers", "look-and-tug", "one-motor", "pack-at-rest"} <= voided_by("crash")


def test_motors_that_have_run_want_to_be_felt_again():
    assert voided_by("read:ramp-and-snap") == voided_by("read:restrained-run-up") == {"touch-after"}
    assert voided_by("read:settings-sheet") == frozenset()
    checks = [item.check for card in CARDS for item in card.items]
    for run in ("ramp-and-snap", "restrained-run-up"):  # the drives cool by half in a minute
        assert checks[checks.index(run) + 1] == "touch-after"


@pytest.mark.parametrize(
    ("props", "pack", "place", "hold"),
    list(product((True, False), (True, False), PLACES, ("hands", "clamp", "standing"))),
)
def test_power_with_propellers_is_for_clamp_and_pad_only(props, pack, place, hold):
    conduct = Conduct(props_fitted=props, pack_plugged=pack, place=place, hold=hold)
    unsafe = props and pack and hold != "clamp" and (place, hold) != ("pad", "standing")
    assert on_power(conduct) == (["power-with-props-on"] if unsafe else [])


READY = {"goggles_on": True, "spotter_present": True}
UNSAFE = {
    "no-goggles": ({"goggles_on": False}, {"others_ungoggled": 1}),
    "no-spotter": ({"spotter_present": False},),
    "no-abort-word": ({"abort_late_s": 0.31},),
    "arm-person-inside-ring": ({"person_in_ring": True}, {"strays": 1}),
    "hand-in-disc-armed": ({"reaches_per_min": 0.1},),
}


def people(**changes: object) -> Conduct:
    return Conduct.model_validate({"props_fitted": True} | READY | changes)


@pytest.mark.parametrize("hazard", UNSAFE)
def test_turning_propellers(hazard):
    for change in UNSAFE[hazard]:
        assert on_turning(people(**change)) == [hazard]
        assert on_turning(people(**change, props_fitted=False)) == []
    assert on_turning(people(abort_late_s=0.29)) == []


@pytest.mark.parametrize(("props", "pack"), list(product((True, False), repeat=2)))
@pytest.mark.parametrize("hold", ["hands", "clamp", "standing"])
def test_a_hand_on_a_live_aircraft_however_it_is_held(props, pack, hold):
    still = Conduct(props_fitted=False, pack_plugged=False, hold=hold)
    now = Conduct(props_fitted=props, pack_plugged=pack, hold=hold)
    hazard = ["hands-on-live"] if props and pack else []
    for before, after in ((still, now), (now, still)):  # props going on, or coming off
        assert on_touching("aircraft", before, after) == hazard
        assert on_touching("plug", before, after) == []
        assert on_touching("nothing", before, after) == []


ARMING: dict[CheckKey, str] = {
    "failsafe": "arm-failsafe-untested",
    "switches": "arm-stop-untested",
    "people-and-room": "area-unread",
}


@pytest.mark.parametrize("missing", ARMING)
def test_arming_to_fly_without_a_check(missing):
    facts, here = frozenset(ARMING) - {missing}, Conduct(props_fitted=True)
    assert on_arming(facts, here, to_fly=True) == [ARMING[missing]]
    assert on_arming(frozenset(ARMING), here, to_fly=True) == []
    clamped = [] if missing == "people-and-room" else [ARMING[missing]]
    assert on_arming(facts, here, to_fly=False) == clamped
    assert on_arming(facts, Conduct(), to_fly=True) == []  # without propellers nothing cuts


def test_which_hazards_fail_the_run():
    """training design A4, those of them that this drill can show."""
    critical = {h.id for h in HAZARDS.values() if h.critical}
    assert critical == {
        "power-with-props-on",
        "arm-person-inside-ring",
        "arm-failsafe-untested",
        "arm-stop-untested",
        "fly-known-fault",
        "fly-unproved-fix",
        "no-abort-within-2s",
        "hand-in-disc-armed",
        "swollen-pack-plugged",
        "wrong-polarity-plugged",
        "charge-unattended",
        "fly-damaged-pack",
        "interlock-defeated",
        "hands-on-live",
        "flew-on-past-alarm",
        "flew-too-high",
        "flew-at-pilot",
        "no-goggles",
        "no-spotter",
        "no-abort-word",
    }
