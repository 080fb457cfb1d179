"""Propellers corner by corner: what is fitted wrongly is a fault, told from how the aircraft is."""

import pytest

from sim.aircraft.fields import PLACES
from sim.bench.fitting import SPARES
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.session import actions as act
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.trainees.craftwork import fit_by_corner
from sim.trainees.driver import Hands


def session(
    *faults: str, seed: int = 1, bad_spares: float = 0.0, lacking: tuple[str, ...] = ()
) -> Session:
    return Session(
        Scenario.model_validate(
            {
                "title": "A test",
                "purpose": "Test",
                "origin": "invented",
                "faults": [{"id": fault, "severity": 0.6} for fault in faults],
                "bad_spares": bad_spares,
                "lacking": lacking,
            }
        ),
        seed,
    )


def fit(s: Session, place: str, piece: str, **how: str) -> frozenset[str]:
    """Fit one and return the propeller faults there are then."""
    s.do(act.FitProp.model_validate({"place": place, "piece": piece, **how}))
    return frozenset(f for f in s.record().present_now if f.startswith("prop-"))


def test_four_fitted_by_corner_fly_as_four_fitted_at_once() -> None:
    one, other = session(), session()
    fit_by_corner(Hands(one, one))
    other.do(act.FitProps())
    assert one.rig.craft.rotors == other.rig.craft.rotors
    assert one.record().present_now == other.record().present_now
    assert one.view().conduct.bare == ()


def test_a_hub_stays_bare_until_its_own_is_on() -> None:
    s = session()
    fit(s, "front_left", "front_left")
    assert s.view().conduct.props_fitted
    assert set(s.view().conduct.bare) == set(PLACES) - {"front_left"}
    assert [rotor.fitted for rotor in s.rig.craft.rotors] == [1.0, 0.0, 0.0, 0.0]
    counted = s.do(act.Read(check="propellers")).reading
    assert counted is not None
    assert counted.values["fitted"] == 1.0
    s.do(act.RemoveProp(place="front_left"))
    assert not s.view().conduct.props_fitted
    assert s.view().conduct.bare == ()


def test_a_check_that_wants_propellers_names_the_bare_hub() -> None:
    s = session()
    for place in PLACES[:3]:
        fit(s, place, place)
    s.do(act.SwitchTransmitter(on=True))
    s.do(act.Carry(to="pad", hold="standing"))
    s.do(act.PlugPack())
    with pytest.raises(Refusal, match="No propeller is on at rear left"):
        s.do(act.Read(check="light-on-legs"))


def test_the_neighbours_propeller_is_of_the_wrong_hand_and_the_opposite_ones_is_not() -> None:
    s = session()
    assert fit(s, "front_left", "rear_right") == frozenset()
    assert fit(s, "rear_right", "rear_right") == frozenset()
    s = session()
    assert fit(s, "front_left", "front_right") == {"prop-wrong-hand"}
    s.do(act.RemoveProp(place="front_left"))
    # laid back ready for the corner it came from, it fits again
    assert fit(s, "front_right", "front_left") == frozenset()


def test_face_down_and_finger_tight_are_faults() -> None:
    assert fit(session(), "rear_left", "rear_left", face="marks-down") == {"prop-upside-down"}
    s = session()
    assert fit(s, "rear_left", "rear_left", tightness="finger-tight") == {"prop-hub-slip"}
    assert s.rig.world.build.rotors.front_left.propeller.slip_n_m is None
    s.do(act.RemoveProp(place="rear_left"))
    assert fit(s, "rear_left", "rear_left") == frozenset()


def test_a_forced_hub_cracks_now_and_then() -> None:
    slips = [
        bool(fit(session(seed=seed), "front_left", "front_left", tightness="forced"))
        for seed in range(24)
    ]
    assert 6 <= sum(slips) <= 18  # half of 24, within 2.4 standard deviations


@pytest.mark.parametrize(
    ("piece", "faults"),
    [
        ("spare-left-hand", set()),
        ("spare-right-hand", {"prop-wrong-hand"}),
        ("smaller-left-hand", {"prop-size-mismatch"}),
        ("smaller-right-hand", {"prop-wrong-hand", "prop-size-mismatch"}),
    ],
)
def test_the_shelf_has_both_hands_and_look_alikes(piece: str, faults: set[str]) -> None:
    assert fit(session(), "front_left", piece) == faults  # it turns to the left there
    mirrored = piece.replace("left", "*").replace("right", "left").replace("*", "right")
    assert fit(session(), "front_right", mirrored) == faults


