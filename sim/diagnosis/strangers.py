"""Sound aircraft of the same kind that somebody else built and tuned: further from the sheet than ours.

What a recording leaves unexplained is judged by recordings of such aircraft too, as nobody's own is
quite the one of the sheet. Sizes are own: what a club member's copy of a plan is judged to differ by.
"""

from math import exp
from typing import Any, NamedTuple

import numpy as np

from sim.aircraft.changes import value_at, with_values
from sim.aircraft.fields import PLACES
from sim.aircraft.world import World


class Apart(NamedTuple):
    """How far a value of another's build lies from the sheet: at most, as a factor, either way."""

    keys: tuple[str, ...]
    most: float


CONTROL = "setup.controller."
EVERY = tuple(f"build.rotors.{place}." for place in PLACES)
APART = (
    Apart(("build.frame.mass_factor",), 0.15),  # 1; design: mass and inertia off by up to this
    *(Apart((f"airframe.{axis}_inertia_kg_m2",), 0.15) for axis in ("roll", "pitch", "yaw")),
    Apart(tuple(f"{k}propeller.pitch_ratio" for k in EVERY), 0.03),  # 1; another batch
    Apart(tuple(f"{k}motor.strength" for k in EVERY), 0.015),  # 1; another batch
    Apart(tuple(f"{k}motor.resistance_factor" for k in EVERY), 0.10),  # 1; another batch
    Apart(("airframe.propeller.inertia_kg_m2",), 0.15),  # 1; weighed, not swung
    Apart(("airframe.frame.frame_drag_n_s2_m2",), 0.50),  # 1; nobody measures it
    Apart(("airframe.frame.lateral_drag_n_s2_m",), 0.30),  # 1; the same
    *(
        Apart((f"{CONTROL}{axis}.p",), 0.12) for axis in ("roll", "pitch", "yaw")
    ),  # 1; tuned by feel
    *(Apart((f"{CONTROL}{axis}.d",), 0.15) for axis in ("roll", "pitch")),  # 1; the same
    *(Apart((f"{CONTROL}{axis}.i",), 0.30) for axis in ("roll", "pitch", "yaw")),  # 1; the same
    Apart((f"{CONTROL}attitude_gain_per_s",), 0.12),  # 1; the same
    Apart((f"{CONTROL}gyro_cutoff_hz",), 0.30),  # 1; another kind of filter
    Apart((f"{CONTROL}damping_cutoff_hz",), 0.15),  # 1; the same
    Apart(("build.pack.resistance_factor",), 0.20),  # 1; another make
)
DELAY = f"{CONTROL}output_delay_ms"
DELAY_MS = (2, 12)  # ms; own: what any such board lies within
LATER_MS = (-2, 0, 2)  # ms; own: so much later, of another board


def strange(world: World, rng: np.random.Generator) -> World:
    """Return the aircraft of a world as somebody else would have built and tuned it, sound."""
    new: dict[str, Any] = {}
    for keys, most in APART:
        factor = exp(float(rng.uniform(-most, most)))
        new |= {key: value_at(world, key) * factor for key in keys}
    late = value_at(world, DELAY) + int(rng.choice(LATER_MS))
    return with_values(world, {**new, DELAY: int(np.clip(late, *DELAY_MS))})
