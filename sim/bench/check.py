"""The kinds of check, and what each needs before it can be done."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from sim.aircraft.conduct import Conduct
from sim.bench.interlocks import reasons_not_to_arm
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Refusal
from sim.kernel.radio import Sticks
from sim.keys import CheckKey

Need = Literal[
    "powered", "unplugged", "linked", "props_off", "props_on", "in_hands", "standing", "clamped"
]

NEEDS: dict[Need, tuple[Callable[[Conduct], bool], str]] = {
    "powered": (lambda c: c.pack_plugged, "Plug the pack in first."),
    "unplugged": (lambda c: not c.pack_plugged, "Unplug the pack first."),
    "linked": (lambda c: c.transmitter_on, "Switch the transmitter on first."),
    "props_off": (lambda c: not c.props_fitted, "Take the propellers off first."),
    "props_on": (lambda c: c.props_fitted, "Fit the propellers first."),
    "in_hands": (lambda c: c.hold == "hands", "Take the aircraft in your hands first."),
    "standing": (lambda c: c.hold == "standing", "Set the aircraft down on its legs first."),
    "clamped": (lambda c: c.hold == "clamp", "Put the aircraft in the clamp first."),
}


@dataclass(frozen=True)
class Check:
    """Something a person does that yields a reading.

    code : our check list's number; minutes : what it costs; hurts : True if propellers turn.
    """

    key: CheckKey
    code: str
    title: str
    minutes: float
    needs: tuple[Need, ...]
    take: Callable[[Rig], Reading]
    asks: str
    caution: str = ""
    hurts: bool = False

    def missing(self, conduct: Conduct) -> list[str]:
        """Return what has to be done before this check can be."""
        return [words for met, words in (NEEDS[need] for need in self.needs) if not met(conduct)]


RUN_DOWN_LOOKS = 10  # own: half a second apart, longer than any propeller coasts
STANDING_RAD_S = 10.0  # rad/s; own: a rotor this slow is as good as still


def armed(rig: Rig) -> None:
    """Arm for a check, or refuse with the controller's own reasons."""
    rig.run(HANDS_OFF, 0.1)
    reasons = reasons_not_to_arm(rig)
    if reasons:
        raise Refusal("It will not arm. " + " ".join(reasons))
    rig.put("armed", 1.0)


def disarmed(rig: Rig) -> None:
    """Disarm and let the motors run down."""
    rig.put("armed", 0.0)
    for _ in range(RUN_DOWN_LOOKS):
        rig.run(HANDS_OFF, 0.5)
        if max(rig.value(f"rotors.{i}.motor.speed_rad_s") for i in range(4)) < STANDING_RAD_S:
            break


def sticks(
    throttle: float = 0.0, roll: float = 0.0, pitch: float = 0.0, yaw: float = 0.0
) -> Sticks:
    """Return stick positions with the transmitter on and the stop switch off."""
    return Sticks(roll, pitch, throttle, yaw, 1.0, 1.0, 0.0)
