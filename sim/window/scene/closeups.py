"""What lies round the aircraft when one has it before one's eyes: bench top, floor, cupboard.

The aircraft is shown as if its north were straight ahead, wherever the bench really stands.
"""

from dataclasses import dataclass, replace

from sim.window.scene.camera import Camera
from sim.window.scene.light import Stage
from sim.window.scene.rooms import (
    CARD,
    CARD_PALE,
    CRATE,
    CREAM,
    DARK,
    DOOR,
    FLOOR,
    FRAME,
    HOLES,
    PALE_WOOD,
    PLUM,
    SLATE,
    STEEL,
    TIN,
    WALL,
    WOOD,
    box,
    post,
)
from sim.window.scene.solids import Block, Lamp, Paint, linear

BENCH_UP_M = 0.89  # m; own: height of the bench top
CLOSE_RAD = 0.96  # rad; own: 55 degrees, the aircraft fills half the picture
PLAIN_FLOOR = replace(FLOOR, second=(0.0, 0.0, 0.0))
# Paints: own.
RUBBER = Paint("plain", linear("55605c"))
CUPBOARD = Paint("plain", linear("8d9a94"), gloss=0.35)


@dataclass(frozen=True)
class Closeup:
    """A close stage: its eye, and the height of the ground the aircraft stands on (m)."""

    stage: Stage
    camera: Camera
    ground_m: float


def close_camera(ground_m: float) -> Camera:
    """Return the eye of a person bent over the aircraft, behind it and a little to its right."""
    return Camera((-1.04, 0.34, ground_m + 0.74), (0.02, 0.01, ground_m + 0.285), CLOSE_RAD)


def _vice() -> list[Block]:
    """Return a bench vice at the back on the left: base, two jaws, screw and handle."""
    z = BENCH_UP_M
    x, y = 0.10, -0.80
    pieces = (
        ((0.0, 0.0, 0.0), (0.24, 0.18, 0.035), STEEL),
        ((0.04, 0.02, 0.035), (0.14, 0.16, 0.13), STEEL),
        ((0.02, 0.0, 0.10), (0.08, 0.18, 0.165), STEEL),
        ((-0.08, 0.0, 0.10), (-0.02, 0.18, 0.165), STEEL),
        ((-0.08, 0.02, 0.05), (0.0, 0.16, 0.12), STEEL),
        ((-0.18, 0.075, 0.07), (-0.08, 0.105, 0.10), TIN),
        ((-0.185, -0.04, 0.08), (-0.17, 0.22, 0.092), TIN),
    )
    return [
        box((x + a[0], y + a[1], z + a[2]), (x + b[0], y + b[1], z + b[2]), paint)
        for a, b, paint in pieces
    ]


def _tools() -> list[Block]:
    z = BENCH_UP_M
    x = 0.455
    hung = (
        (-0.52, 0.33, 0.03, 0.28, PLUM), (-0.42, 0.38, 0.026, 0.22, SLATE),
        (-0.33, 0.41, 0.024, 0.18, DARK), (-0.12, 0.36, 0.04, 0.22, PALE_WOOD),
        (-0.17, 0.55, 0.14, 0.05, STEEL), (0.14, 0.44, 0.24, 0.025, STEEL),
        (0.14, 0.51, 0.28, 0.025, STEEL), (0.14, 0.37, 0.20, 0.025, STEEL),
        (0.56, 0.38, 0.17, 0.22, CREAM), (-0.74, 0.36, 0.035, 0.24, TIN),
    )  # fmt: skip
    out = [box((x - 0.02, y, z + up), (x, y + a, z + up + b), p) for y, up, a, b, p in hung]
    out += [
        box((x, -0.95, z + 0.24), (x + 0.02, 0.86, z + 0.95), HOLES),
        box((x - 0.10, -0.46, z + 0.10), (x + 0.045, 0.52, z + 0.12), PALE_WOOD),
        post((0.39, -0.34, z + 0.12), 0.028, 0.075, TIN),
        post((0.39, -0.25, z + 0.12), 0.026, 0.06, CREAM),
        post((0.39, -0.17, z + 0.12), 0.026, 0.06, SLATE),
        box((0.37, 0.02, z + 0.12), (0.44, 0.16, z + 0.18), CRATE),
        box((0.37, 0.19, z + 0.12), (0.44, 0.33, z + 0.18), SLATE),
        box((0.37, 0.36, z + 0.12), (0.44, 0.50, z + 0.18), PLUM),
    ]
    return out


