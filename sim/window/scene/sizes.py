"""Measures of the parts drawn, from what an airframe file says: mass, rotors, propeller, pack."""

from dataclasses import dataclass

import numpy as np

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.estimates.parts import bell_diameter_m, motor_mass_kg
from sim.window.scene.camera import Array

DRAWN_KG = 1.5  # kg; own: the shapes are drawn for this mass; others are alike, as its cube root
DRAWN_AH = 6.6  # Ah times cells; own: the pack of that aircraft, alike shapes too
PACK_M = (0.102, 0.038, 0.030)  # m; own: length, width, height of that pack, three cells in a row
PACK_AFT_M = 0.078  # m; own: how far aft it reaches there
PACK_SHARE = (0.8, 1.25)  # of the middle's own scale; own: what still looks strapped to it
CLEAR_M = 0.002  # m; own: what a pack keeps from the blades
PLATE_M = 0.064  # m; own: half length of the middle plates, for DRAWN_KG
PLATE_CUT_M = 0.030  # m; own: half of what is left of a plate's side between its cut corners
MIDDLE_SHARE = 0.45  # of the shortest arm; own: the middle never comes nearer to a motor


@dataclass(frozen=True)
class Sizes:
    """Measures of one aircraft as drawn, m.

    unit : how many times as large as the aircraft of `DRAWN_KG` its middle and arms are, 1.
    tips_m : the motors, (4, 2); reach_m : furthest point of a disc from the middle; bell_m : radius
    of a motor; root_m : where each arm leaves the middle.
    """

    unit: float
    tips_m: Array
    reach_m: float
    bell_m: float
    radius_m: float
    pack_m: tuple[float, float, float]
    pack_aft_m: float
    root_m: Array
    nose_m: float
    tail_m: float

    @property
    def arms_m(self) -> Array:
        """Length of each arm."""
        return np.asarray(np.linalg.norm(self.tips_m, axis=1))

    @property
    def ways(self) -> Array:
        """Unit vectors along the arms, (4, 2)."""
        return np.asarray(self.tips_m / self.arms_m[:, None])


def _pack(airframe: Airframe, unit: float, tips: Array, radius: float) -> tuple[float, Array]:
    """Return how far aft the pack reaches, and its size; it stays clear of the blades."""
    kind = library.pack(airframe.pack)
    scale = float(np.cbrt(kind.cells * kind.capacity_ah / DRAWN_AH)) / unit
    scale = unit * min(max(scale, PACK_SHARE[0]), PACK_SHARE[1])
    front = (PACK_M[0] - PACK_AFT_M) * unit
    for _ in range(40):
        size = np.array(PACK_M) * scale
        aft = size[0] - front
        corners = np.array([(x, y * size[1] / 2) for x in (front, -aft) for y in (-1.0, 1.0)])
        away = np.linalg.norm(corners[:, None] - tips[None], axis=2).min()
        if away > radius + CLEAR_M * unit:
            break
        scale *= 0.97
    return float(aft), size


def sizes(airframe: Airframe) -> Sizes:
    """Return the measures of an aircraft."""
    tips = np.array(airframe.frame.rotors_m.points)
    arms = np.linalg.norm(tips, axis=1)
    radius = airframe.propeller.diameter_m / 2
    unit = float(np.cbrt(airframe.mass_kg / DRAWN_KG))
    unit = min(unit, MIDDLE_SHARE * float(arms.min()) / PLATE_M)
    aft, pack = _pack(airframe, unit, tips, radius)
    p, c = PLATE_M * 1.04 * unit, PLATE_CUT_M * 1.04 * unit
    edge = np.array([(p, c), (c, p)])
    ways = np.abs(tips) / arms[:, None]
    plate = (ways @ edge.T).max(axis=1)
    side = np.array([(aft, pack[1] / 2), (PACK_M[0] * unit - PACK_AFT_M * unit, pack[1] / 2)])
    of_pack = [
        float(way @ side[0 if tip[0] < 0.0 else 1]) for way, tip in zip(ways, tips, strict=True)
    ]
    root = np.maximum(plate, of_pack) + 0.006 * unit
    return Sizes(
        unit=unit,
        tips_m=tips,
        reach_m=float(arms.max()) + radius,
        bell_m=bell_diameter_m(motor_mass_kg(airframe.mass_kg)) / 2,
        radius_m=radius,
        pack_m=(float(pack[0]), float(pack[1]), float(pack[2])),
        pack_aft_m=aft,
        root_m=np.asarray(root),
        nose_m=max(p, PACK_M[0] * unit - PACK_AFT_M * unit) + 0.006 * unit,
        tail_m=max(p, aft) + 0.003 * unit,
    )
