"""What is written on a card: words, and beside them the lines of the reading they rest on.

A line is written as its key and its value to four digits, so that an answer can be held against what
was read; it is shown in words.
"""

from math import isfinite

from sim.aircraft.fields import LINE_LENGTH
from sim.aircraft.library import Design
from sim.bench.evidence import measured
from sim.errors import InputError
from sim.keys import CheckKey
from sim.procedure.cards import line_said

MOST = 3  # lines; own: what a person would write of a reading unasked
APART = ", "


def put(words: str, values: dict[str, float]) -> str:
    """Return an answer: words, then lines by key as many as go in; the words are cut first."""
    lines = ""
    for key, value in values.items():
        longer = f"{lines}{APART}{line_said(key, value)}".removeprefix(APART)
        lines = longer if len(longer) <= LINE_LENGTH else lines
    room = LINE_LENGTH - len(lines) - (len(APART) if lines else 0)
    return APART.join(part for part in (words[: max(0, room)], lines) if part)


def words_of(answer: str) -> str:
    """Return what of an answer is words and no line."""
    return APART.join(piece for piece in answer.split(APART) if not _is_line(piece))


def _is_line(piece: str) -> bool:
    key, _, number = piece.rpartition(" ")
    try:
        float(number)
    except ValueError:
        return False
    return key.removesuffix(" now").removesuffix(" sheet").replace(".", "_").isidentifier()


def best(check: CheckKey, values: dict[str, float], airframe: Design) -> list[str]:
    """Return the lines one would write of a reading: the first in which sound aircraft differ."""
    try:
        telling = measured(airframe).telling(check, values)
    except InputError:  # nobody has measured such aircraft
        telling = []
    return [key for key in telling or values if isfinite(values[key])][:MOST]
