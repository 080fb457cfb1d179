"""Read a recording, say what each column was taken for and why, and write it in our columns."""

import sys
from pathlib import Path
from typing import Any

import typer
from rich.text import Text

from sim.aircraft import library
from sim.aircraft.textfile import write_text_atomic
from sim.commands.ends import Paper
from sim.commands.report import folded_table
from sim.errors import Refusal, legible
from sim.reproduce.importer.confirming import usable
from sim.reproduce.importer.guessing import Guesses, guess, nothing_known
from sim.reproduce.importer.mapping import Settled, load_map, map_text
from sim.reproduce.importer.questions import Question, absent, questions
from sim.reproduce.importer.reading import Table, read_table
from sim.reproduce.recording import Recording


def read(file: Path, columns: Path | None, airframe: str | None) -> tuple[Table, Guesses]:
    """Read a recording, and a map of it if there is one; guess what is open."""
    table = read_table(file)
    known = nothing_known(airframe or library.TRAINER)
    if columns is not None:
        known = load_map(columns, table)
        known = known._replace(airframe=airframe or known.airframe)
    return table, guess(table, library.airframe(known.airframe), known)


def show(say: Paper, guesses: Guesses) -> None:
    """Print the table of guesses with what each rests on."""
    sheet = folded_table("ours", "column", "unit", "sign", "rests on")
    bases = guesses.bases()
    for name, draft in guesses.drafts.items():
        if draft.column is not None:
            sign = str(draft.sign) if isinstance(draft.sign, str) else f"{draft.sign:+d}"
            cells = (name, draft.column, draft.unit, sign, bases[name])
            if draft.found is None:
                cells = (name, draft.column, "", "", bases[name])
            sheet.add_row(*(Text(legible(cell)) for cell in cells))
    say.print(sheet)
    say.plain(f"Angles: {guesses.attitude or 'ask'} ({guesses.attitude_why})")
    used = {draft.column for draft in guesses.drafts.values()}
    left = [column for column in guesses.orders if column not in used]
    if left:
        say.plain(f"Motors in no order yet: {', '.join(left)}")


def confirmed(guesses: Guesses, accept: bool, file: Path | None) -> Settled:
    """Return what holds; Refusal if something needed is open or nobody has confirmed."""
    if missing := absent(guesses):
        raise Refusal(f"This recording has no {missing[0]}: it can't be used.", "value")
    asked = questions(guesses)
    needed = [question for question in asked if question.needed]
    if needed:
        where = f" ({file})" if file else " (--write-columns MAP.yaml writes the map)"
        raise Refusal(f"Not told by the recording; fill it in{where}:\n{told(needed)}", "value")
    if not (accept or guesses.ours):
        if not sys.stdin.isatty():
            raise Refusal("Nobody has confirmed the guesses: look at them, then --accept.", "value")
        if not typer.confirm("Are these right?"):
            raise Refusal("Not confirmed: put them right in a map (--write-columns).", "value")
    return usable(guesses)


def told(asked: list[Question]) -> str:
    """Return questions, one a line, each with its key in the map."""
    return "\n".join(
        f"  {f'columns.{q.channel}.{q.key}' if q.channel else q.key}: {q.words}" for q in asked
    )


def written(guesses: Guesses, file: Path) -> None:
    """Write the map of what was guessed, `ask` where something is open."""
    write_text_atomic(file, map_text(guesses.settled(), guesses.bases()))


def summary(kept: Recording) -> list[str]:
    """Return in lines what was kept of the recording."""
    t = kept["time_s"]
    lines = [f"{len(t)} rows over {t[-1]:.2f} s; {', '.join(kept.there)}"]
    times = kept.times
    if times.copies or times.slips:
        lines.append(f"Left out: {times.copies} rows of a time already there, {times.slips} whose time slipped.")  # fmt: skip
    if times.others:
        lines.append(
            f"Left out: {times.others} other stretches, parted by a restart or a long gap."
        )
    if times.gaps:
        lines.append(
            f"Gaps kept as they are: {times.gaps}, the longest {times.longest_gap_s:.2f} s."
        )
    return lines


def document(guesses: Guesses, kept: Recording | None) -> dict[str, Any]:
    """Return guesses, questions and what was kept as one JSON document."""
    bases = guesses.bases()
    columns = {
        name: {**source.model_dump(exclude_none=True), "rests_on": bases[name]}
        for name, source in guesses.settled().sources.items()
        if source is not None
    }
    return {
        "columns": columns,
        "attitude": guesses.attitude,
        "questions": [question._asdict() for question in questions(guesses)],
        "kept": None if kept is None else summary(kept),
    }
