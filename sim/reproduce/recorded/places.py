"""Where a fault sits or which way it goes, in words, read off what it changes."""

from math import atan2, hypot, pi
from typing import Any

from sim.aircraft.fields import CHANNELS, PLACES

EIGHTHS = ("nose", "front right", "right", "rear right", "tail", "rear left", "left", "front left")
FLAT = 0.5  # of the level part; own: steeper than that it goes up or down


def _towards(forward: float, right: float) -> str:
    return EIGHTHS[round(4.0 * atan2(right, forward) / pi) % 8]


def _vector(value: tuple[float, ...]) -> str | None:
    forward, right, down = value
    level = hypot(forward, right)
    if level == 0.0 and down == 0.0:
        return None
    if level < FLAT * abs(down):
        return "down" if down > 0.0 else "up"
    return _towards(forward, right)


def _difference(old: Any, new: Any) -> tuple[float, ...]:
    return tuple(b - a for a, b in zip(old, new, strict=True))


def place_of(changed: dict[str, tuple[Any, Any]]) -> str | None:
    """Return the place or direction of what was changed, by key: (before, after); None if it has none."""
    corners = [place for place in PLACES if any(f".{place}." in key for key in changed)]
    if corners:
        return " and ".join(place.replace("_", " ") for place in corners)
    for key, (old, new) in changed.items():
        last = key.rpartition(".")[2]
        if last == "leg_lift_m":
            return PLACES[max(range(4), key=lambda i: new[i] - old[i])].replace("_", " ")
        if isinstance(new, tuple) and len(new) == 3 and isinstance(new[0], float):
            return _vector(_difference(old, new))
    trims = {axis: changed.get(f"setup.level_trim_{axis}_deg") for axis in ("roll", "pitch")}
    if any(trims.values()):
        roll, pitch = ((0.0 if t is None else t[1] - t[0]) for t in trims.values())
        words = [word for size, word in ((pitch, "nose up" if pitch > 0 else "nose down"),
                                         (roll, "right down" if roll > 0 else "left down"))
                 if abs(size) > FLAT * max(abs(roll), abs(pitch))]  # fmt: skip
        return ", ".join(words)
    winds = {axis: changed.get(f"site.wind_{axis}_m_s") for axis in ("north", "east")}
    if any(winds.values()):
        north, east = ((0.0 if w is None else w[1] - w[0]) for w in winds.values())
        return f"towards {('north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west')[round(4.0 * atan2(east, north) / pi) % 8]}"
    axes = [a for a in CHANNELS
            if any(f".{a}." in key or key.endswith((f".{a}", f".{a}_sense")) for key in changed)]  # fmt: skip
    return " and ".join(axes) if axes else None