def _bench() -> Closeup:
    z = BENCH_UP_M
    walls = [
        box((-6.0, -6.0, -0.2), (6.0, 6.0, 0.0), PLAIN_FLOOR),
        box((0.48, -6.0, 0.0), (0.7, 6.0, 3.0), WALL),
    ]
    blocks = [replace(wall, shell=True) for wall in walls]
    blocks += _vice() + _tools()
    blocks += [
        box((-0.42, -2.4, z - 0.05), (0.48, 2.4, z), WOOD),
        box((-0.30, -0.42, z), (0.30, 0.42, z + 0.003), RUBBER),
        box((0.10, 0.62, z), (0.36, 1.00, z + 0.20), SLATE, 6),
        box((0.11, 0.63, z + 0.20), (0.35, 0.99, z + 0.212), CREAM, 6),
        post((0.10, 0.53, z), 0.045, 0.035, CREAM),
        post((-0.12, 0.60, z), 0.042, 0.09, TIN),
        box((-0.20, -0.62, z), (-0.05, -0.50, z + 0.012), CREAM, 14),
        box((0.24, -0.60, z), (0.37, -0.44, z + 0.06), CARD, -8),
    ]
    lamps = (
        Lamp((-0.25, -0.55, z + 1.25), (0.22, 0.0, 0.0), (0.0, -0.30, 0.0), (17.0, 15.0, 11.6)),
        Lamp((-1.4, 1.1, z + 1.35), (0.0, 0.4, 0.0), (0.25, 0.0, 0.25), (5.2, 5.4, 5.6)),
    )
    return Closeup(Stage(tuple(blocks), lamps, (0.44, 0.41, 0.37), 1.25), close_camera(z), z)


def _open_room(extra: list[Block]) -> Closeup:
    """Return bare floor near, a wall and some boxes far."""
    walls = [
        box((-6.0, -6.0, -0.2), (6.0, 6.0, 0.0), PLAIN_FLOOR),
        box((2.3, -6.0, 0.0), (2.5, 6.0, 3.0), WALL),
    ]
    blocks = [replace(wall, shell=True) for wall in walls]
    blocks += [
        box((2.27, -0.2, 0.0), (2.3, 2.4, 2.05), DOOR),
        box((2.23, -0.3, 0.0), (2.3, -0.2, 2.1), FRAME),
        box((1.72, -1.35, 0.0), (2.22, -0.75, 0.46), CARD, 4),
        box((1.80, -1.25, 0.46), (2.15, -0.85, 0.70), CARD_PALE, -7),
        box((1.86, -1.95, 0.0), (2.26, -1.50, 0.34), CRATE),
        post((1.75, -0.55, 0.0), 0.12, 0.26, TIN),
    ]
    lamps = (
        Lamp((-0.35, -0.5, 2.3), (0.5, 0.0, 0.0), (0.0, -0.25, 0.0), (15.5, 14.0, 11.8)),
        Lamp((1.2, 1.9, 1.6), (0.6, 0.0, 0.0), (0.0, 0.0, 0.4), (2.4, 2.5, 2.7)),
        Lamp((1.5, -0.6, 2.4), (0.5, 0.0, 0.0), (0.0, -0.2, 0.0), (7.0, 6.4, 5.4)),
    )
    return Closeup(
        Stage((*blocks, *extra), lamps, (0.46, 0.43, 0.39), 1.25), close_camera(0.0), 0.0
    )


def _cupboard() -> list[Block]:
    """Return a plain steel cupboard close by on the right: two doors, handles, a plinth."""
    lo, hi = 0.62, 1.12
    return [
        box((lo, 0.30, 0.06), (hi, 1.30, 1.9), CUPBOARD),
        box((lo + 0.02, 0.32, 0.0), (hi, 1.28, 0.06), DARK),
        box((lo - 0.012, 0.31, 0.08), (lo, 0.796, 1.88), CUPBOARD),
        box((lo - 0.012, 0.804, 0.08), (lo, 1.29, 1.88), CUPBOARD),
        box((lo - 0.035, 0.74, 0.86), (lo - 0.012, 0.765, 1.06), DARK),
        box((lo - 0.035, 0.835, 0.86), (lo - 0.012, 0.86, 1.06), DARK),
        *(box((lo - 0.014, 0.44, 0.30 + k * 0.035), (lo - 0.012, 0.67, 0.312 + k * 0.035), DARK)
          for k in range(4)),
    ]  # fmt: skip


def closeup(name: str) -> Closeup:
    """Return the close stage of a name: `bench`, `floor` or `cupboard`."""
    if name == "bench":
        return _bench()
    return _open_room(_cupboard() if name == "cupboard" else [])


def closeup_of(place: str) -> str:
    """Return the name of the close stage for a place of the drill."""
    return {"bench": "bench", "steel_cupboard": "cupboard"}.get(place, "floor")
