"""What lies ready on the bench or runs across it: propellers that are off, the set-up cable.

Both are flat outlines or lines in the scene; nothing of them moves but the aircraft's end of the cable.
"""

import numpy as np

from sim.session.perceived import PropellerSeen
from sim.window.scene.camera import Array
from sim.window.scene.craft import Craft
from sim.window.scene.drawing import Pose
from sim.window.scene.rotors import Veil, at_rest
from sim.window.scene.scale import GAP_M, beside_m, slab_at

SPACING_SHARE = 0.30  # of a propeller's radius; own: blades lie side by side and don't touch
AHEAD_SHARE = 0.35  # of the radius; own: a little ahead of the middle, clear of the papers
OVER_SHARE = 0.22  # of the reach; own: a propeller is held so high over its corner
LIFT_M = 0.006  # m; own: a hub is this high
CABLE_PARTS = 20  # own: straight pieces that pass for a curve
CABLE_OUT_M = 0.05  # m; own: how far it stands out from the board before it falls


def loose(
    propellers: tuple[PropellerSeen, ...], away: tuple[bool, ...], body: Craft, ground_m: float
) -> list[Veil]:
    """Return the propellers that lie left of the aircraft in a row, in the order of their corners.

    away : those that are on or in the hand.
    """
    radius, reach = body.size.radius_m, body.size.reach_m
    out: list[Veil] = []
    for k, (piece, on) in enumerate(zip(propellers, away, strict=True)):
        if on:
            continue
        east = -beside_m(reach) - SPACING_SHARE * radius * (0.6 + k)
        hub = np.array([AHEAD_SHARE * radius, east, ground_m + LIFT_M])
        out += at_rest(hub, radius * piece.span, 0.05 * (k - 1.5), piece, (1.0, 1.0))
    return out


def over(corner: int, body: Craft, where: Pose) -> Array:
    """Return the hub of a propeller held over a corner, in the scene."""
    hub = body.hubs_m[corner]
    return np.asarray(where.placed(hub) + np.array([0.0, 0.0, OVER_SHARE * body.size.reach_m]))


def cable(body: Craft, where: Pose, ground_m: float) -> Array:
    """Return the set-up cable from the board to the foot of the display, points (n, 3) in the scene."""
    start = where.placed(body.port_m)
    out = where.placed(body.port_m + np.array([0.0, GAP_M, CABLE_OUT_M * 0.3]))
    end = np.array([*slab_at(body.size.reach_m), ground_m + 0.02])
    low = np.array([0.75 * end[0], 0.62 * end[1], ground_m + 0.004])  # own: clear of the mug
    t = np.linspace(0.0, 1.0, CABLE_PARTS)[:, None]
    s = 1.0 - t
    return np.asarray(s**3 * start + 3 * s * s * t * out + 3 * s * t * t * low + t**3 * end)
