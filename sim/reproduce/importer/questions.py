"""What a recording does not tell, as questions a person can answer from the logger's manual."""

from typing import NamedTuple

from sim.reproduce.channels import CHANNELS
from sim.reproduce.importer.guessing import Guesses
from sim.reproduce.importer.units import UNITS

_GROWS = {
    "stick_roll": "the roll stick goes right",
    "stick_pitch": "the pitch stick is pulled back, for nose up",
    "stick_throttle": "the throttle stick goes up",
    "stick_yaw": "the yaw stick goes right",
    "roll_rad": "the right side goes down",
    "pitch_rad": "the nose goes up",
    "heading_rad": "the nose turns right",
    "roll_rate_rad_s": "the right side is going down",
    "pitch_rate_rad_s": "the nose is going up",
    "yaw_rate_rad_s": "the nose is turning right",
    "north_m": "it goes north",
    "east_m": "it goes east",
    "height_m": "it goes up",
    "pack_a": "current is drawn from the pack",
    "armed": "the aircraft is armed",
}


class Question(NamedTuple):
    """One thing to be asked: channel and key of the map, in words, and whether it can't be left."""

    channel: str
    key: str
    words: str
    needed: bool


def grows_when(name: str) -> str:
    """Return what happens while a channel, counted our way, grows."""
    return _GROWS.get(name, f"the {CHANNELS[name].words} grows")


def questions(guesses: Guesses) -> list[Question]:
    """Return everything that is open, what can't be done without first."""
    found = []
    if guesses.attitude is None:
        words = "are the angles worked out aboard (aboard), or measured from outside (outside)?"
        found.append(Question("", "attitude", words, True))
    for name, draft in guesses.drafts.items():
        channel = CHANNELS[name]
        for key in draft.open:
            if key == "column":
                words = f"which column is the {channel.words}?"
            elif key == "unit":
                words = f"in what unit is {draft.column}? One of: {', '.join(UNITS[channel.kind])}"
            else:
                words = f"does {draft.column} grow (1) or fall (-1) when {grows_when(name)}?"
            found.append(Question(name, key, words, channel.needed))
    return sorted(found, key=lambda question: not question.needed)


def absent(guesses: Guesses) -> list[str]:
    """Return what can't be done without and a person has said is not in the recording."""
    return [
        CHANNELS[name].words
        for name, draft in guesses.drafts.items()
        if CHANNELS[name].needed and draft.column is None
    ]
