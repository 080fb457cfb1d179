"""What the buttons of the gamepad or transmitter in use do, in words beside those of the keys."""

from collections.abc import Collection

from sim.window.keys import BY_NAME, KeyMap
from sim.window.sticks.mapping import SWITCHES, Button, DeviceMapping, Lever, SwitchName

DOES: dict[SwitchName, str] = {
    "arm": "arms and disarms",
    "stop": "stops the motors",
    "mode": "changes the mode",
    "pause": "pauses",
    "hands": "held puts the hands on the aircraft",
    "check": "begins a check and is done with it",
}

AT_THE_BENCH: tuple[SwitchName, ...] = ("hands", "check")
ON_THE_PAD: tuple[SwitchName, ...] = ("arm", "stop")

FLYING: tuple[tuple[str, tuple[str, ...], SwitchName | None], ...] = (
    ("Cut: disarm now", ("cut",), "stop"),
    ("Arm, disarm", (), "arm"),
    ("Throttle up, down", ("stick-up", "stick-down"), None),
    ("Nose down, up", ("nose-down", "nose-up"), None),
    ("Roll left, right", ("roll-left", "roll-right"), None),
    ("Yaw left, right", ("yaw-left", "yaw-right"), None),
    ("Throttle a hair up, down", ("fine-up", "fine-down"), None),
    ("Whole stick travel", ("firm",), None),
    ("Throttle right down", ("throttle-cut",), None),
    ("Self-level, rate", (), "mode"),
    ("Pause", ("pause",), "pause"),
    ("Slower, faster clock", ("slower", "faster"), None),
)  # what the pilot needs at a glance, the most pressing first


def cap_of(switch: Button | Lever) -> str:
    """Return what a switch is called, counted from one as the axes are."""
    return f"{switch.kind} {switch.index + 1}"


def flying(keys: KeyMap, device: DeviceMapping | None) -> list[tuple[str, list[str]]]:
    """Return what the pilot can do and the caps of it; a device that has the sticks takes their keys."""
    found = []
    for words, names, switch in FLYING:
        caps = [keys.cap(n) for n in names if device is None or not BY_NAME[n].held]
        caps += buttons(device, switch)
        if caps:
            found.append((words, caps))
    return found


def buttons(device: DeviceMapping | None, switch: SwitchName | None) -> list[str]:
    """Return the cap of a switch of the device in use, if it has that."""
    found = device.switches() if device is not None else {}
    return [cap_of(found[switch])] if switch in found else []


def either(cap: str, device: DeviceMapping | None, switch: SwitchName) -> str:
    """Return a key or the device's switch for the same: `X or button 2`."""
    return " or ".join((cap, *buttons(device, switch)))


STICKS = {"Tab": "yaw", "↑ ↓": "pitch", "← →": "roll"}  # by the cap of the keys it is on sheets
ON_SHEETS = "On the other sheets pitch and roll are the arrow keys, yaw goes onward"


def on_sheet(cap: str, keys: KeyMap, device: DeviceMapping | None) -> list[str]:
    """Return what of a device does on a sheet what the key with this cap does."""
    if device is None:
        return []
    if cap in STICKS:
        return [STICKS[cap]]
    switches: dict[str, SwitchName] = {"Enter": "check", keys.cap("pause"): "pause"}
    return buttons(device, switches.get(cap))


def on_sheets(device: DeviceMapping) -> str:
    """Return what a device does on the sheets where it flies nothing, in a sentence."""
    does: tuple[tuple[SwitchName, str], ...] = (("check", "presses"), ("pause", "leads out"))
    told = [f"{cap} {words}" for name, words in does for cap in buttons(device, name)]
    return f"{', '.join((ON_SHEETS, *told))}."


def told(device: DeviceMapping, of: Collection[SwitchName] = SWITCHES) -> str:
    """Return what some switches of a device do, or all, in a sentence."""
    there = device.switches().items()
    does = [f"{cap_of(at)} {DOES[name]}" for name, at in there if name in of]
    if not does:
        return f"{device.name} has the sticks; the keys do the rest."
    return f"{device.name} has the sticks; {', '.join(does)}."


def told_at_a_check(device: DeviceMapping, on_the_pad: bool) -> str:
    """Return what of a device is said while a check is open: on the pad what turns and stops propellers."""
    return told(device, ON_THE_PAD if on_the_pad else AT_THE_BENCH)
