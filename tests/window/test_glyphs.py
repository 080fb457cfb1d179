"""Every letter a screen may write is in the fonts it may be written in."""

import ast
from pathlib import Path

import pytest
from matplotlib.ft2font import FT2Font

from sim.paths import assets_dir

WINDOW = Path(__file__).parents[2] / "sim" / "window"
FONTS = sorted((assets_dir() / "fonts").glob("*.ttf"))
ARROWS, OHM = set("←↑→↓"), {"Ω"}
NEVER = {
    "AtkinsonHyperlegible": ARROWS,  # names of keys are written in the other face
    "IBMPlexMono": OHM,  # units stand in words beside the number
    "Kalam": ARROWS | OHM,  # pencilled words have neither
}  # what a face is never asked to write


def letters() -> set[str]:
    """Return all letters of all words in the sources of the window."""
    nodes = (
        node for path in WINDOW.rglob("*.py") for node in ast.walk(ast.parse(path.read_text()))
    )
    found = {
        c
        for n in nodes
        if isinstance(n, ast.Constant) and isinstance(n.value, str)
        for c in n.value
    }
    return {c for c in found if c.isprintable()}


@pytest.mark.parametrize("font", FONTS, ids=lambda path: path.stem)
def test_no_letter_is_missing(font):
    known = FT2Font(str(font)).get_charmap()
    assert len(known) > 100
    asked = letters() - NEVER[font.stem.partition("-")[0]]
    assert not sorted(c for c in asked if ord(c) not in known)
