"""A pad on the sheets where its sticks fly nothing: what it does there, as strokes of keys.

The pitch stick goes up and down, the roll stick left and right, the yaw stick on and back past lists;
the switch of the check presses, that of the pause leads out.
"""

from math import inf

from sim.window.controls import Pad
from sim.window.inputs import Stroke
from sim.window.keys import KeyMap
from sim.window.sticks.positions import Positions

FAR = 0.5  # 1; own: half the travel is meant, less is a thumb resting
BACK = 0.3  # 1; own: nearer the middle than this it has been let go
FIRST_S = 0.4  # s; own: as long as a key is held until it strikes again
AGAIN_S = 0.12  # s; own: slower than a key, as a thumb is late to let go

WAYS: tuple[tuple[str, int, str], ...] = (
    ("pitch", -1, "up"),
    ("pitch", 1, "down"),
    ("roll", -1, "left"),
    ("roll", 1, "right"),
    ("yaw", -1, "shift+tab"),
    ("yaw", 1, "tab"),
)  # function, its sign, and the key it is


def stroke(name: str, again: bool = False) -> Stroke:
    """Return the stroke of a key as a binding names it."""
    *with_it, key = name.split("+") if len(name) > 1 else [name]
    return Stroke(key, shift="shift" in with_it, ctrl="ctrl" in with_it, again=again)


class PadMoves:
    """Follows a pad's sticks over frames. A stick that is out when a sheet comes up does nothing yet."""

    def __init__(self) -> None:
        self._key = ""
        self._due_s = inf

    def strokes(
        self, pad: Pad | None, here: bool, typing: bool, keys: KeyMap, dt_s: float
    ) -> list[Stroke]:
        """Return what a frame's sticks and switches strike. here : the pad moves what is on show."""
        if pad is None or pad.mapping is None:
            self._key = ""
            return []
        key = self._way(pad.positions)
        if not here:
            self._key, self._due_s = key, inf
            return []
        found = self._moved(key, dt_s)
        if "check" in pad.went_on:
            found.append(stroke("return"))
        if "pause" in pad.went_on:
            found.append(stroke("escape" if typing else keys.key("pause")))
        return found

    def _way(self, now: Positions) -> str:
        """Return the key the stick is that is out farthest; none with all of them near the middle."""
        out = {key: sign * getattr(now, function) for function, sign, key in WAYS}
        if self._key and out[self._key] > BACK:
            return self._key
        best = max(out, key=lambda key: out[key])
        return best if out[best] > FAR else ""

    def _moved(self, key: str, dt_s: float) -> list[Stroke]:
        if key != self._key:
            self._key, self._due_s = key, FIRST_S
            return [stroke(key)] if key else []
        self._due_s -= dt_s
        if not key or self._due_s > 0.0:
            return []
        self._due_s = AGAIN_S
        return [stroke(key, again=True)]
