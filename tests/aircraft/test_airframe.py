"""Layouts of rotors: what is refused, and how the mix follows from the places and spins."""

from math import hypot

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pydantic import ValidationError

from sim.aircraft.airframe import Airframe, Layout
from sim.aircraft.avionics import mixing
from sim.aircraft.build import Build
from sim.aircraft.powertrain import hubs, spins
from sim.kernel import linear
from tests.worlds import sound_world

EVEN = ((0.1, -0.1), (0.1, 0.1), (-0.1, 0.1), (-0.1, -0.1))
WIDE = ((0.1, -0.2), (0.1, 0.2), (-0.1, 0.2), (-0.1, -0.2))
UNEVEN = ((0.16, -0.24), (0.16, 0.24), (-0.16, 0.16), (-0.16, -0.16))  # arms wider in front
LOPSIDED = ((0.15, -0.14), (0.18, 0.16), (-0.15, 0.12), (-0.18, -0.14))  # nothing is alike
OTHER_WAY = ("front_left", "rear_right")


def laid(points) -> Layout:
    return Layout(
        front_left=points[0], front_right=points[1], rear_right=points[2], rear_left=points[3]
    )


def framed(points, clockwise=("front_right", "rear_left")) -> Airframe:
    """Return the trainer with its rotors elsewhere, on small propellers that fit."""
    airframe = sound_world().airframe
    data = airframe.model_dump()
    data["frame"]["rotors_m"] = laid(points).model_dump()
    data["propeller"]["diameter_m"] = 0.12
    data["clockwise"] = clockwise
    return Airframe.model_validate(data)


def turned(airframe: Airframe) -> np.ndarray:
    """Return what (lift, roll, pitch, yaw) one unit of roll, of pitch and of yaw gives, by columns."""
    places = np.array(hubs(airframe, Build()))
    lifts = np.array(mixing(airframe))
    turning = -np.array(spins(airframe))  # the air turns the frame against its propellers
    rows = [lifts, -places[:, [1]] * lifts, places[:, [0]] * lifts, turning[:, None] * lifts]
    return np.array([row.sum(axis=0) for row in rows])


@pytest.mark.parametrize("clockwise", [("front_right", "rear_left"), OTHER_WAY])
@pytest.mark.parametrize("points", [EVEN, WIDE, UNEVEN, LOPSIDED])
def test_each_axis_turns_the_aircraft_about_that_axis_alone(points, clockwise):
    found = turned(framed(points, clockwise))
    for axis in range(3):
        assert found[axis + 1, axis] > 0.1
        # of lift, m or 1; four shares rounded to half a thousandth each
        assert_allclose(np.delete(found[:, axis], axis + 1), 0.0, atol=4 * 0.0005)


@pytest.mark.parametrize("points", [EVEN, WIDE])
def test_on_a_rectangle_every_motor_has_an_equal_part(points):
    mix = np.array(mixing(framed(points)))
    assert mix.tolist() == [[1, 1, 1], [-1, 1, -1], [-1, -1, 1], [1, -1, -1]]
    other = np.array(mixing(framed(points, OTHER_WAY)))
    assert other.tolist() == [[1, 1, -1], [-1, 1, 1], [-1, -1, -1], [1, -1, 1]]


def test_behind_wide_arms_the_narrow_ones_do_more_of_the_yaw():
    front, rear = np.array(mixing(framed(UNEVEN)))[[0, 2], 2]
    assert rear == 1.0
    assert front == pytest.approx(0.16 / 0.24, abs=0.0005)  # equal and opposite roll, by levers


def test_levers_of_the_loops_are_the_mean_of_the_arms(craft):
    def levers(points):
        return linear.levers(
            craft._replace(
                rotors=tuple(
                    r._replace(hub_m=r.hub_m._replace(x=x, y=y))
                    for r, (x, y) in zip(craft.rotors, points, strict=True)
                ),
                controller=craft.controller._replace(mix=mixing(framed(points))),
            )
        )

    assert levers(WIDE) == pytest.approx((0.2, 0.1))
    assert levers(UNEVEN) == pytest.approx((0.2, 0.16), rel=1e-3)
    moved = [(x - 0.01, y + 0.02) for x, y in WIDE]
    assert linear.levers(
        craft._replace(
            rotors=tuple(
                r._replace(hub_m=r.hub_m._replace(x=x, y=y))
                for r, (x, y) in zip(craft.rotors, moved, strict=True)
            )
        )
    ) == pytest.approx((0.2, 0.1))  # a shifted centre of gravity changes no couple


def test_sizes_of_a_layout():
    layout = laid(WIDE)
    assert layout.spacing_m == pytest.approx(0.3)  # twice 0.2 and twice 0.4
    assert layout.closest_m == pytest.approx(0.2)
    assert layout.longest_m == pytest.approx(hypot(0.1, 0.2))
    assert layout.points == WIDE


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ((EVEN[1], EVEN[0], *EVEN[2:]), "front_left must lie forward and left"),
        ((*EVEN[:2], EVEN[3], EVEN[2]), "rear_right must lie back and right"),
        (((0.13, -0.1), (0.13, 0.1), *EVEN[2:]), r"take \+0\.0150 m off all forward"),
        (((0.1, -0.1), (0.1, 0.12), (-0.1, 0.12), (-0.1, -0.1)), r"\+0\.0100 m off all right"),
    ],
)
def test_layouts_that_are_refused(points, says):
    with pytest.raises(ValidationError, match=says):
        laid(points)


def test_a_middle_a_little_off_is_taken():
    off = 0.009 * hypot(0.1, 0.1)
    assert laid([(x + off, y) for x, y in EVEN]).longest_m > 0.1
    with pytest.raises(ValidationError):
        laid([(x + 1.3 * off, y) for x, y in EVEN])


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"clockwise": ("front_left", "front_right")}, "across a diagonal"),
        ({"clockwise": ("front_left", "front_left")}, "across a diagonal"),
        ({"propeller": {"diameter_m": 0.32}}, "further apart than their diameter"),
        ({"frame": {"foot_down_m": 0.4}}, "within 0.4 m of the centre"),
        ({"cells": 0}, "greater than or equal to 1"),
        ({"cells": 7}, "less than or equal to 6"),
    ],
)
def test_airframes_that_are_refused(changes, says):
    data = sound_world().airframe.model_dump()
    for key, value in changes.items():
        data[key] = {**data[key], **value} if isinstance(value, dict) else value
    with pytest.raises(ValidationError, match=says):
        Airframe.model_validate(data)
