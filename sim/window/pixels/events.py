"""From the media library's events to strokes, keys held and a pointer."""

from collections.abc import Iterable

import pygame

from sim.window.inputs import Inputs, Stroke

NAMES = {
    "left shift": "shift",
    "right shift": "shift",
    "left ctrl": "ctrl",
    "right ctrl": "ctrl",
    "page up": "pageup",
    "page down": "pagedown",
    "enter": "return",
}

NO_LETTER = 1 << 30  # 1; SDL: in the code of every key without a letter, and of those of the keypad


def name_of(key: int) -> str:
    """Return our name of a key."""
    name = pygame.key.name(key).lower()
    return NAMES.get(name, name)


def writes(key: int) -> bool:
    """Tell whether a key can write a letter; the library may give others that of a key held beside."""
    keypad = pygame.K_KP_DIVIDE <= key <= pygame.K_KP_PERIOD
    return keypad or not key & NO_LETTER


class Keyboard:
    """Follows keys and pointer over frames."""

    def __init__(self) -> None:
        self._down: dict[int, str] = {}
        self._button = False

    @property
    def down(self) -> frozenset[str]:
        """Return the keys that are down."""
        return frozenset(self._down.values())

    def inputs(self, events: Iterable[pygame.Event]) -> Inputs:
        """Return what happened in a frame."""
        found = Inputs(pointer=pygame.mouse.get_pos() if pygame.mouse.get_focused() else (-1, -1))
        for event in events:
            if event.type == pygame.KEYDOWN:
                self._key(event, found)
            elif event.type == pygame.KEYUP:
                self._down.pop(event.key, None)
            elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
                found.pressed = self._button = True
                found.pointer = event.pos
            elif event.type == pygame.MOUSEBUTTONUP and event.button == 1:
                found.released, self._button = True, False
                found.pointer = event.pos
            elif event.type == pygame.MOUSEWHEEL:
                found.wheel += event.precise_y
            elif event.type == pygame.WINDOWFOCUSLOST:
                self._down.clear()
        found.down = self._button
        found.held = self.down
        return found

    def _key(self, event: pygame.Event, found: Inputs) -> None:
        name = name_of(event.key)
        text = event.unicode if writes(event.key) and event.unicode.isprintable() else ""
        ctrl = bool(event.mod & pygame.KMOD_CTRL)
        if len(text) == 1 and not text.isspace() and not ctrl:
            name = text.lower()
        again = event.key in self._down
        self._down[event.key] = name
        shift = bool(event.mod & pygame.KMOD_SHIFT)
        found.strokes.append(Stroke(name, text, shift, ctrl, again))
