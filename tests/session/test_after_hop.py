"""After the hop the evening goes on: back to the bench, what is due again, what a crash broke."""

import numpy as np
import pytest

from sim.aircraft.changes import value_at, with_value
from sim.errors import Refusal
from sim.faults.catalogue import present_faults
from sim.kernel.radio import Sticks
from sim.kernel.surroundings import BUMPED, HARD_LANDING, STRUCK, TIPPED
from sim.procedure.cards import AFTER_HOP
from sim.session import actions as act
from sim.session.scenario import load
from sim.session.session import Session
from sim.session.wreck import BREAKS, wrecked
from sim.trainees.driver import Hands
from sim.trainees.hop import hop
from sim.trainees.others import to_the_pad

HOVER_S = 5.0  # s; as short as a hop may be
BACK = "unplug bench remove"
AGAIN = "fit pad plug arm"


def hopped(session, hover_s=HOVER_S):
    """Fly a hop from the pad as a stand-in does; it ends disarmed and unplugged."""
    hop(Hands(session, session), 1.0, hover_s, session.rig.world.airframe.sheet.hover_throttle)
    return session


@pytest.fixture
def landed():
    """Return a session after a hop: disarmed and unplugged, on the pad, propellers on."""
    session = Session(load("quiet-morning"), 1)
    to_the_pad(Hands(session, session))
    session.do(act.Arm())
    return hopped(session)


def logged(session):
    return {h.id for h in session.record().hazards}


def did(session, action, words):
    for word in words.split():
        session.do(action(word))


def test_after_a_hop_it_can_be_carried_back_and_hop_again(landed, action):
    assert (landed.view().phase, landed.view().hops) == ("pad", 1)
    did(landed, action, "bench remove")
    assert landed.view().phase == "bench"
    did(landed, action, AGAIN)
    hopped(landed)
    first, second = landed.record().hops
    assert first.over_s < second.takeoff_s < second.over_s
    assert first.crash == second.crash == ()
    assert landed.record().takeoff_s == first.takeoff_s
    assert landed.view().hops == 2
    landed.do(act.Finish())
    assert landed.record().finished


def test_while_armed_or_turning_it_stays_where_it_is(flying, action, sticks):
    session = flying()
    session.advance(sticks(0.55), 0.4)
    assert session.view().phase == "hop"
    with pytest.raises(Refusal, match="armed"):
        session.do(action("bench"))
    session.do(act.Disarm())
    with pytest.raises(Refusal, match="turning"):
        session.do(action("bench"))
    assert session.record().hops[0].over_s is None
    session.advance(sticks(), 3.0)
    assert session.view().phase == "pad"
    assert session.record().hops[0].over_s == pytest.approx(session.rig.time_s, abs=3.0)


def test_carrying_it_back_with_the_pack_in_is_as_grave_as_before(flying, action, sticks):
    session = flying()
    session.advance(sticks(0.55), 0.4)
    session.do(act.Disarm())
    session.advance(sticks(), 3.0)
    session.do(action("bench"))
    assert {"hands-on-live", "power-with-props-on"} <= logged(session)


@pytest.mark.parametrize("part", ["pack", "motor-front-left", "propeller-rear-left"])
def test_after_a_hop_nothing_is_swapped_with_propellers_on(landed, action, part):
    swap = act.Swap(part=part)
    landed.do(action("bench"))
    with pytest.raises(Refusal, match="propellers come off") as refused:
        landed.do(swap)
    assert "props_off" in refused.value.reasons
    landed.do(act.RemoveProps())
    landed.do(swap)


def test_before_a_hop_the_rule_is_not_asked(done):
    done("fit swap")


def test_a_hop_makes_its_card_due_and_leaves_the_rest(landed):
    on_card = {item.check for item in AFTER_HOP.items}
    assert not on_card & landed.view().facts
    before = Session(load("quiet-morning"), 1)
    did_all = sorted(on_card | {"failsafe", "switches"})
    hands = Hands(before, before)
    hands.do(act.SwitchTransmitter(on=True))
    hands.do(act.PlugPack())
    for check in did_all:
        hands.do(act.Read.model_validate({"check": check}))
    hands.do(act.UnplugPack())
    to_the_pad(hands)
    before.do(act.Arm())
    assert {"pack-at-rest", "look-and-tug", "failsafe"} <= before.view().facts
    hopped(before)
    assert before.view().facts & {*did_all} == {"failsafe", "switches"}


def test_the_pack_is_warmer_and_emptier_after_a_hop(landed):
    fresh = Session(load("quiet-morning"), 1)
    before, after = (s.rig.world.build.pack.temperature_degc for s in (fresh, landed))
    assert 0.3 < after - before < 3.0  # K; 15 A through 22 mohm for half a minute into 180 J/K: 0.8
    for session in (fresh, landed):
        session.do(act.Read(check="pack-at-rest"))
    cells = [s.view().readings["pack-at-rest"].values["lowest_cell_v"] for s in (fresh, landed)]
    assert cells[1] < cells[0] - 0.02


def test_a_fix_made_between_hops_has_to_be_proved_too(landed, action):
    did(landed, action, "bench remove plug")
    turn = "set:setup.transmitter.pitch.direction"
    did(landed, action, f"{turn}=-1 {turn}=1 unplug")
    assert "fly-unproved-fix" not in logged(landed)
    did(landed, action, AGAIN)
    hopped(landed)
    assert "fly-unproved-fix" in logged(landed)


