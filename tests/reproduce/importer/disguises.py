"""Recordings of our own flights, written as any logger might have, and what is true of them."""

import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from sim.aircraft.fields import PLACES
from sim.kernel.history import HISTORY
from sim.reproduce.channels import AXES, BODY, named
from sim.reproduce.importer.guessing import Guesses

DEG = np.pi / 180.0
STYLES = {
    "stick": ("stick_{}", "rc {}", "pilot {}"),
    "angle": ("{}", "{}_angle", "attitude {}"),
    "rate": ("gyro_{}", "Gyro {}", "{} rate"),
    "accel": ("acc_{}", "Accel{}", "a{}"),
    "field": ("mag_{}", "compass {}", "field {}"),
    "drive": ("motor{}", "m{}", "out {}"),
}


@dataclass
class Disguise:
    """Columns as written, and what is true: channel to (column, unit, sign); None if only asked."""

    columns: dict[str, np.ndarray]
    truth: dict[str, tuple[str, str, int]]

    @property
    def times(self) -> str:
        """The column that holds the time."""
        return self.truth["time_s"][0]

    def write(self, path: Path, digits: str = ".9g") -> Path:
        rows = zip(*(c.tolist() for c in self.columns.values()), strict=True)
        lines = [",".join(self.columns), *(",".join(format(x, digits) for x in r) for r in rows)]
        path.write_text("\n".join(lines) + "\n")
        return path


def disguised(rows: np.ndarray, seed: int, thinned: bool = True) -> Disguise:
    """Return a flight as another logger writes it: units, signs, frames, order, rate by chance.

    thinned : rows are left out by chance, for a lower rate.
    """
    chance: Any = random.Random(seed)
    every = chance.choice((1, 1, 2, 3, 5, 10))
    rows = rows[::every] if thinned else rows
    h = {name: rows[:, i] for i, name in enumerate(HISTORY)}
    out: dict[str, np.ndarray] = {}
    unit: Any
    k: Any
    sign: Any
    truth: dict[str, tuple[str, str, int]] = {}

    def put(channel, column, unit, sign, values):
        out[column], truth[channel] = values, (column, unit, sign)

    unit, k = chance.choice((("s", 1.0), ("ms", 1e3), ("us", 1e6)))
    start = chance.choice((0.0, 812.0))
    time = np.round((h["time_s"] - h["time_s"][0] + start) * k, 6)
    put("time_s", chance.choice(("time", "timestamp", "t")), unit, 1, time)
    unit = chance.choice(("us", "share", "percent"))
    style = chance.choice(STYLES["stick"])
    for axis in AXES:
        sign, x = chance.choice((1, -1)), h[f"stick_{axis}"]
        put(
            f"stick_{axis}",
            style.format(axis),
            unit,
            sign,
            {"us": 1500 + 500 * sign * x, "share": sign * x, "percent": 100 * sign * x}[unit],
        )
    x = h["stick_throttle"]
    put(
        "stick_throttle",
        style.format("throttle"),
        unit,
        1,
        {"us": 1000 + 1000 * x, "share": x, "percent": 100 * x}[unit],
    )
    unit, k = chance.choice((("rad", 1.0), ("deg", 1 / DEG)))
    mirrored = chance.choice(((1, 1, 1), (1, 1, 1), (1, -1, -1), (1, -1, 1), (1, 1, -1)))
    style = chance.choice(STYLES["angle"])
    for axis, name, sign in zip(AXES, ("roll", "pitch", "heading"), mirrored, strict=True):
        put(f"{name}_rad", style.format(axis), unit, sign, k * sign * h[f"shown_{name}_rad"])
    unit, k = chance.choice((("rad_s", 1.0), ("deg_s", 1 / DEG)))
    frame = chance.choice(((1, 1, 1), (1, -1, -1), "swapped"))
    order, signs = ((1, 0, 2), (1, 1, -1)) if frame == "swapped" else ((0, 1, 2), frame)
    odd = [chance.choice((1, 1, 1, 1, -1)) for _ in range(3)]
    style = chance.choice(STYLES["rate"][:2] if frame == "swapped" else STYLES["rate"])
    words = AXES if style.startswith("{") else BODY
    for i, axis in enumerate(AXES):
        sign = signs[i] * odd[i]
        put(
            named("rate", axis),
            style.format(words[order[i]]),
            unit,
            sign,
            k * sign * h[f"gyro_{BODY[i]}_rad_s"],
        )
    if chance.random() < 0.8:
        unit, k = chance.choice((("m_s2", 1.0), ("g", 1 / 9.80665)))
        style = chance.choice(STYLES["accel"])
        for i, axis in enumerate(BODY):
            put(
                f"accel_{axis}_m_s2",
                style.format(BODY[order[i]]),
                unit,
                signs[i],
                k * signs[i] * h[f"accel_{axis}_m_s2"],
            )
    places = chance.sample(PLACES, 4)
    unit = chance.choice(("us", "share", "percent"))
    by_place = chance.random() < 0.3
    style = chance.choice(STYLES["drive"])
    for i, place in enumerate(places):
        x = h[f"drive_{place}"]
        name = f"motor {place.replace('_', ' ')}" if by_place else style.format(i + 1)
        put(
            f"drive_{place}",
            name,
            unit,
            1,
            {"us": 1000 + 1000 * x, "share": x, "percent": 100 * x}[unit],
        )
    if chance.random() < 0.7:
        unit, k = chance.choice((("v", 1.0), ("mv", 1e3), ("cv", 100.0)))
        put("pack_v", "battery voltage", unit, 1, k * h["shown_pack_v"])
        unit, k = chance.choice((("a", 1.0), ("ma", 1e3), ("ca", 100.0)))
        put("pack_a", "current", unit, 1, k * h["shown_pack_a"])
    if chance.random() < 0.6:
        sign = chance.choice((1, 1, -1))
        put("armed", "armed", "flag", sign, h["armed"] if sign == 1 else 1.0 - h["armed"])
    names = list(out)
    chance.shuffle(names)
    return Disguise({name: out[name] for name in names}, truth)


def judged(disguise: Disguise, guesses: Guesses) -> dict[str, str]:
    """Return right, asked or wrong for every column, unit and sign, by `channel.key`."""
    found = {}
    for channel, truth in disguise.truth.items():
        draft = guesses.drafts[channel]
        if draft.found is None:
            found[f"{channel}.column"] = "asked"
            continue
        for key, true in zip(("column", "unit", "sign"), truth, strict=True):
            said = getattr(draft, key)
            found[f"{channel}.{key}"] = (
                "asked" if said == "ask" else "right" if said == true else "wrong"
            )
    return found
