"""Which way columns count: all signs together, weighed by what is usual and by what moves with what.

Attitude, gyro and accelerometer tell each other's signs but not their own: a world seen in a mirror
flies as well as ours. What breaks the tie is how loggers usually count, and motors named by place.
Each combination of signs gets the product of how usual it is and how well it agrees with what was
measured; a sign is guessed if nearly all the weight has it, and asked for otherwise.
"""

from itertools import product
from math import prod
from typing import NamedTuple

SURE = 0.98  # 1; own: a wrong sign spoils an answer, a question costs a minute
# 1; own: from no survey; set wide, so that two things must agree before a sign counts as known
USUAL_ANGLE = (0.95, 0.85, 0.85)  # 1; own: roll, nose up, clockwise
ODD_RATE, ODD_FORCE = 0.05, 0.05  # 1; own: one axis of a sensor counts against its own frame
SAME_FRAME = 0.9  # 1; own: gyro and accelerometer of one logger share a frame
NEGATED = 0.1  # 1; own: an accelerometer column holds gravity instead of specific force
WRONG_TURN, WRONG_DRAG, WRONG_CONTROL = 0.01, 0.05, 0.05  # 1; own: what was measured misleads

Triple = tuple[int, int, int]
FORWARD_RIGHT_DOWN: Triple = (1, 1, 1)  # 1; ISO 1151
FORWARD_LEFT_UP: Triple = (1, -1, -1)  # 1; trade: x forward, z up
RIGHT_FORWARD_UP: Triple = (
    1,
    1,
    -1,
)  # 1; trade: x right, z up; columns already in our order, forward first


class Measured(NamedTuple):
    """Products of signs as measured, 0 where not: +1 if both count our way, or both the other way.

    turn : angle with rate, by axis; drag : pitch angle with force forward, roll angle with force to
    the right; gravity : the sign of the force down itself; control : each rate with motors named by
    place; swapped, rates_swapped : the first axis of the accelerometer, of the gyro, points right.
    """

    turn: Triple
    drag: tuple[int, int]
    gravity: int
    control: Triple
    swapped: bool
    rates_swapped: bool


class Signs(NamedTuple):
    """For each sign the chance that it is +: angles, rates, forces forward and right."""

    angles: tuple[float, float, float]
    rates: tuple[float, float, float]
    forces: tuple[float, float]


def _agrees(found: int, product_of_signs: int, wrong: float) -> float:
    return 1.0 if found == 0 else (1.0 - wrong if found == product_of_signs else wrong)


def _frames(swapped: bool) -> tuple[Triple, ...]:
    return (RIGHT_FORWARD_UP,) if swapped else (FORWARD_RIGHT_DOWN, FORWARD_LEFT_UP)


def _rates_chance(rates: tuple[int, ...], frame: Triple, swapped: bool) -> float:
    """Return how usual signs of rates are beside an accelerometer in a frame."""
    frames = _frames(swapped)
    total = 0.0
    for other in frames:
        share = SAME_FRAME if other == frame else 1.0 - SAME_FRAME
        share = 1.0 if len(frames) == 1 else share
        total += share * prod(
            1.0 - ODD_RATE if r == f else ODD_RATE for r, f in zip(rates, other, strict=True)
        )
    return total


def signs(measured: Measured, settled: dict[tuple[str, int], int] | None = None) -> Signs:
    """Return the chance of each sign, over all combinations.

    settled : signs a person has said, by `a` angle, `g` rate or `f` force and axis.
    """
    said = settled or {}
    plus = dict.fromkeys(product(("a", "g", "f"), range(3)), 0.0)
    total = 0.0
    both = (1, -1)
    for frame, read, fx, fy in product(_frames(measured.swapped), both, both, both):
        if measured.gravity and read * frame[2] != measured.gravity:
            continue
        of_frame = NEGATED if read < 0 else 1.0 - NEGATED
        for f, axis in ((fx, 0), (fy, 1)):
            of_frame *= 1.0 - ODD_FORCE if f == read * frame[axis] else ODD_FORCE
        for rates in product(both, repeat=3):
            of_rates = of_frame * _rates_chance(rates, frame, measured.rates_swapped)
            for g, found in zip(rates, measured.control, strict=True):
                of_rates *= _agrees(found, g, WRONG_CONTROL)
            for angles in product(both, repeat=3):
                weight = of_rates
                for a, usual in zip(angles, USUAL_ANGLE, strict=True):
                    weight *= usual if a > 0 else 1.0 - usual
                for a, g, found in zip(angles, rates, measured.turn, strict=True):
                    weight *= _agrees(found, a * g, WRONG_TURN)
                weight *= _agrees(measured.drag[0], angles[1] * fx, WRONG_DRAG)
                weight *= _agrees(measured.drag[1], angles[0] * fy, WRONG_DRAG)
                values = {"a": angles, "g": rates, "f": (fx, fy)}
                if any(values[key][i] != sign for (key, i), sign in said.items()):
                    continue
                total += weight
                for key, triple in values.items():
                    for i, sign in enumerate(triple):
                        plus[key, i] += weight * (sign > 0)
    share = {key: value / total for key, value in plus.items()}
    return Signs(
        (share["a", 0], share["a", 1], share["a", 2]),
        (share["g", 0], share["g", 1], share["g", 2]),
        (share["f", 0], share["f", 1]),
    )


def guessed(chance_of_plus: float) -> int | None:
    """Return the sign if nearly certain, else None."""
    if max(chance_of_plus, 1.0 - chance_of_plus) < SURE:
        return None
    return 1 if chance_of_plus > 0.5 else -1
