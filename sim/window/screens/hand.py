"""The aircraft in the hands: arrow keys, drag or pad turn it."""

from math import exp

from sim.kernel.frames import Quat, from_angles
from sim.session import actions as act
from sim.units import RAD_PER_DEG
from sim.window.canvas import Point, Rect
from sim.window.keys import KeyMap
from sim.window.screens.workplace import Workplace
from sim.window.sticks.positions import Positions
from sim.window.ui import Ui

STEP_DEG = 45.0  # deg; own: an eighth of a turn for each stroke
DRAG_DEG_PX = 0.5  # deg/px; own: at the scale of a 720-line window
SNAP_DEG = 5.0  # deg; own: a dragged pose is taken to this
EASE_S = 0.12  # s; own: time constant of the drawn turn
KEYS = {
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
    "up": (0, -1, 0),
    "down": (0, 1, 0),
}  # roll, pitch, heading
NOSE = {"nose-left": -1, "nose-right": 1}  # acts that turn the heading
FLICK, LET_GO = 0.6, 0.3  # 1; own: stick travel that is a flick, and that is none any more
MOST_DEG = 720.0  # deg; the furthest an action may say


class Hand:
    """The pose asked for, and the pose drawn on its way there."""

    def __init__(self) -> None:
        self.pose = [0.0, 0.0, 0.0]
        self.drawn: Quat | None = None
        self._at = [0.0, 0.0, 0.0]
        self._asked = [0.0, 0.0, 0.0]
        self._out = False
        self._from: Point | None = None
        self._start = [0.0, 0.0, 0.0]

    def show(self, ui: Ui, desk: Workplace, rect: Rect, dt_s: float) -> None:
        """Take keys and drags; move the drawn pose along."""
        view = desk.practice.view
        held = ui.hand("craft", rect, "The aircraft in the hands")
        if view.conduct.hold != "hands":
            self.rest()
            return
        if held and not desk.practice.busy:
            for key, turn in KEYS.items():
                if ui.inputs.take(key):
                    self.pose = [
                        wrapped(p + STEP_DEG * t) for p, t in zip(self.pose, turn, strict=True)
                    ]
            for name, way in NOSE.items():
                if ui.struck(name):
                    self.pose[2] = wrapped(self.pose[2] + STEP_DEG * way)
            if ui.struck("level"):
                self.pose = [0.0, 0.0, 0.0]
        self._flicked(desk.app.controls.positions, desk.app.pad is not None)
        self._drag(ui)
        roll, pitch, heading = self.pose
        turn_it = act.Turn(roll_deg=roll, pitch_deg=pitch, heading_deg=heading)
        if self.pose != self._asked and self._from is None and desk.ask(turn_it):
            self._asked = list(self.pose)
        share = 1.0 - exp(-dt_s / EASE_S) if dt_s > 0.0 else 1.0
        self._at = [a + (p - a) * share for a, p in zip(self._at, self.pose, strict=True)]
        angles = (a * RAD_PER_DEG for a in self._at)
        self.drawn = from_angles(*angles)

    def _flicked(self, sticks: Positions, by_pad: bool) -> None:
        """Turn it by an eighth for each flick of a pad's stick; between flicks it is let go."""
        ways = [_way(x) for x in (sticks.roll, sticks.pitch, sticks.yaw)]
        if by_pad and not self._out and any(ways):
            self.pose = [wrapped(p + STEP_DEG * w) for p, w in zip(self.pose, ways, strict=True)]
        self._out = by_pad and any(abs(x) > LET_GO for x in (sticks.roll, sticks.pitch, sticks.yaw))

    def hint(self, keys: KeyMap) -> str:
        """Return which keys turn it, and how it is held."""
        left, right, level = (keys.cap(name) for name in ("nose-left", "nose-right", "level"))
        roll, pitch, heading = self.pose
        return (
            f"← → roll, ↑ ↓ pitch, {left} {right} nose round, {level} level. "
            f"Now roll {roll:.0f}°, pitch {pitch:.0f}°, heading {heading:.0f}°."
        )

    def rest(self) -> None:
        """Forget the pose: the aircraft is set down, or has just been picked up."""
        self.pose, self._at, self._asked = [0.0] * 3, [0.0] * 3, [0.0] * 3
        self.drawn = None

    def _drag(self, ui: Ui) -> None:
        if ui.dragging("craft"):
            if self._from is None:
                self._from, self._start = ui.inputs.pointer, list(self.pose)
            dx = (ui.inputs.pointer[0] - self._from[0]) / ui.unit * DRAG_DEG_PX
            dy = (ui.inputs.pointer[1] - self._from[1]) / ui.unit * DRAG_DEG_PX
            turn = "shift" in ui.inputs.held
            moved = (0.0 if turn else dx, dy, dx if turn else 0.0)
            self.pose = [
                wrapped(round((s + m) / SNAP_DEG) * SNAP_DEG)
                for s, m in zip(self._start, moved, strict=True)
            ]
        else:
            self._from = None


def _way(travel: float) -> int:
    """Return which way a stick was flicked: -1, 0 or 1."""
    return (travel > FLICK) - (travel < -FLICK)


def wrapped(angle_deg: float) -> float:
    """Return an angle that an action may say, the same pose."""
    return angle_deg if abs(angle_deg) <= MOST_DEG else angle_deg - 360.0 * (angle_deg // 360.0)
