"""What a column's name says of it, in words of the trade at large."""

import re
from typing import NamedTuple

from sim.reproduce.channels import Kind
from sim.reproduce.importer.units import SPELT, stated

_KINDS: tuple[tuple[str, frozenset[str]], ...] = tuple(
    (kind, frozenset(words.split()))
    for kind, words in (
        # what is asked for, worked out beside, or of no use: never taken for what was measured
        ("other", "setpoint set desired des target ref reference demand demanded goal wanted wish error err "
                  "integral int derivative temperature temp gps mode count counter index frame loop load cpu "
                  "quality signal rssi lat lon latitude longitude var variance sigma std sum used capacity"),
        ("time", "time timestamp stamp clock elapsed seconds millis micros"),
        ("armed", "arm armed arming disarmed"),
        ("speed", "rpm revs"),
        ("accel", "acc accel accelerometer acceleration accelerations force"),
        ("field", "mag magnetometer magnetic compass field"),
        ("drive", "motor mot motors esc drive drives output out outputs actuator rotor pwm"),
        ("rate", "gyro gyr gyroscope rate rates omega angvel"),
        ("volt", "volt volts voltage"),
        ("amp", "current amps amp ampere amperes"),
        ("position", "north east altitude alt height pos position"),
        ("stick", "stick sticks rc radio receiver transmitter pilot input channel joystick lever "
                  "aileron ail elevator elev ele rudder rud throttle thr"),
        ("angle", "attitude att angle euler orientation phi theta psi bank heading hdg"),
    )
)  # fmt: skip
_AXES = {
    **dict.fromkeys(("roll", "aileron", "ail", "phi", "bank"), "roll"),
    **dict.fromkeys(("pitch", "elevator", "elev", "ele", "theta"), "pitch"),
    **dict.fromkeys(("yaw", "rudder", "rud", "psi", "heading", "hdg"), "yaw"),
    **dict.fromkeys(("throttle", "thr"), "throttle"),
}
_LETTERS = {"x": "roll", "y": "pitch", "z": "yaw"}
_ENDS = {**dict.fromkeys(("front", "fore", "f"), "front"), **dict.fromkeys(("rear", "back", "aft"), "rear")}  # fmt: skip
_SIDES = {"left": "left", "right": "right"}
_CORNERS = {
    **dict.fromkeys(("fl", "lf"), "front_left"),
    **dict.fromkeys(("fr", "rf"), "front_right"),
    **dict.fromkeys(("rr", "br"), "rear_right"),
    **dict.fromkeys(("rl", "bl", "lr"), "rear_left"),
}
_SHORT: dict[str, Kind] = {"a": "accel", "g": "rate", "w": "rate", "m": "field"}
_PQR = {"p": "roll", "q": "pitch", "r": "yaw"}
_WORD = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|[a-zµμ]+|[0-9]+")
_BRACKET = re.compile(r"[\[({<]([^\])}>]*)[\])}>]")
_POSITIONS = {
    **dict.fromkeys(("north",), "north"),
    **dict.fromkeys(("east",), "east"),
    **dict.fromkeys(("altitude", "alt", "height"), "height"),
}


class Meaning(NamedTuple):
    """What a name says; None for what it leaves open.

    kind : None if the name says none, `other` for what must not be taken for a channel; which : axis,
    place on the frame or side of the world; unit : words of the unit; number : one at its end.
    """

    kind: str | None
    which: str | None
    unit: str
    number: int | None
    aboard: bool | None

    def unit_of(self, kind: Kind) -> str | None:
        """Return the unit of a kind that the name states, if it does."""
        return stated(self.unit, kind)


def words_of(text: str) -> list[str]:
    """Return the words of a name, in small letters: `rollRate_2` is roll, rate, 2."""
    text = text.replace("µ", "u").replace("μ", "u").replace("°", "deg").replace("%", "percent")
    return [word.lower() for word in _WORD.findall(text)]


