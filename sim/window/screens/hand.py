"""The aircraft in the hands: arrow keys turn it by steps, a pull of the pointer as one likes."""

from math import exp, sqrt

from sim.kernel.frames import Quat, from_angles
from sim.session import actions as act
from sim.session.view import View
from sim.units import RAD_PER_DEG
from sim.window.canvas import Rect
from sim.window.handling import Pull
from sim.window.keys import KeyMap
from sim.window.screens.workplace import Workplace
from sim.window.ui import Ui

STEP_DEG = 45.0  # deg; own: an eighth of a turn for each stroke
SNAP_DEG = 5.0  # deg; own: a pose turned to by hand is said to this
EASE_S = 0.12  # s; own: time constant of the drawn turn
THERE = 1e-3  # of a quaternion, a tenth of a degree; own: nearer than the eye can tell
KEYS = {
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
    "up": (0, -1, 0),
    "down": (0, 1, 0),
}  # roll, pitch, heading
NOSE = {"nose-left": -1, "nose-right": 1}  # acts that turn the heading
MOST_DEG = 720.0  # deg; the furthest an action may say


class Hand:
    """The pose asked for, and the pose drawn on its way there."""

    def __init__(self) -> None:
        self.pose = [0.0, 0.0, 0.0]
        self.drawn: Quat | None = None
        self._asked: list[float] | None = [0.0, 0.0, 0.0]  # None: what is asked for is asked anew
        self._loose = False  # turned as one likes, since the last pose asked for

    def show(self, ui: Ui, desk: Workplace, rect: Rect, dt_s: float) -> None:
        """Take keys and drags; move the drawn pose along."""
        view = desk.practice.view
        held = ui.hand("craft", rect, "The aircraft in the hands")
        in_hands = view.conduct.hold == "hands"
        if not in_hands and not on_plate(view):
            self.rest()
            return
        before = list(self.pose)
        if held and not desk.practice.busy:
            self._keys(ui, in_hands)
        self._drag(ui, desk.app.pull)
        self._loose |= desk.practice.turning is not None
        if self._loose and self.pose == before and self._asked is not None:
            self._follow(view)
            return
        self._loose = False
        roll, pitch, heading = self.pose
        turn_it = act.Turn(roll_deg=roll, pitch_deg=pitch, heading_deg=heading)
        if self.pose != self._asked and desk.ask(turn_it):
            self._asked = list(self.pose)
        self._ease(view, dt_s)

    def _keys(self, ui: Ui, in_hands: bool) -> None:
        """Take the strokes that turn it; on its legs only the nose can be put another way."""
        for key, turn in KEYS.items():
            if in_hands and ui.inputs.take(key):
                self.pose = [
                    wrapped(p + STEP_DEG * t) for p, t in zip(self.pose, turn, strict=True)
                ]
        for name, way in NOSE.items():
            if ui.struck(name):
                self.pose[2] = wrapped(self.pose[2] + STEP_DEG * way)
        if ui.struck("level"):
            self.pose, self._asked = [0.0, 0.0, 0.0], None  # by hand it is never quite level

    def _follow(self, view: View) -> None:
        """Take the pose it has been turned to by the hands."""
        seen = view.aircraft
        angles = (seen.roll_rad, seen.pitch_rad, seen.heading_rad)
        self.pose = [round(angle / RAD_PER_DEG / SNAP_DEG) * SNAP_DEG for angle in angles]
        self._asked, self.drawn = list(self.pose), attitude_of(view)

    def _ease(self, view: View, dt_s: float) -> None:
        """Move the drawn pose on to the one it really has, which an act changes at a stroke."""
        there = attitude_of(view)
        share = 1.0 - exp(-dt_s / EASE_S) if dt_s > 0.0 and self.drawn is not None else 1.0
        here = self.drawn or there
        side = 1.0 if sum(a * b for a, b in zip(here, there, strict=True)) >= 0.0 else -1.0
        gaps = [side * b - a for a, b in zip(here, there, strict=True)]
        if max(abs(gap) for gap in gaps) < THERE:
            self.drawn = there
            return
        mixed = [a + gap * share for a, gap in zip(here, gaps, strict=True)]
        size = sqrt(sum(x * x for x in mixed))
        self.drawn = Quat(*(x / size for x in mixed))

    def hint(self, keys: KeyMap, view: View) -> str:
        """Return which keys turn it, and how it is held; nothing if they do not."""
        left, right, level = (keys.cap(name) for name in ("nose-left", "nose-right", "level"))
        roll, pitch, heading = self.pose
        if on_plate(view):
            return f"{left} {right} set it down with the nose round, now to {heading:.0f}°; {level} back."
        if view.conduct.hold != "hands":
            return ""
        return (
            f"← → roll, ↑ ↓ pitch, {left} {right} nose round, {level} level. "
            f"Now roll {roll:.0f}°, pitch {pitch:.0f}°, heading {heading:.0f}°."
        )

    def rest(self) -> None:
        """Forget the pose: the aircraft is set down, or has just been picked up."""
        self.pose, self._asked = [0.0] * 3, [0.0] * 3
        self.drawn, self._loose = None, False

    def _drag(self, ui: Ui, pull: Pull) -> None:
        """Let the hands follow the pointer; while they turn it, the pose is what it is."""
        if ui.dragging("craft"):
            pull.drag(ui.inputs.pointer, ui.unit, "shift" in ui.inputs.held)
        else:
            pull.rest()


def attitude_of(view: View) -> Quat:
    """Return how the aircraft lies in the hands."""
    seen = view.aircraft
    return Quat(*from_angles(seen.roll_rad, seen.pitch_rad, seen.heading_rad))


def on_plate(view: View) -> bool:
    """Tell whether it stands on the bench, where it can be set down with the nose another way."""
    return view.conduct.hold == "standing" and view.conduct.place == "bench"


def wrapped(angle_deg: float) -> float:
    """Return an angle that an action may say, the same pose."""
    return angle_deg if abs(angle_deg) <= MOST_DEG else angle_deg - 360.0 * (angle_deg // 360.0)
