"""Every act that has a key: its name, what it does in words, and the key it has at first.

Bench acts work while nothing turns; flight acts while armed; menu acts on every sheet that is neither
(drills, walk round, settings, pause, debrief, a run watched); general ones always. The same key may
serve an act of each of the three, never two acts that are there at the same time.
"""

from dataclasses import dataclass
from typing import Literal

When = Literal["always", "bench", "menu", "flight"]


@dataclass(frozen=True)
class Act:
    """One act with a key. `held`: works as long as the key is down."""

    name: str
    words: str
    key: str
    when: When
    held: bool = False


ACTS: tuple[Act, ...] = (
    Act("keys", "Show these keys", "?", "always"),
    Act("pause", "Pause, and the way out", "escape", "always"),
    Act("slower", "Slower clock", "-", "always"),
    Act("faster", "Faster clock", "=", "always"),
    Act("full-screen", "Whole screen or window", "f11", "always"),
    Act("text-size", "Next text size", "f10", "always"),
    Act("sound", "Sound on or off", "f9", "always"),
    Act("cut", "Cut: disarm now", "x", "always"),
    Act("page-card", "Folder: job card", "1", "bench"),
    Act("page-checks", "Folder: all checks", "2", "bench"),
    Act("page-setup", "Folder: setup sheet", "3", "bench"),
    Act("page-calibrate", "Folder: adjust, calibrations and link", "4", "bench"),
    Act("page-parts", "Folder: parts bin", "5", "bench"),
    Act("page-people", "Folder: people and room", "6", "bench"),
    Act("page-squawks", "Folder: squawk sheet", "7", "bench"),
    Act("page-log", "Folder: log of what was done", "8", "bench"),
    Act("page-sheet", "Folder: build sheet", "9", "bench"),
    Act("page-helper", "Folder: helper", "d", "bench"),
    Act("hint", "Ask the helper for a hint", "f", "bench"),
    Act("card-before", "Previous card or page", "[", "bench"),
    Act("card-after", "Next card or page", "]", "bench"),
    Act("call", "Make the card's call", "c", "bench"),
    Act("item", "Do the item marked, or on to the next open one", "n", "bench"),
    Act("squawk", "Write a squawk", "q", "bench"),
    Act("pack", "Plug or unplug the pack", "p", "bench"),
    Act("transmitter", "Transmitter on or off", "t", "bench"),
    Act("propellers", "Fit or take off the propellers", "o", "bench"),
    Act("carry", "Carry it somewhere", "g", "bench"),
    Act("hand", "Take the aircraft with the arrow keys", "h", "bench"),
    Act("sticks", "Take up the sticks, or put them down", "j", "bench"),
    Act("stop-switch", "Stop switch on or off", "backspace", "bench"),
    Act("instruments", "Display in front, or the reading", "i", "bench"),
    Act("done", "Done with the check begun by hand", "k", "bench"),
    Act("show-me", "Have the check shown once", "y", "bench"),
    Act("motor-test", "Motor test: one output by a slider", "u", "bench"),
    Act("nose-left", "In hand: nose to the left", ",", "bench"),
    Act("nose-right", "In hand: nose to the right", ".", "bench"),
    Act("level", "In hand: level again", "0", "bench"),
    Act("mode", "Mode switch: self-level or rate", "m", "bench"),
    Act("arm", "Arm the motors", "a", "bench"),
    Act("word", "The last word: hop or stay", "v", "bench"),
    Act("finish", "Finish and see the debrief", "e", "bench"),
    Act("turn-page", "Next page of the reading", "l", "bench"),
    Act("lines", "Pick a line of the reading", "r", "bench"),
    Act("note-line", "Write the line on the card", "w", "bench"),
    Act("bands", "Build sheet's band for the line", "s", "bench"),
    Act("sheet-value", "Take the build sheet's value", "b", "bench"),
    Act("practise", "Practise the drill", "p", "menu"),
    Act("watch", "Watch the stand-in do it", "w", "menu"),
    Act("another-seed", "Another seed", "n", "menu"),
    Act("settings", "Settings", "s", "menu"),
    Act("gamepads", "Gamepads and transmitters", "m", "menu"),
    Act("walk", "Walk round", "r", "menu"),
    Act("own", "Your own aircraft", "i", "menu"),
    Act("reported", "What somebody reported", "v", "menu"),
    Act("made", "Drills of your own", "a", "menu"),
    Act("told", "A failure, told in words", "q", "menu"),
    Act("work-out", "Go on with what is written or marked", "c", "menu"),
    Act("keep-file", "Keep the file of it", "y", "menu"),
    Act("blank", "A blank sheet", "h", "menu"),
    Act("quit", "Quit", "ctrl+q", "menu"),
    Act("page-before", "Previous page", "[", "menu"),
    Act("page-after", "Next page; of a run watched, the next act", "]", "menu"),
    Act("try-it", "Walk: try what the page offers", "d", "menu"),
    Act("again", "Begin again", "b", "menu"),
    Act("give-up", "Give the drill up", "g", "menu"),
    Act("save-drill", "Save the drill elsewhere", "e", "menu"),
    Act("hold", "Hold the run watched, or go on", "space", "menu"),
    Act("classroom", "The run for a class, with votes", "f2", "menu"),
    Act("open-page", "The run as a page, in the browser", "f3", "menu"),
    Act("teach", "Device: show it each stick", "t", "menu"),
    Act("skip", "Device: leave this one out", "l", "menu"),
    Act("keep", "Device: keep what was shown", "k", "menu"),
    Act("guess", "Device: try the usual order", "u", "menu"),
    Act("feel", "Device: how it feels", "f", "menu"),
    Act("save", "Device: keep how it feels", "o", "menu"),
    Act("first-keys", "Back to the first keys", "z", "menu"),
    Act("stick-up", "Throttle up", "w", "flight", held=True),
    Act("stick-down", "Throttle down", "s", "flight", held=True),
    Act("fine-up", "Throttle a hair up", "r", "flight", held=True),
    Act("fine-down", "Throttle a hair down", "f", "flight", held=True),
    Act("yaw-left", "Yaw left", "a", "flight", held=True),
    Act("yaw-right", "Yaw right", "d", "flight", held=True),
    Act("roll-left", "Roll left", "left", "flight", held=True),
    Act("roll-right", "Roll right", "right", "flight", held=True),
    Act("nose-down", "Stick forward, nose down", "up", "flight", held=True),
    Act("nose-up", "Stick back, nose up", "down", "flight", held=True),
    Act("firm", "Firm: whole stick travel", "shift", "flight", held=True),
    Act("hands-on", "Held: hands on the aircraft", "z", "flight", held=True),
    Act("throttle-cut", "Throttle right down", "space", "flight", held=True),
    Act("go-on", "Go on after a pause", "g", "flight"),
)
BY_NAME = {act.name: act for act in ACTS}