def meaning(name: str, unit_below: str = "") -> Meaning:
    """Return what a name says, with a unit that may stand in brackets or in a row below."""
    bracket = _BRACKET.search(name)
    outside = _BRACKET.sub(" ", name)
    words = words_of(outside)
    unit = " ".join(words_of(unit_below or (bracket[1] if bracket else "")))
    words, unit = (words, unit) if unit else _unit_at_end(words)
    kind = _kind(words, unit)
    number = int(words[-1][:6]) if words and words[-1].isdigit() else None
    which = _which(words, kind)
    seen = set(words)
    inside = True if seen & {"est", "estimate", "estimated", "aboard"} else None
    aboard = False if seen & {"true", "truth", "outside"} else inside
    kind = kind or _kind_by_unit(which, unit)
    return Meaning(kind, which, unit, number, aboard)


def _kind_by_unit(which: str | None, unit: str) -> str | None:
    """Return what the unit makes of a name that says an axis alone, or nothing."""
    spelt = SPELT.get(unit)
    if which is None:
        return {"v": "volt", "mv": "volt", "a": "amp", "ma": "amp"}.get(spelt or "")
    of_axis = {"rad": "angle", "deg": "angle", "rad_s": "rate", "deg_s": "rate"}
    return {**of_axis, "us": "stick", "percent": "stick"}.get(spelt or "")


def _unit_at_end(words: list[str]) -> tuple[list[str], str]:
    """Return the words without those of a unit at their end, and that unit."""
    for count in (3, 2, 1):
        tail = " ".join(words[-count:])
        if len(words) > count and tail in SPELT:
            return words[:-count], tail
    return words, ""


def _kind(words: list[str], unit: str) -> str | None:
    seen = set(words)
    if (seen & {"motor", "rotor", "esc", "propeller"} and seen & {"speed", "rpm"}) or unit == "rpm":
        return "speed"
    for kind, known in _KINDS:
        if seen & known:
            return kind
    if words in (["t"], ["ms"], ["us"], ["ns"]) or (words == ["t"] and unit):
        return "time"
    if words and words[0] in ("m", "u") and len(words) == 2 and words[1].isdigit():
        return "drive"
    if words and words[0] in ("ch", "c", "rx") and len(words) == 2 and words[1].isdigit():
        return "stick" if words[0] != "c" else None
    if words and len(words[0]) == 2 and words[0][0] in _SHORT and words[0][1] in _LETTERS:
        return _SHORT[words[0][0]]
    if len(words) == 2 and words[0] in _SHORT and words[1] in _LETTERS:
        return _SHORT[words[0]]
    if words and len(words) == 1 and words[0] in _PQR:
        return "rate"
    if seen & {"battery", "bat", "batt", "pack"}:
        return {"v": "volt", "mv": "volt", "a": "amp", "ma": "amp"}.get(unit)
    return None


def _which(words: list[str], kind: str | None) -> str | None:
    seen = set(words)
    if kind in ("drive", "speed"):
        return _place(words)
    if kind == "position":
        return next((_POSITIONS[word] for word in words if word in _POSITIONS), None)
    for word in words:
        if word in _AXES:
            return _AXES[word]
    letter = next((w for w in words if w in _LETTERS), None)
    letter = letter or next((w[1] for w in words if len(w) == 2 and w[0] in _SHORT and w[1] in _LETTERS), None)  # fmt: skip
    if letter is not None and kind in ("rate", "accel", "field"):
        return _LETTERS[letter]
    if kind == "rate" and len(seen) == 1 and words[0] in _PQR:
        return _PQR[words[0]]
    return None


def _place(words: list[str]) -> str | None:
    corner = next((_CORNERS[word] for word in words if word in _CORNERS), None)
    end = next((_ENDS[word] for word in words if word in _ENDS), None)
    side = next((_SIDES[word] for word in words if word in _SIDES), None)
    return corner or (f"{end}_{side}" if end and side else None)
