"""Estimates from answers that are not complete, and measurements that go before them."""

import numpy as np
import pytest

from sim.aircraft.build import PackSpec
from sim.describe.formulas import FORMULAS
from sim.describe.rules import RULES, Estimate, estimates, parts_of, so_far
from sim.describe.working import drafted, worked
from sim.kernel import motor
from tests.describe.builds import BUILDS, answers

MASS_ALONE = {"motor_mass_kg", "bell_diameter_m", "bell_inertia_kg_m2"}
SEVEN = {"propeller": {"diameter_in": 7.0, "mass_g": None}}


def test_what_follows_from_few_answers():
    assert so_far({}) == {}
    found = so_far({"mass_g": 1000.0, "motor": {"mass_g": None, "diameter_mm": None}})
    assert set(found) == MASS_ALONE
    assert found["motor_mass_kg"].value == pytest.approx(0.038)
    assert not found["motor_mass_kg"].measured
    assert set(so_far(SEVEN)) == {"propeller_mass_kg", "propeller_inertia_kg_m2"}
    # a motor that was weighed does not ask for the whole
    found = so_far({"motor": {"mass_g": 20.0, "diameter_mm": None}})
    assert set(found) == MASS_ALONE
    assert found["motor_mass_kg"] == Estimate("motor_mass_kg", 0.02, True)


@pytest.mark.parametrize("name", BUILDS)
def test_all_answers_give_what_the_airframe_has(name):
    a = answers(name)
    found = so_far(a.model_dump())
    assert tuple(found.values()) == estimates(a)
    assert set(found) == set(RULES)
    airframe = worked(a).airframe
    for key in ("roll_inertia_kg_m2", "pitch_inertia_kg_m2", "yaw_inertia_kg_m2"):
        assert getattr(airframe, key) == pytest.approx(found[key].value, rel=1e-3)
    assert airframe.motor.resistance_ohm == pytest.approx(found["resistance_ohm"].value, rel=1e-3)
    assert isinstance(airframe.pack, PackSpec)
    assert airframe.pack.lead_ohm == pytest.approx(found["lead_ohm"].value, rel=1e-3)


def test_what_is_known_at_once_agrees_with_what_takes_a_second():
    quick, whole = drafted(answers("seven-inch")), worked(answers("seven-inch"))
    assert (quick.trim, quick.full, quick.estimates) == (whole.trim, whole.full, whole.estimates)
    assert quick.designed is None


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"mass_g": 9000.0, "motor__mass_g": 20.0}, "can't carry this weight at any speed"),
        ({"motor__kv_rpm_v": 60.0}, "can't turn the propellers fast enough to work"),
    ],
)
def test_what_cannot_hover_is_told_in_words(changes, says):
    with pytest.raises(ValueError, match=says):
        drafted(answers("from-a-drawer", **changes))


def test_a_swing_by_the_published_numbers_changes_the_moment():
    """0.98 kg, strings 0.35 m apart and 1.55 m long, nine swings in 16.5 s: 0.0161 kg m2.

    Source: tests/authority/bifilar.source.toml.
    """
    swing = {"strings_apart_mm": 350.0, "length_mm": 1550.0, "roll_s": 16.5 / 9.0,
             "pitch_s": 16.5 / 9.0, "yaw_s": 16.5 / 9.0}  # fmt: skip
    plain = answers("school-project", mass_g=980.0, swing=None)
    swung = answers("school-project", mass_g=980.0, swing=swing)
    before, after = worked(plain).airframe, worked(swung).airframe
    assert after.roll_inertia_kg_m2 == pytest.approx(0.0161, abs=0.0001)
    assert before.roll_inertia_kg_m2 == pytest.approx(0.0102, rel=0.05)
    # gains go with the moment
    assert after.sheet.setup.roll.p / before.sheet.setup.roll.p == pytest.approx(
        after.roll_inertia_kg_m2 / before.roll_inertia_kg_m2, rel=0.1
    )
    assert "16 pi^2" in FORMULAS["roll_inertia_kg_m2"].by


def test_the_way_to_measure_the_current_of_a_motor_gives_it():
    """Half throttle without propellers: half the difference of the pack's current, for all four."""
    craft = worked(answers("school-project")).craft
    params, supply = craft.rotors[0].motor, 11.5
    state, start = motor.MotorState(0.0, 0.0, 0.0, 293.0), 0.0
    for _ in range(4000):
        state = motor.turned(state, 0.5, supply, start, params, 293.0, 1e-3)
    rest = craft.pack.avionics_a
    whole = rest + 4.0 * 0.5 * state.current_a  # the drive takes the motor's current half the time
    assert 0.5 * (whole - rest) == pytest.approx(params.no_load_a, rel=0.03)
    assert FORMULAS["no_load_a"].by == "(I_half - I_rest)/(4 x 1/2)"


def test_weighing_propellers_and_motors_moves_the_moments():
    light, heavy = (answers("seven-inch", motor__mass_g=g) for g in (30.0, 40.0))
    ends = 4.0 * 0.010 * (0.105**2 + ((0.145 + 0.120) / 2.0) ** 2)  # m d^2 of the four corners
    found = [so_far(a.model_dump())["yaw_inertia_kg_m2"].value for a in (light, heavy)]
    # what the motors weigh more the middle and the arms weigh less
    assert 0.5 * ends < found[1] - found[0] < ends
    total = [sum(p.mass_kg for p in parts_of(a, 0.0, 0.0)) for a in (light, heavy)]
    assert np.allclose(total, 0.78)
