"""Sticks moved by keys: held keys push them, springs bring them back, the throttle stays.

A held key pushes to the gentle end, with the firm key on to the whole travel; let go of that first and
the stick stays where it is until its own key is let go.

Speeds are integrated exactly, so two short steps end where one long step does. The names are those
of the acts in `sim.window.keys`.
"""

from dataclasses import dataclass

from sim.window.sticks.positions import Positions, clipped

PUSHES: dict[str, tuple[str, str]] = {
    "roll": ("roll-left", "roll-right"),
    "pitch": ("nose-down", "nose-up"),
    "yaw": ("yaw-left", "yaw-right"),
    "throttle": ("stick-down", "stick-up"),
}  # function: what pushes it down and up
FINE = {"fine-up": 1, "fine-down": -1}  # what moves the throttle one small step a stroke
FIRM = "firm"
CUT = "throttle-cut"

GENTLE_SHARE = 0.35  # 1; own: 7 degrees of the club trainer's 20, brisk enough for a hover
PUSH_1_S = 1.8  # 1/s; own: 0.2 s to the gentle end, a tap of 50 ms is a tenth of the travel
SPRING_1_S = 3.6  # 1/s; own: back twice as fast as out, like a spring
THROTTLE_SLOW_1_S = 0.12  # 1/s; own: a tap of 50 ms is about half a per cent of thrust command
THROTTLE_QUICK_1_S = 0.60  # 1/s; own: bottom to hover in a good second when held
THROTTLE_FINE = 0.004  # share; own: less than a hover's throttle tells up from down
THROTTLE_WARM_UP_S = 1.0  # s; own: time held until the throttle moves at its quick speed


@dataclass(frozen=True)
class KeyFeel:
    """How keys move the sticks; shares of full travel and seconds."""

    gentle_share: float = GENTLE_SHARE
    push_1_s: float = PUSH_1_S
    spring_1_s: float = SPRING_1_S
    throttle_slow_1_s: float = THROTTLE_SLOW_1_S
    throttle_quick_1_s: float = THROTTLE_QUICK_1_S
    throttle_warm_up_s: float = THROTTLE_WARM_UP_S

    def throttle_travel(self, held_s: float) -> float:
        """Return how far the throttle has come after a key was held this long."""
        gain = (self.throttle_quick_1_s - self.throttle_slow_1_s) / self.throttle_warm_up_s
        warm_s = min(held_s, self.throttle_warm_up_s)
        rest_s = held_s - warm_s
        warming = self.throttle_slow_1_s * warm_s + 0.5 * gain * warm_s * warm_s
        return warming + self.throttle_quick_1_s * rest_s


def _direction(held: frozenset[str], function: str) -> int:
    """Return -1, 0 or 1: opposite keys cancel."""
    down, up = PUSHES[function]
    return (up in held) - (down in held)


def _approached(value: float, target: float, reach: float) -> float:
    return target if abs(target - value) <= reach else value + (reach if target > value else -reach)


class KeySticks:
    """Four functions moved by keys. `set` puts them somewhere, as a change of device needs."""

    def __init__(self, feel: KeyFeel | None = None) -> None:
        self.feel = feel or KeyFeel()
        self.set(Positions(0.0, 0.0, 0.0, 0.0))

    def set(self, positions: Positions) -> None:
        """Put the sticks somewhere; keys act from there."""
        self._sprung = {n: positions.of(n) for n in ("roll", "pitch", "yaw")}
        self._throttle = positions.throttle
        self._going, self._held_s = 0, 0.0
        self._fine: frozenset[str] = frozenset()
        self._waits = False  # after a cut: until the throttle key has been let go

    def step(self, held: frozenset[str], dt_s: float) -> Positions:
        """Return where the sticks are after `dt_s` seconds with these keys down."""
        for function in self._sprung:
            self._spring(function, held, dt_s)
        self._move_throttle(held, dt_s)
        s = self._sprung
        return Positions(s["roll"], s["pitch"], self._throttle, s["yaw"])

    def _spring(self, function: str, held: frozenset[str], dt_s: float) -> None:
        feel, value = self.feel, self._sprung[function]
        way, end = _direction(held, function), 1.0 if FIRM in held else feel.gentle_share
        target = way * max(end, way * value)  # a thumb keeps what it has pushed further
        if value * target < 0.0 or abs(value) > abs(target):  # inwards first, by the spring
            inner = 0.0 if value * target <= 0.0 else target
            inward_s = min(dt_s, abs(value - inner) / feel.spring_1_s)
            value = _approached(value, inner, feel.spring_1_s * inward_s)
            dt_s -= inward_s
        if dt_s > 0.0 and abs(target) > abs(value):
            value = _approached(value, target, feel.push_1_s * dt_s)
        self._sprung[function] = value

    def _move_throttle(self, held: frozenset[str], dt_s: float) -> None:
        going = _direction(held, "throttle")
        fine = held & FINE.keys()
        by = THROTTLE_FINE * sum(FINE[name] for name in fine - self._fine)
        self._throttle, self._fine = clipped(self._throttle + by, 0.0, 1.0), fine
        if CUT in held:
            self._throttle, self._waits = 0.0, True
        if going != self._going:
            self._going, self._held_s = going, 0.0
        if CUT in held or (self._waits and going > 0):
            self._held_s = 0.0
            return
        self._waits = False
        if going:
            feel, before = self.feel, self._held_s
            self._held_s += dt_s
            travel = feel.throttle_travel(self._held_s) - feel.throttle_travel(before)
            if FIRM in held:
                travel = feel.throttle_quick_1_s * dt_s
            self._throttle = clipped(self._throttle + going * travel, 0.0, 1.0)