def test_a_spare_cures_a_chipped_one_and_its_own_does_not() -> None:
    cured = set()
    for place in PLACES:
        s = session("prop-nick-imbalance")
        hand = "right" if place in s.rig.world.airframe.clockwise else "left"
        assert fit(s, place, place) == {"prop-nick-imbalance"}
        s.do(act.RemoveProp(place=place))
        if not fit(s, place, f"spare-{hand}-hand"):
            cured.add(place)
    assert len(cured) == 1


def test_what_is_on_is_in_the_way() -> None:
    s = session()
    fit(s, "front_left", "front_left")
    with pytest.raises(Refusal, match="take it off first"):
        fit(s, "front_left", "spare-left-hand")
    with pytest.raises(Refusal, match="on, at the front left"):
        fit(s, "rear_right", "front_left")
    with pytest.raises(Refusal, match="None is on"):
        s.do(act.RemoveProp(place="rear_right"))
    s.do(act.FitProps())  # the other three
    assert s.view().conduct.bare == ()
    with pytest.raises(Refusal, match="already"):
        s.do(act.FitProps())


def test_nothing_comes_from_an_empty_shelf() -> None:
    s = session(lacking=("swap:propeller-front-left",))
    with pytest.raises(Refusal, match="shelf"):
        fit(s, "front_left", "spare-left-hand")
    assert fit(s, "front_left", "front_left") == frozenset()


def test_fitting_makes_the_propellers_due_again() -> None:
    s = session()
    s.do(act.Read(check="propellers-in-hand"))
    assert "propellers-in-hand" in s.view().facts
    fit(s, "front_left", "front_left")
    assert "propellers-in-hand" not in s.view().facts


def shares(bad: float, part: str, seeds: int) -> float:
    """Return how often a swap of a sound part leaves a fault."""
    found = 0
    for seed in range(seeds):
        s = session(seed=seed, bad_spares=bad)
        s.do(act.Swap.model_validate({"part": part}))
        made = s.record().present_now - s.record().present_at_start
        assert made <= {f for f in CATALOGUE if f"swap:{part}" in CATALOGUE[f].fixes}
        found += bool(made)
    return found / seeds


def test_spares_are_bad_as_often_as_the_drill_says() -> None:
    assert shares(0.0, "frame-screws", 20) == 0.0
    assert 0.2 <= shares(0.4, "frame-screws", 60) <= 0.6  # 2.5 sigma of 60
    assert shares(1.0, "lead-polarity", 5) == 0.0  # it is soldered with the meter on it


def test_a_bad_spare_stays_within_its_own_part() -> None:
    for place in PLACES:
        s = session(bad_spares=1.0)
        before = s.rig.world.build.rotors
        s.do(act.Swap.model_validate({"part": f"motor-{place.replace('_', '-')}"}))
        after = s.rig.world.build.rotors
        changed = {p for p in PLACES if getattr(before, p) != getattr(after, p)}
        assert changed == {place}
        assert getattr(before, place).propeller == getattr(after, place).propeller


def test_a_shelf_that_is_bad_gives_bad_blades_and_the_hand_asked_for() -> None:
    kinds: set[str] = set()
    for seed in range(12):
        s = session(seed=seed, bad_spares=1.0)
        kinds |= fit(s, "front_left", "spare-left-hand")
    assert kinds == {"prop-nick-imbalance", "prop-size-mismatch"}


def test_the_same_evening_again_has_the_same_spares() -> None:
    def evening() -> bytes:
        s = session(seed=5, bad_spares=0.5)
        for place in PLACES:
            fit(s, place, SPARES[0], tightness="forced")
        return s.rig.fingerprint() + repr(s.rig.world.build).encode()

    assert evening() == evening()


def test_a_rate_is_a_share() -> None:
    with pytest.raises(ValueError, match="less than or equal to 1"):
        session(bad_spares=1.2)


@pytest.mark.parametrize(("broken", "then"), [(0, 2), (2, 0)])
def test_a_broken_piece_is_broken_wherever_it_is_put(broken: int, then: int) -> None:
    s = session()
    s.rig.put(f"rotors.{broken}.broken", 1.0)
    fit(s, "front_left", "rear_right")
    assert s.rig.value(f"rotors.{then}.broken") == 1.0
    assert s.rig.value(f"rotors.{broken}.broken") == 0.0
