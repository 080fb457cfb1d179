"""Acts told in one line, for the log beside the picture."""

from sim.bench.checklist import CHECKS
from sim.session import actions as act
from sim.window import words
from sim.window.practice import Said
from sim.window.wording import HOLDS, PLACES_TOLD

SURE = ("a guess", "likely", "quite sure", "certain")
PLAIN = {
    "plug-pack": "Plugs the pack in",
    "unplug-pack": "Unplugs the pack",
    "disconnect": "Closes the connection",
    "load-software": "Loads the software",
    "fit-props": "Fits the propellers",
    "remove-props": "Takes the propellers off",
    "arm": "Arms",
    "disarm": "Disarms",
    "finish": "Finishes",
}


WHOLE = {
    "accel": "accelerometer",
    "baro": "barometer",
    "cal": "calibration",
    "cg": "centre of gravity",
    "mag": "compass",
    "prop": "propeller",
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
        said = words.spoken(key, float(number))
    except (ValueError, KeyError):
        return piece
    return f"{said.words} {said.amount}"


def told(action: act.Action) -> str:
    """Return what somebody does, in one line."""
    if action.do in PLAIN:
        return PLAIN[action.do]
    match action:
        case act.Read():
            return f"Check: {CHECKS[action.check].title}"
        case act.Squawk():
            sure = SURE[action.confidence - 1]
            return f"Squawk, {action.item}: {cause_words(action.cause)} ({sure})"
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
        case act.Turn():
            return (
                f"Turns it: roll {action.roll_deg:.0f}°, pitch {action.pitch_deg:.0f}°, "
                f"heading {action.heading_deg:.0f}°"
            )
        case _:
            return _rest(action)


def setting_words(action: act.Set) -> str:
    """Return what is set to what, in words."""
    try:
        said = words.setting(action.key, action.value)
    except (KeyError, ValueError):
        return f"{action.key} to {action.value}"
    return f"{said.words} to {said.amount}"


def in_words(said: Said) -> str:
    """Return what came of something, a setting in words."""
    if isinstance(said.action, act.Set) and not said.refused:
        return f"Set: {setting_words(said.action)}."
    return said.words


def _rest(action: act.Action) -> str:
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
        case act.Answer():
            if action.item == "complete":
                return f"Calls: “{action.value}”"
            return f"Writes: {written(action.value)}"
        case act.Declare():
            return f"Last word: {action.verdict}"
    return action.do