def test_what_a_later_hop_took_off_with_is_its_own(landed, action):
    world = with_value(landed.rig.world, "build.frame.loose_arm_hz", 30.0)
    landed.do(action("bench"))
    landed.rig.change(world)
    did(landed, action, "pad plug arm")
    hopped(landed)
    first, second = landed.record().hops
    assert "arm-joint-loose" in second.present - first.present
    assert landed.record().present_at_takeoff == first.present


def crashed(seed=1):
    """Return a session in which it was rolled over a metre up and has come to rest."""
    session = Session(load("quiet-morning"), seed)
    hands = Hands(session, session)
    to_the_pad(hands)
    session.do(act.Arm())
    up = hands.see()
    while up.aircraft.height_m < 0.8:
        session.advance(_sticks(0.56), 0.02)
        up = hands.see()
    session.do(act.SetMode(self_level=False))
    while not session.view().crash:
        session.advance(_sticks(0.6, roll=1.0), 0.02)
    session.do(act.Disarm())
    session.advance(_sticks(), 8.0)  # hubs without blades coast for long
    return session


def _sticks(throttle=0.0, **others):
    return Sticks(0.0, 0.0, throttle, 0.0, 1.0, 1.0, 0.0)._replace(**others)


def test_a_crash_breaks_propellers_that_have_to_be_found(action):
    session = crashed()
    assert session.record().hops[0].crash
    assert "prop-nick-imbalance" in present_faults(session.truth())
    did(session, action, "unplug bench remove")
    assert session.view().crash == ()  # it is picked up; the record keeps what happened
    assert session.record().crash
    seen = session.do(act.Read(check="propellers-in-hand")).reading.values
    chipped = [k for k, v in seen.items() if k.endswith("edge_catches_count") and v > 0.0]
    broken = [i for i in range(4) if session.rig.value(f"rotors.{i}.broken") > 0.0]
    assert broken
    assert len(broken) - 1 <= len(chipped) <= len(broken)  # one edge may be overlooked
    for i, place in enumerate(("front-left", "front-right", "rear-right", "rear-left")):
        if i in broken:
            session.do(act.Swap.model_validate({"part": f"propeller-{place}"}))
            assert session.rig.value(f"rotors.{i}.broken") == 0.0
    assert "prop-nick-imbalance" not in present_faults(session.truth())


def test_a_crash_breaks_things_once(action):
    session = crashed()
    world = session.rig.world
    session.advance(_sticks(), 2.0)
    assert session.rig.world is world


def test_a_second_crash_makes_checks_due_again(action):
    session = crashed()
    did(session, action, "unplug bench remove read:propellers-in-hand")
    assert "propellers-in-hand" in session.view().facts
    session.rig.put("crash", float(TIPPED))
    session.advance(_sticks(), 0.1)
    assert "propellers-in-hand" not in session.view().facts


def test_what_the_cable_holds_is_not_picked_up(done, action):
    session = done("cable")
    session.rig.put("crash", float(TIPPED))
    with pytest.raises(Refusal, match="reaches no further than the bench: pull it out") as refused:
        session.do(action("floor"))
    assert refused.value.reasons == {"cable_out"}
    assert session.view().crash  # it lies where it fell
    assert session.view().conduct.place == "bench"
    session.do(act.Cable(plugged=False))
    session.do(action("floor"))
    assert session.view().crash == ()
    with pytest.raises(Refusal, match="bring the aircraft there") as refused:
        session.do(action("cable"))
    assert refused.value.reasons == {"at_bench"}
    session.do(action("bench"))
    session.do(action("cable"))


@pytest.mark.parametrize("kind", [STRUCK, TIPPED, BUMPED, HARD_LANDING])
def test_each_kind_of_crash_breaks_its_own_parts_about_as_often_as_it_says(done, kind):
    session = done("")
    session.rig.put("crash", float(kind))
    tries, count = 200, dict.fromkeys((name for name, _ in BREAKS[kind]), 0)
    sound = session.rig.world
    for seed in range(tries):
        world = wrecked(session.rig, np.random.default_rng(seed))
        for name in count:
            count[name] += _differs(name, sound, world)
    for name, chance in BREAKS[kind]:
        assert count[name] / tries == pytest.approx(chance, abs=0.12), name


def _differs(name, sound, world):
    """Tell whether what a fault changes is another than before."""
    of = {
        "motor-shaft-bent": "rotors",
        "motor-mount-tilted": "rotors",
        "leg-snag-or-bent": "frame.leg_lift_m",
        "arm-joint-loose": "frame.loose_arm_hz",
        "pack-strap-loose": "frame.strap_shift_m",
        "pack-swollen-or-dented": "pack.swollen",
    }
    return value_at(sound.build, of[name]) != value_at(world.build, of[name])


def test_nothing_breaks_without_a_crash(done):
    session = done("")
    assert wrecked(session.rig, np.random.default_rng(0)) == session.rig.world


def test_a_struck_propeller_has_lost_its_tip_at_its_place(done):
    session = done("")
    session.rig.put("rotors.2.broken", 1.0)
    rotors = wrecked(session.rig, np.random.default_rng(0)).build.rotors
    assert rotors.rear_right.propeller.nicked
    left = session.rig.world.airframe.propeller.unbalance_g_mm
    assert rotors.rear_right.propeller.extra_unbalance_g_mm == pytest.approx(6.0 * left)
    assert not any(
        getattr(rotors, p).propeller.nicked for p in ("front_left", "front_right", "rear_left")
    )
