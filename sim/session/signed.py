"""An instructor's name under a club check-out, kept beside the run and bound to it.

A name is a line somebody typed. Nothing checks who they are: the club knows.
"""

from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Annotated

from pydantic import AwareDatetime, Field

from sim.aircraft.fields import Line, Strict, plain
from sim.aircraft.textfile import write_text_atomic
from sim.errors import InputError, Problem, Refusal
from sim.session import beside
from sim.session.attempt import NAME_LENGTH, noted
from sim.session.folder import is_finished
from sim.session.journal import JOURNAL, drill_of
from sim.session.scenario import CHECK_OUT

SIGNED = "signed.json"
MAX_BYTES = 4096  # bytes; own: some times the longest signature


class Signature(Strict):
    """Who signed, when, and the SHA-256 of the journal they signed for, in hex."""

    instructor: Annotated[Line, Field(min_length=1, max_length=NAME_LENGTH)]
    at_utc: AwareDatetime
    journal_sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


def wants_signature(folder: Path) -> bool:
    """Tell whether a folder holds a person's finished check-out that nobody has signed yet."""
    try:
        return _refused(folder) == ""
    except (InputError, OSError):
        return False


def _refused(folder: Path) -> str:
    """Return why a folder can't be signed, or nothing. InputError for one that holds no run."""
    note = noted(folder)
    if note is None or note.by != "person":
        raise InputError((Problem(str(folder), None, "", "", "holds no attempt of a person"),))
    if drill_of(folder).rung != CHECK_OUT:
        return "Only a club check-out is signed."
    if not is_finished(folder):
        return "The check-out is not over yet."
    if (folder / SIGNED).exists():
        return "It is signed already; the name stays as it is."
    return ""


def sign(folder: Path, instructor: str, at_utc: datetime) -> Signature:
    """Write an instructor's name under a finished check-out, once; return what was written.

    Raises Refusal where there is nothing to sign or no name, InputError for a folder without a
    person's attempt, OSError if the disk does not take it.
    """
    if why := _refused(folder):
        raise Refusal(why, "already" if (folder / SIGNED).exists() else "not_tonight")
    name = plain(instructor.strip(), NAME_LENGTH)
    if not name:
        raise Refusal("Nobody's name is written: the instructor signs.", "value")
    digest = beside.digest_of(folder / JOURNAL)
    signature = Signature(instructor=name, at_utc=at_utc, journal_sha256=digest)
    write_text_atomic(folder / SIGNED, beside.text_of(signature))
    return signature


def signature_of(folder: Path) -> Signature | None:
    """Return who signed for the run in a folder; None if nobody did, or for another run than this."""
    found = beside.read(folder / SIGNED, Signature, MAX_BYTES)
    with suppress(OSError):
        if found is not None and found.journal_sha256 == beside.digest_of(folder / JOURNAL):
            return found
    return None
