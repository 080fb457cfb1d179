"""Every sentence of the mapping helper, in one place."""

from sim.aircraft.fields import ChannelName
from sim.window.sticks.mapping import SwitchName
from sim.window.sticks.modes import stick_of

POSITIVE: dict[ChannelName, str] = {
    "roll": "all the way right",
    "pitch": "all the way back, towards you",
    "yaw": "all the way right",
    "throttle": "all the way up, away from you",
}
WAYS = {"x": "from side to side", "y": "away from you and back"}
SWITCH_WHAT: dict[SwitchName, str] = {
    "arm": "arms the motors",
    "stop": "stops the motors at once",
    "mode": "turns self-level on",
    "pause": "pauses the sandbox",
    "hands": "puts the hands on the aircraft while it is held",
    "check": "begins a check by hand, and is done with it",
}

REST = "Hands off both sticks for a second. If the throttle stays where it is left, leave it down."
SETTLE = "Let go of both sticks. Pull the throttle down first if no spring moves it."
LIVE = "Move the sticks to their ends and see whether the picture follows. Still to come: {left}."
LIVE_DONE = "All four have been seen at their ends. Keep this if the picture followed your hands."
DONE = "Kept."

SHAKY = "Something still moves. Let go of the sticks and leave the device lying."
TOO_LITTLE = "Nothing moved far enough. Move {what} fully to both ends."
TOO_NOISY = "That axis shakes too much to be trusted. Try again, or use another device."
SEVERAL = "Several axes moved together. Move one stick, one way only: {what}."
TAKEN = "That one is taken: {what}. Now move {wanted}."
ONE_SIDED = "Only half the travel was seen. Go to both ends, twice."
NOT_TWICE = "That was not to both ends twice. Start again with {what}."
NOT_BACK = "A stick is still held out. Let it go back to the middle first."
OTHER_HELD = "Another stick is held. Hold {what} instead."
THROUGH_MIDDLE = "Bring the stick to the middle, then push it {where} and hold it."
STILL_OUT = "Out of the middle: {what}. Let it go."
THROTTLE_UP = "The throttle is up. Pull it down."
STICK_MOVED = "That moved {what}. Use a switch or a button."
SWITCH_TAKEN = "That one already {what}. Use another, or leave this one out."
SEVERAL_SWITCHES = "Several things moved at once. Put them back and move one."
NOT_YET = "Not yet seen at its ends: {left}."


def stick_words(function: ChannelName, mode: int) -> str:
    """Return the stick that carries a function in words: `the left stick (yaw)`."""
    return f"the {stick_of(function, mode)[0]} stick ({function})"


def sweep(function: ChannelName, mode: int) -> str:
    """Return what to do to show a function's axis."""
    way = WAYS[stick_of(function, mode)[1]]
    return f"Move {stick_words(function, mode)} {way}, to both ends, twice. Then stop."


def hold(function: ChannelName, mode: int) -> str:
    """Return what to do to show which way is positive."""
    return f"Now hold {stick_words(function, mode)} {POSITIVE[function]}."


def flip(switch: SwitchName) -> str:
    """Return what to do to show a switch."""
    return (
        f"Flip the switch, or press the button, that {SWITCH_WHAT[switch]}; then take your hand "
        "off it. Or leave this one out."
    )
