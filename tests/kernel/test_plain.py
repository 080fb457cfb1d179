"""The compiled loop against the same functions run as plain Python, number by number.

What `sim.kernel.jit` and `sim.kernel.trees` make of the functions (reading by address, storing,
merging, other rules for division) must not change what they say.
"""

from math import isclose

import numpy as np
import pytest
from numba.core.errors import TypingError

from sim.bench.rig import HANDS_OFF
from sim.kernel import hands, records, trees
from sim.kernel.frames import Quat, Vec3, apply
from sim.kernel.jit import entry
from sim.kernel.step import step
from sim.kernel.vehicle import Craft, State
from tests.kernel.plain import tree_of

# a power is multiplied out by the compiler, a last digit may differ from Python's; the loop is
# stable, so within 60 ticks it stays far below this share
SAME = 1e-10
TICKS = 60


def in_python(flight, craft, sticks, ticks):
    state = tree_of(State, iter(flight.states[0].item()))
    for _ in range(ticks):
        state = step(state, sticks, craft, flight.tables)
    return [float(number) for number in records.flatten(state)]


def assert_same(flight, plain):
    names = flight.states.dtype.names
    for name, compiled, number in zip(names, flight.states[0].item(), plain, strict=True):
        assert isclose(compiled, number, rel_tol=SAME, abs_tol=SAME), name


def test_in_hover(craft, hovering):
    flight, sticks = hovering(craft, height_m=1.2)
    sticks = sticks._replace(roll=0.4, pitch=-0.3, yaw=0.6)
    plain = in_python(flight, craft, sticks, TICKS)
    flight.run(TICKS * 0.001, sticks)
    assert abs(flight.value("body.rate_rad_s.x")) > 1e-3  # rad/s; it is not at rest
    assert_same(flight, plain)


def test_on_the_ground_and_starting_up(craft, flight):
    standing = flight(craft)
    standing.run(1.97)
    plain = in_python(standing, craft, HANDS_OFF, TICKS)
    standing.run(TICKS * 0.001)
    assert standing.value("feet.0.load_n") > 1.0  # N; a quarter of the weight
    assert_same(standing, plain)


def test_held_in_hands_against_a_wall_while_a_drive_cuts_out(craft, flight):
    held = craft._replace(
        hold=craft.hold._replace(kind=hands.HANDS, target=Quat(0.8, 0.6, 0.0, 0.0))
    )
    drives = [p._replace(motor=p.motor._replace(gap_rate_per_s=50.0)) for p in craft.rotors]
    held = held._replace(rotors=tuple(drives), strap_shift_m=Vec3(0.01, 0.02, 0.0))
    turned = flight(held)
    for path, value in (("armed", 1.0), ("radio.linked", 1.0), ("radio.last_frame_tick", 1.0)):
        turned.put(path, value)
    for path in ("shifted", "radio.pulse_us.2", "powered_ticks"):
        turned.put(path, 1.0 if path == "shifted" else 1600.0)
    plain = in_python(turned, held, HANDS_OFF, TICKS)
    turned.run(TICKS * 0.001)
    assert turned.value("hold.attitude.x") > 0.0
    assert_same(turned, plain)


@entry
def numbers_of(crafts, i):
    craft = craft_in(crafts[0])
    rotor = craft.rotors[i]
    turned = apply(craft.sensors.mounting, rotor.hub_m)
    return rotor.spin, rotor.motor.inertia_kg_m2, turned.y, craft.radio.order[i], craft.hold.target


craft_in = trees.reader(Craft)


def test_parts_are_read_where_they_lie(craft):
    row = records.to_row(Craft, craft)
    for i in range(4):
        place = craft.rotors[i]
        assert numbers_of(row, i) == (
            place.spin,
            place.motor.inertia_kg_m2,
            apply(craft.sensors.mounting, place.hub_m).y,
            craft.radio.order[i],
            craft.hold.target,
        )


def test_a_name_that_is_not_there_and_a_wrong_row_do_not_compile(craft):
    @entry
    def misspelt(crafts):
        return craft_in(crafts[0]).body.weight_kg

    @entry
    def other_row(states):
        return craft_in(states[0]).plugged

    with pytest.raises(TypingError, match="weight_kg"):
        misspelt(records.to_row(Craft, craft))
    with pytest.raises(TypingError, match="no row of"):
        other_row(np.zeros(1, records.dtype_of(State)))
