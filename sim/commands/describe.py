"""Describe an aircraft of one's own in a terminal: answers in, an airframe file out."""

from pathlib import Path

import typer
from pydantic import ValidationError

from sim.aircraft.textfile import dump_yaml, load_model, write_text_atomic
from sim.commands.asking import asked
from sim.commands.ends import Paper
from sim.describe.account import (
    Account,
    checked_place,
    described,
    problems,
    sheet_told,
    write,
)
from sim.describe.answers import Answers
from sim.errors import InputError

MARKS = {"good": "  ", "look": "? ", "stop": "! "}


def answered(file: Path | None, say: Paper) -> Answers:
    """Return the answers of a file, or ask for them, and keep them there if a file is named."""
    if file is not None and file.exists():
        return load_model(file, Answers)
    say.plain("Enter alone takes what stands in brackets; Ctrl-C stops.")
    ask = lambda words: str(typer.prompt(words, default="", show_default=False, prompt_suffix=" "))  # noqa: E731
    try:
        answers = asked(ask, say.plain)
    except ValidationError as error:
        raise InputError(problems("answers", error)) from None
    if file is not None:
        head = "# What was read off and measured, for dryhop describe --answers.\n"
        write_text_atomic(file, head + dump_yaml(answers.model_dump(exclude_none=True)))
    return answers


def show(say: Paper, account: Account) -> None:
    """Print estimates, sheet and findings."""
    say.plain("\nWorked out:")
    told_how = ""
    for row in account.told:
        say.plain(f"  {row.what}: {row.amount}")
        say.plain(f"      {row.formula} ({row.source})")
        if row.measure and row.measure != told_how:
            say.plain(f"      Better: {row.measure}" + (f" {row.by}" if row.by else ""))
        told_how = row.measure
    say.plain("\nBuild sheet:")
    for line in sheet_told(account.airframe):
        say.plain(f"  {line}")
    say.plain("\nWhat to make of it (? look again):")
    for finding in account.findings:
        say.plain(f"{MARKS[finding.level]}{finding.words}")


def written(answers: Answers, out: Path | None) -> tuple[Path, Account]:
    """Work the aircraft out, write its file, and return what there is to tell."""
    path = checked_place(out or Path(f"{answers.name}.yaml"))
    account = described(answers)
    write(account, path)
    return path, account