CAPS = {
    "escape": "Esc",
    "return": "Enter",
    "space": "Space",
    "left": "←",
    "right": "→",
    "up": "↑",
    "down": "↓",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "tab": "Tab",
    "shift": "Shift",
}  # what stands on a key cap
RESERVED = frozenset({"tab", "shift+tab", "return"})  # move and press the focus
MOVING = frozenset(
    {"left", "right", "up", "down", "home", "end", "pageup", "pagedown"}
)  # move lists, slides and choices, of which the sheets of menu acts are full


def cap_of(key: str) -> str:
    """Return what stands on the cap of a key."""
    parts = key.split("+") if len(key) > 1 else [key]
    return "+".join(CAPS.get(p, p.upper() if len(p) < 4 else p.capitalize()) for p in parts)


class KeyMap:
    """The keys in force: those of `ACTS`, changed by what the user has set."""

    def __init__(self, changed: dict[str, str] | None = None) -> None:
        self.changed = {n: k for n, k in (changed or {}).items() if n in BY_NAME}

    def key(self, name: str) -> str:
        """Return the key of an act."""
        return self.changed.get(name, BY_NAME[name].key)

    def cap(self, name: str) -> str:
        """Return what stands on the cap of an act's key."""
        return cap_of(self.key(name))

    def clash(self, name: str, key: str) -> str | None:
        """Return why an act can't have a key, or None if it can."""
        mine = BY_NAME[name].when
        if key in RESERVED or (key in MOVING and mine == "menu"):
            return f"{cap_of(key)} moves or presses what is marked; it can't be given away."
        for other in ACTS:
            together = "always" in (mine, other.when) or mine == other.when
            if other.name != name and together and self.key(other.name) == key:
                return f"{cap_of(key)} is taken: {other.words.lower()}."
        return None

    def with_key(self, name: str, key: str) -> "KeyMap":
        """Return the map with one act's key changed; KeyError if it clashes."""
        trouble = self.clash(name, key)
        if trouble is not None:
            raise KeyError(trouble)
        return KeyMap({**self.changed, name: key})
