"""A person's own words on a run, asked at the keyboard before its score is told."""

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from sim.commands.ends import out
from sim.session.attempt import noted
from sim.session.folder import is_finished
from sim.session.ownwords import MOST_LINES, asked_already, keep_words, own_words

KEEP = "First, your own view. What would you keep?"
CHANGE = "What would you change?"
HOW = f"Up to {MOST_LINES} lines; an empty one goes on."


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def lines_of(question: str, ask: Callable[[str], str]) -> list[str]:
    """Ask until a line is left empty or the sheet is full; return what was written."""
    out.plain(question)
    lines: list[str] = []
    while len(lines) < MOST_LINES and (line := ask("  ").strip()):
        lines.append(line)
    return lines


def ask_first(
    folder: Path, ask: Callable[[str], str] = input, at_keyboard: Callable[[], bool] = _is_terminal
) -> bool:
    """Ask the trainee of a person's finished run, where nobody has yet and somebody is at the keyboard.

    Returns whether it was asked.
    """
    note = noted(folder)
    if note is None or note.by != "person" or not is_finished(folder) or asked_already(folder):
        return False
    if not at_keyboard():
        return False
    out.plain(f"{HOW} This is asked once.")
    plus = lines_of(KEEP, ask)
    keep_words(folder, own_words(plus, lines_of(CHANGE, ask), datetime.now(UTC)))
    return True
