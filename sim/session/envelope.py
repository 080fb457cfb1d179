"""The drill of an attempt, in an envelope until the attempt is over.

A drill's file names what is hidden. While an attempt goes on, its folder keeps the drill packed, so
that nobody comes upon it by looking there; at the end it is laid open as `scenario.yaml`. It is no
secret from somebody who unpacks it on purpose.
"""

import zlib
from base64 import b64decode, b64encode
from pathlib import Path

from sim.aircraft.textfile import MAX_BYTES, write_text_atomic

SCENARIO = "scenario.yaml"
ENVELOPE = "scenario.sealed"


def seal(folder: Path, text: str) -> None:
    """Put a drill's text into the folder of an attempt, packed."""
    write_text_atomic(folder / ENVELOPE, b64encode(zlib.compress(text.encode())).decode() + "\n")


def unseal(folder: Path, text: str) -> None:
    """Lay the drill of an attempt open."""
    write_text_atomic(folder / SCENARIO, text)
    (folder / ENVELOPE).unlink(missing_ok=True)


def kept_in(folder: Path) -> Path:
    """Return the file that holds the drill of an attempt, open or sealed."""
    return folder / (ENVELOPE if (folder / ENVELOPE).exists() else SCENARIO)


def unpacked(content: str) -> str:
    """Return the text in an envelope; ValueError if it is not as `seal` packs one."""
    unpack = zlib.decompressobj()
    try:
        text = unpack.decompress(b64decode(content.strip(), validate=True), MAX_BYTES).decode()
    except zlib.error as error:
        raise ValueError(str(error)) from None
    if not unpack.eof:
        raise ValueError("cut short, or larger than any drill")
    return text
