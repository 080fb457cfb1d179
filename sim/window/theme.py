"""Colours, type and sizes of the window: a workshop's paper, ink and pencil.

Contrast is that of WCAG 2.2, 1.4.3 (text) and 1.4.11 (lines that matter); a test holds every pair
in `TEXT_ON` to it. Red is kept for warnings and amber for cautions (14 CFR 25.1322).
"""

from typing import Literal, NamedTuple

Colour = tuple[int, int, int]
Face = Literal["plain", "bold", "mono", "mono-bold", "pencil"]

PAPER: Colour = (246, 240, 224)  # own: unbleached job-card paper
PAPER_SHADE: Colour = (233, 225, 203)  # own: a sheet lying under another
PAPER_LINE: Colour = (212, 202, 178)  # own: ruled lines, decoration only
TAPE: Colour = (226, 208, 160)  # own: masking tape
INK: Colour = (34, 36, 43)  # own: dark ink
INK_SOFT: Colour = (88, 86, 84)  # own: print of lesser rank
PENCIL: Colour = (52, 66, 112)  # own: what the trainee wrote
BENCH: Colour = (48, 45, 42)  # own: dark wood below the papers
BENCH_LIGHT: Colour = (74, 69, 63)  # own: edge of the wood
CHALK: Colour = (236, 231, 218)  # own: writing on the dark wood
CHALK_SOFT: Colour = (186, 179, 165)  # own: lesser writing on the wood
FOCUS: Colour = (20, 96, 120)  # own: ring round what the keys act on
PICKED: Colour = (221, 228, 222)  # own: paper under what is picked
WARNING: Colour = (158, 24, 24)  # 14 CFR 25.1322: red for warnings
CAUTION: Colour = (255, 191, 64)  # 14 CFR 25.1322: amber for cautions, under dark ink
STAMP_GOOD: Colour = (30, 84, 98)  # own: rubber stamp of a good verdict, blue-green ink

TEXT_ON: tuple[tuple[Colour, Colour], ...] = (
    (INK, PAPER),
    (INK, PAPER_SHADE),
    (INK, TAPE),
    (INK, PICKED),
    (INK, CAUTION),
    (INK_SOFT, PAPER),
    (INK_SOFT, PAPER_SHADE),
    (PENCIL, PAPER),
    (PENCIL, PICKED),
    (CHALK, BENCH),
    (CHALK, BENCH_LIGHT),
    (CHALK_SOFT, BENCH),
    (WARNING, PAPER),
    (PAPER, WARNING),
    (FOCUS, PAPER),
    (PAPER, FOCUS),
    (STAMP_GOOD, PAPER),
)  # writing and the ground it may stand on
LEAST_CONTRAST = 4.5  # 1; WCAG 2.2, 1.4.3 for text

DASHES: tuple[tuple[int, ...], ...] = (
    (),
    (9, 4),
    (2, 3),
    (9, 3, 2, 3),
)  # px; own: lines told apart


class Type(NamedTuple):
    """A way of writing: face, size at 100 % (px of a 720-line window) and colour."""

    face: Face
    size: int
    colour: Colour

    def on(self, colour: Colour) -> "Type":
        """Return the same type in another colour."""
        return Type(self.face, self.size, colour)


TITLE = Type("bold", 22, INK)
HEAD = Type("bold", 16, INK)
BODY = Type("plain", 15, INK)
BODY_BOLD = Type("bold", 15, INK)
SMALL = Type("plain", 13, INK_SOFT)
NUMBER = Type("mono", 14, INK)
NUMBER_SMALL = Type("mono", 12, INK)
NOTE = Type("pencil", 16, PENCIL)
KEY = Type("mono-bold", 12, INK)

BASE_HEIGHT = 720  # px; own: window height at which sizes hold
BASE_WIDTH = 1280  # px; own
SCALES = (1.0, 1.25, 1.5, 1.75, 2.0)  # 1; text scale; WCAG 2.2, 1.4.4: up to 200 %


def scale_of(width: int, height: int) -> float:
    """Return the factor for lengths of a window of this size, px."""
    return max(0.5, min(width / BASE_WIDTH, height / BASE_HEIGHT))


def luminance(colour: Colour) -> float:
    """Return relative luminance (WCAG 2.2 definition)."""

    def linear(part: int) -> float:
        share = part / 255.0
        return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)

    red, green, blue = (linear(part) for part in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.2 definition)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
