"""How an aircraft turns that tips over on its feet: the free motion, held by the feet that touch.

A foot that touches and would sink is taken to stay where it is; one that the floor would have to pull has
left it. What the floor does follows from what drives and gravity do alone: no height to the
millimetre and no stiffness of a floor is needed.
"""

import numpy as np

from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.reproduce.recorded.passes import Vehicle, feet_of
from sim.reproduce.recording import Values

LEVEL_M = 0.01  # m; own: the second foot that near to the lowest touches as well
ALONG = 1e-6  # own: below that share of the largest, along the line of two feet, nothing is held


def _crossing(p: Values) -> Values:
    """Return matrices (..., 3, 3) that cross vectors (..., 3) with what follows."""
    x, y, z = p[..., 0], p[..., 1], p[..., 2]
    o = np.zeros_like(x)
    rows = [[o, -z, y], [z, o, -x], [-y, x, o]]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def _held(feet: Values, away: Values, mass: float, inertia: Values) -> tuple[Values, Values]:
    """Return (push, turn) of feet (n, k, 3) that stay: forces (n, k, 3) in N, rad/s2 (n, 3).

    away : (n, k, 3) how they would be accelerated.
    """
    n, k = feet.shape[:2]
    arms = _crossing(feet)
    light = arms / inertia  # crossed, then divided by the inertias along the last axis
    whole = np.eye(3)[None, None, None] / mass - np.einsum("niab,njbc->nijac", light, arms)
    matrix = whole.transpose(0, 1, 3, 2, 4).reshape(n, 3 * k, 3 * k)
    push = -np.linalg.pinv(matrix, rcond=ALONG, hermitian=True) @ away.reshape(n, 3 * k, 1)
    forces = push.reshape(n, k, 3)
    return forces, np.cross(feet, forces).sum(axis=1) / inertia


def turning(free: Values, felt: Values, down: Values, rates: Values, vehicle: Vehicle) -> Values:
    """Return the angular acceleration (n, 3) in rad/s2 of a vehicle that tips over on its feet.

    free : (n, 3) what it would be in the air; felt : (n, 3) specific force there, m/s2; down : (n, 3)
    the world's down in body axes; rates : (n, 3) rad/s.
    """
    craft = vehicle.craft
    mass = float(craft["body__mass_kg"][0])
    inertia = np.array([float(craft[f"body__inertia_kg_m2__{a}"][0]) for a in "xyz"])
    feet = feet_of(vehicle)
    depth = down @ feet.T
    order = np.argsort(-depth, axis=1)[:, :2]
    at = feet[order]
    spin = rates[:, None, :]
    away = (
        (felt + STANDARD_GRAVITY_M_S2 * down)[:, None, :]
        + np.cross(free[:, None, :], at)
        + np.cross(spin, np.cross(spin, at))
    )
    deep = np.take_along_axis(depth, order, axis=1)
    out, done = free.copy(), np.zeros(len(free), dtype=bool)
    for chosen in ([0, 1], [0], [1]):
        push, turn = _held(at[:, chosen], away[:, chosen], mass, inertia)
        sinks = (np.einsum("nka,na->nk", away[:, chosen], down) > 0.0).any(axis=1)
        upwards = sinks & (np.einsum("nka,na->nk", push, down) <= 0.0).all(axis=1)
        near = deep[:, 0] - deep[:, 1] < LEVEL_M if 1 in chosen else np.ones(len(free), dtype=bool)
        takes = upwards & near & ~done
        out[takes] += turn[takes]
        done |= takes
    return out
