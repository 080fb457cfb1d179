"""Actions in words: what somebody is seen to do, and what the log says of it."""

from sim.aircraft.fields import CHANNELS
from sim.bench.checklist import CHECKS
from sim.session import actions as act
from sim.window.names import HOLDS, PLACES_TOLD, SETTINGS
from sim.window.values import reading_told, setting_told

SURE = ("a guess", "likely", "quite sure", "nearly certain")
SEEN_AND_LOGGED: dict[str, tuple[str, str]] = {
    "plug-pack": ("Plugging in; the controller starts", "Plugs the pack in"),
    "unplug-pack": ("Unplugging", "Unplugs the pack"),
    "disconnect": ("Closing the connection", "Closes the connection"),
    "load-software": ("Loading the software", "Loads the software"),
    "fit-props": ("Fitting the propellers", "Fits the propellers"),
    "remove-props": ("Taking the propellers off", "Takes the propellers off"),
    "arm": ("Arming", "Arms"),
    "disarm": ("Disarming", "Disarms"),
    "finish": ("Packing up", "Finishes"),
    "hint": ("Asking the helper", "Asks the helper for a hint"),
    "done": ("Reading what was seen", "Done: reads what was seen"),
}  # actions that are always the same
SEEN: dict[str, str] = {name: seen for name, (seen, _) in SEEN_AND_LOGGED.items()} | {
    "switch-transmitter": "At the transmitter's switch",
    "cable": "At the cable",
    "connect": "Opening the connection",
    "prepare": "Seeing to people and room",
    "fit-prop": "Fitting a propeller",
    "remove-prop": "Taking a propeller off",
    "carry": "Carrying it",
    "turn": "Turning it in the hands",
    "squawk": "Writing a squawk",
    "withdraw": "Striking a squawk out",
    "set": "Changing the setup sheet",
    "swap": "At the parts bin",
    "calibrate": "Calibrating",
    "wait": "Waiting",
    "set-mode": "At the mode switch",
    "answer": "Writing on the card",
    "declare": "The last word",
}  # the others: what is logged of them says more
WHOLE = {
    "accel": "accelerometer",
    "baro": "barometer",
    "cal": "calibration",
    "cg": "centre of gravity",
    "mag": "compass",
    "prop": "propeller",
    "props": "propellers",
    "volt": "voltage",
}  # short words of the catalogue in full


def cause_words(cause: str) -> str:
    """Return a cause of the catalogue in words."""
    return " ".join(WHOLE.get(word, word) for word in cause.split("-"))


def written(value: str) -> str:
    """Return what was written on a card, with readings named by key told in words."""
    return ", ".join(_piece(piece) for piece in value.split(", "))


def _piece(piece: str) -> str:
    key, _, number = piece.rpartition(" ")
    try:
        said = reading_told(key, float(number))
    except (ValueError, KeyError):
        return piece
    return f"{said.words} {said.amount}"


def seen(action: act.Action) -> str:
    """Return what somebody doing an action is seen to do."""
    if isinstance(action, act.Read | act.Begin):
        return f"Check: {CHECKS[action.check].title}"
    return SEEN[action.do]


def logged(action: act.Action) -> str:
    """Return what the log says somebody does."""
    match action:
        case act.Read():
            return f"Check: {CHECKS[action.check].title}"
        case act.Begin():
            return f"Begins by hand: {CHECKS[action.check].title}"
        case act.Squawk():
            sure = SURE[action.confidence - 1]
            on = f", on {line_words(action.line)}" if action.check else ""
            return f"Squawk, {action.item}: {cause_words(action.cause)} ({sure}){on}"
        case act.Withdraw():
            return f"Strikes out the squawk about {action.item}"
        case act.Set():
            return f"Sets {setting_words(action)}"
        case act.Swap():
            return f"Parts bin: {action.part.replace('-', ' ')}"
        case act.Calibrate():
            return f"Calibration: {action.what.replace('-', ' ')}"
        case act.Prepare():
            return f"Sees to: {action.what.replace('-', ' ')}"
        case act.Carry():
            return f"Carries it: {PLACES_TOLD[action.to]}, {HOLDS[action.hold]}"
        case act.FitProp():
            return f"Fits {piece_words(action.piece)} at the {_plain(action.place)}, {_how(action)}"
        case act.RemoveProp():
            return f"Takes the propeller at the {_plain(action.place)} off"
        case act.Turn():
            return (
                f"Turns it: roll {action.roll_deg:.0f}°, pitch {action.pitch_deg:.0f}°, "
                f"heading {action.heading_deg:.0f}°"
            )
        case act.Answer(item="complete"):
            return f"Calls: “{action.value}”"
        case act.Answer():
            return f"Writes: {written(action.value)}"
        case _:
            return _short(action)


def _plain(name: str) -> str:
    return name.replace("_", " ").replace("-", " ")


def _how(action: act.FitProp) -> str:
    return f"{_plain(action.face)}, {_plain(action.tightness)}"


def piece_words(piece: str) -> str:
    """Return which propeller is taken: one of the aircraft's own by its corner, or one of the shelf."""
    if "-" not in piece:
        return f"the one of the {_plain(piece)}"
    kind, _, hand = piece.partition("-")
    return f"a {_plain(hand)} one of the shelf" + (", a smaller" if kind == "smaller" else "")


def fix_words(fix: str) -> str:
    """Return what was changed, as fixes are spelt, in words."""
    kind, _, what = fix.partition(":")
    if what:
        told = {"swap": "parts bin", "calibrate": "calibration", "prepare": "preparation"}[kind]
        return f"{what.replace('-', ' ')} ({told})"
    if not fix.startswith("setup."):
        return fix.replace("-", " ")
    channel = fix.split(".")[-2] if fix.split(".")[-2] in CHANNELS else ""
    name = SETTINGS[fix.rpartition(".")[2]][0]
    return f"{channel} {name} (setting)".strip()


def line_words(key: str) -> str:
    """Return a line of a reading in words; the key itself where it is none."""
    try:
        return reading_told(key, 0.0).words
    except KeyError:
        return key


def _short(action: act.Action) -> str:
    match action:
        case act.SwitchTransmitter():
            return f"Transmitter {'on' if action.on else 'off'}"
        case act.Cable():
            return f"Cable {'in' if action.plugged else 'out'}"
        case act.Connect():
            return f"Connects by {action.by} at {action.rate_bd} Bd"
        case act.Wait():
            return f"Waits {action.minutes:g} minutes"
        case act.SetMode():
            return f"Mode switch: {'self-level' if action.self_level else 'rate'}"
        case act.Declare():
            return f"Last word: {action.verdict}"
        case _:
            return SEEN_AND_LOGGED[action.do][1]


def setting_words(action: act.Set) -> str:
    """Return what is set to what, in words."""
    try:
        said = setting_told(action.key, action.value)
    except (KeyError, ValueError):
        return f"{action.key} to {action.value}"
    return f"{said.words} to {said.amount}"
