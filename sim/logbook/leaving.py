"""What a person leaves on this computer: to be deleted whole; and whether what is kept is as it was.

The logbook's entries, every run folder of theirs, finished or not, with all that lies in it (drill,
journal, trace, scorecard, debrief, own words).
"""

import shutil
from collections.abc import Iterable
from pathlib import Path

from sim.errors import Refusal
from sim.logbook.book import Book
from sim.session.attempt import ATTEMPT, noted
from sim.session.beside import digest_of
from sim.session.folder import under_way
from sim.session.journal import JOURNAL


def folders_of(trainee: str, folders: Iterable[Path]) -> list[Path]:
    """Return those of some run folders in which a person's own note says it is theirs."""
    theirs = []
    for folder in dict.fromkeys(folder.resolve() for folder in folders):
        note = noted(folder)
        if note is not None and note.by == "person" and note.trainee == trainee:
            theirs.append(folder)
    return theirs


def forget(book: Book, trainee: str, folders: Iterable[Path]) -> list[Path]:
    """Delete a person's run folders and entries; return the folders deleted.

    folders : run folders to look through, beside those the logbook knows of them. Raises Refusal,
    with nothing deleted, while an attempt of theirs is under way; InputError for nobody of this name.
    Cut short, it can be done again: a folder's note goes last.
    """
    known = trainee in book.trainees()
    entered = [one.folder for one in book.attempts(trainee)]
    theirs = folders_of(trainee, [*entered, *folders])
    if not theirs:
        book.require(trainee)
    for folder in theirs:
        if (folder / JOURNAL).exists() and under_way(folder):
            raise Refusal(
                f"{folder}: an attempt of theirs is under way in another window.", "in_use"
            )
    for folder in theirs:
        _delete(folder)
    if known:
        book.forget(trainee)
    return theirs


def _delete(folder: Path) -> None:
    for path in folder.iterdir():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path.name != ATTEMPT:
            path.unlink()
    (folder / ATTEMPT).unlink()
    folder.rmdir()


def strayed(book: Book) -> tuple[list[Path], list[Path]]:
    """Return (run folders that are gone, files of run folders that are not as they were entered)."""
    gone, other = set(), []
    for folder, name, sha256 in book.sums():
        if not folder.is_dir():
            gone.add(folder)
        elif not (folder / name).is_file() or digest_of(folder / name) != sha256:
            other.append(folder / name)
    return sorted(gone), sorted(other)
