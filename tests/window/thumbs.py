"""Thumbs that can only hold keys down: which ones bring the sticks where they should be."""

from math import copysign

from sim.aircraft.fields import ChannelName
from sim.kernel.radio import Sticks
from sim.window.sticks.keysticks import GENTLE_SHARE, PUSH_1_S, THROTTLE_FINE
from sim.window.sticks.positions import Positions

FRAME_S = 0.02  # s; the pilot model's own pace
NEAR = 0.012  # 1; own: a stick this near to where it should be is left alone
STEP = PUSH_1_S * FRAME_S  # 1; how far a stick is pushed in a frame
BITS = 1e-4  # 1; sixteen bits of an axis
SPRUNG: tuple[ChannelName, ...] = ("roll", "pitch", "yaw")
KEYS_OF = {
    "roll": ("left", "right"),
    "pitch": ("up", "down"),
    "yaw": ("a", "d"),
    "throttle": ("s", "w"),
}
FIRM, HANDS_ON, DOWN = "shift", "z", "space"
FINE = ("f", "r")  # the throttle a hair down and up, once a stroke


def pushed(name: str, want: float, now: float) -> set[str]:
    """Return the keys that push a sprung stick to where it should be, or keep it there."""
    if want == 0.0:
        return set()
    key, away = KEYS_OF[name][want > 0.0], copysign(1.0, want) * (want - now)
    if abs(want) <= GENTLE_SHARE:
        other = KEYS_OF[name][want < 0.0]
        return {key} if away > NEAR else {other} if away < -NEAR else set()
    if away < -STEP:
        return set()  # the spring brings it back
    return {key, FIRM} if away > (0.5 * STEP if abs(want) < 1.0 else 0.0) else {key}


class Thumbs:
    """Both thumbs; a key that works once a stroke is let go in between."""

    def __init__(self) -> None:
        self._tapped = False

    def keys(self, want: Sticks, now: Positions) -> frozenset[str]:
        """Return the keys to be held in the next frame."""
        sprung = (pushed(name, getattr(want, name), now.of(name)) for name in SPRUNG)
        return frozenset().union(*sprung, self._throttle(want.throttle, now.throttle))

    def _throttle(self, want: float, now: float) -> set[str]:
        """Return the keys that move the throttle: to either end, else by a hair at last."""
        tapped, self._tapped = self._tapped, False
        if want <= 0.0:
            return {DOWN} if now > 0.0 else set()
        if abs(want - now) > NEAR or (want >= 1.0 and now < 1.0):
            return {KEYS_OF["throttle"][want > now]}
        if abs(want - now) > 0.5 * THROTTLE_FINE + 1e-9 and not tapped:
            self._tapped = True
            return {FINE[want > now]}
        return set()


def arrived(want: Sticks, now: Positions) -> bool:
    """Tell whether the sticks are where they should be."""
    sprung = (abs(getattr(want, name) - now.of(name)) for name in SPRUNG)
    throttle = abs(want.throttle - now.throttle)
    ends = want.throttle in (0.0, 1.0)
    return all(away <= STEP for away in sprung) and throttle <= (BITS if ends else THROTTLE_FINE)
