"""A device that isn't there: the media library's own virtual joystick, reached with ctypes.

It goes through the very library pygame has loaded, so its motions come back as real events.
"""

import sys
from ctypes import (
    CDLL,
    POINTER,
    Structure,
    byref,
    c_char_p,
    c_int,
    c_int16,
    c_uint8,
    c_uint16,
    c_uint32,
    c_void_p,
)
from functools import lru_cache
from pathlib import Path

import pygame

VERSION = 1  # of the description below
FULL = 32767  # raw units at full travel, signed 16 bit


class _Description(Structure):
    _fields_ = (
        *((n, c_uint16) for n in ("version", "type", "naxes", "nbuttons", "nhats")),
        *((n, c_uint16) for n in ("vendor_id", "product_id", "padding")),
        *((n, c_uint32) for n in ("button_mask", "axis_mask")),
        ("name", c_char_p),
        *((n, c_void_p) for n in ("userdata", "update", "set_player", "rumble")),
        *((n, c_void_p) for n in ("rumble_triggers", "set_led", "send_effect")),
    )


def library_path() -> str | None:
    """Where the library that pygame has loaded lies; None if that can't be found out."""
    maps = Path("/proc/self/maps")
    if not maps.exists():
        return None
    files = {line.split()[-1] for line in maps.read_text().splitlines() if "/" in line}
    named = [f for f in files if Path(f).name.startswith(("libSDL2-2", "libSDL2.so"))]
    return named[0] if named else None


def missing() -> str | None:
    """Why there can be no virtual pad here; None if there can."""
    found = library_path()
    if found is not None:
        return None
    assert not sys.platform.startswith("linux"), "on Linux the library must be found"
    return "the loaded joystick library can't be found on this system"


@lru_cache(maxsize=1)
def _library() -> CDLL:
    path = library_path()
    assert path is not None
    lib = CDLL(path)
    lib.SDL_JoystickAttachVirtualEx.argtypes = (POINTER(_Description),)
    lib.SDL_JoystickOpen.argtypes = (c_int,)
    lib.SDL_JoystickOpen.restype = c_void_p
    lib.SDL_JoystickClose.argtypes = (c_void_p,)
    lib.SDL_JoystickClose.restype = None
    lib.SDL_JoystickInstanceID.argtypes = (c_void_p,)
    lib.SDL_JoystickGetDeviceInstanceID.argtypes = (c_int,)
    lib.SDL_JoystickSetVirtualAxis.argtypes = (c_void_p, c_int, c_int16)
    lib.SDL_JoystickSetVirtualButton.argtypes = (c_void_p, c_int, c_uint8)
    lib.SDL_JoystickDetachVirtual.argtypes = (c_int,)
    return lib


class VirtualPad:
    """A virtual device. Attach it with pygame's joystick part started; `unplug` takes it away."""

    def __init__(
        self, axes: int = 8, buttons: int = 8, name: str = "Test sticks", product: int = 7
    ) -> None:
        self._lib = _library()
        text = _Description(
            version=VERSION,
            type=0,  # unknown: generic axes, as transmitters appear
            naxes=axes,
            nbuttons=buttons,
            vendor_id=0x6D64,
            product_id=product,
            name=name.encode(),
        )
        self._text = text
        index = self._lib.SDL_JoystickAttachVirtualEx(byref(text))
        assert index >= 0, "no virtual device could be attached"
        self._handle = self._lib.SDL_JoystickOpen(index)
        assert self._handle
        self.instance = self._lib.SDL_JoystickInstanceID(self._handle)
        self.axes, self.buttons = axes, buttons

    def move(self, axis: int, value: float) -> None:
        """Put an axis at -1..1."""
        raw = round(max(-1.0, min(1.0, value)) * FULL)
        assert self._lib.SDL_JoystickSetVirtualAxis(self._handle, axis, raw) == 0

    def press(self, button: int, down: bool = True) -> None:
        """Press or let go of a button."""
        assert self._lib.SDL_JoystickSetVirtualButton(self._handle, button, int(down)) == 0

    @property
    def plugged(self) -> bool:
        """Whether it is still there."""
        return self._handle is not None

    def unplug(self) -> None:
        """Take it away; the library tells of it at the next pump of events."""
        if not self.plugged:
            return
        lib = self._lib
        for index in range(pygame.joystick.get_count()):
            if lib.SDL_JoystickGetDeviceInstanceID(index) == self.instance:
                assert lib.SDL_JoystickDetachVirtual(index) == 0
                break
        lib.SDL_JoystickClose(self._handle)
        self._handle = None
