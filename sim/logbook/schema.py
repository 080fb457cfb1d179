"""The logbook's file: SQLite, one version after the other.

Two programs may have it open at once: writers wait for each other, readers see what was finished. A
program that is killed leaves a transaction undone, never half done.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sim.errors import DryhopError

WAIT_S = 20.0  # s; own: some times the longest write, an import of an evening

FIRST = """
CREATE TABLE trainee (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;
CREATE TABLE attempt (
  id INTEGER PRIMARY KEY,
  trainee INTEGER NOT NULL REFERENCES trainee (id) ON DELETE CASCADE,
  digest TEXT NOT NULL,
  folder TEXT NOT NULL,
  drill TEXT NOT NULL,
  title TEXT NOT NULL,
  rung INTEGER NOT NULL,
  seed INTEGER NOT NULL,
  airframe TEXT NOT NULL,
  ended TEXT NOT NULL,
  verdict TEXT NOT NULL,
  cleared INTEGER NOT NULL,
  points REAL NOT NULL,
  minutes REAL NOT NULL,
  dryhop TEXT NOT NULL,
  UNIQUE (trainee, digest)
) STRICT;
CREATE INDEX attempt_by_time ON attempt (trainee, ended);
CREATE INDEX attempt_by_folder ON attempt (folder);
CREATE TABLE file (
  attempt INTEGER NOT NULL REFERENCES attempt (id) ON DELETE CASCADE,
  name TEXT NOT NULL,
  sha256 TEXT NOT NULL,
  PRIMARY KEY (attempt, name)
) STRICT, WITHOUT ROWID;
CREATE TABLE fault (
  attempt INTEGER NOT NULL REFERENCES attempt (id) ON DELETE CASCADE,
  id TEXT NOT NULL,
  family TEXT NOT NULL,
  noticed INTEGER NOT NULL,
  named REAL NOT NULL,
  cleared INTEGER NOT NULL,
  proved INTEGER NOT NULL,
  PRIMARY KEY (attempt, id)
) STRICT, WITHOUT ROWID;
CREATE TABLE trial (
  attempt INTEGER NOT NULL REFERENCES attempt (id) ON DELETE CASCADE,
  topic TEXT NOT NULL,
  proved INTEGER NOT NULL,
  PRIMARY KEY (attempt, topic)
) STRICT, WITHOUT ROWID;
CREATE TABLE grave (
  attempt INTEGER NOT NULL REFERENCES attempt (id) ON DELETE CASCADE,
  hazard TEXT NOT NULL,
  minutes REAL NOT NULL
) STRICT;
CREATE INDEX grave_by_attempt ON grave (attempt);
CREATE TABLE standing (
  trainee INTEGER NOT NULL REFERENCES trainee (id) ON DELETE CASCADE,
  topic TEXT NOT NULL,
  mean REAL NOT NULL,
  variance REAL NOT NULL,
  tried INTEGER NOT NULL,
  proved INTEGER NOT NULL,
  card TEXT NOT NULL,
  PRIMARY KEY (trainee, topic)
) STRICT, WITHOUT ROWID;
"""

VERSIONS = (FIRST,)
"""What leads from each version of the file to the next; never changed, only added to."""


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Raise DryhopError where the file of a logbook, or the disk it lies on, does not do what it should."""
    try:
        yield
    except sqlite3.OperationalError as error:  # in use for long, disk full, no right to write
        raise DryhopError(f"{path}: the logbook can't be used: {error}") from None
    except sqlite3.DatabaseError as error:
        if isinstance(error, sqlite3.IntegrityError | sqlite3.ProgrammingError):
            raise  # our mistake
        raise DryhopError(f"{path}: not a logbook, or a damaged one: {error}") from None


def opened(path: Path) -> sqlite3.Connection:
    """Return the logbook in a file, made or brought up to date if need be.

    Raises DryhopError if the file is no logbook, or one of a later version; OSError if it can't be
    made.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with told(path):
        book = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
    try:
        with told(path):
            book.execute("PRAGMA journal_mode = WAL")
            book.execute("PRAGMA synchronous = FULL")  # what was said to be kept is on the disk
            book.execute("PRAGMA foreign_keys = ON")
            book.execute("PRAGMA secure_delete = ON")  # what is deleted is overwritten
            _brought_up(book, path)
    except BaseException:
        book.close()
        raise
    return book


@contextmanager
def transaction(book: sqlite3.Connection) -> Iterator[sqlite3.Cursor]:
    """Do all or nothing, while nobody else writes."""
    cursor = book.cursor()
    cursor.execute("BEGIN IMMEDIATE")
    try:
        yield cursor
        cursor.execute("COMMIT")
    except BaseException:
        if book.in_transaction:  # some failures have undone it already
            cursor.execute("ROLLBACK")
        raise


def _brought_up(book: sqlite3.Connection, path: Path) -> None:
    if _version(book) == len(VERSIONS):
        return
    with transaction(book):
        at = _version(book)  # another program may have been quicker
        if at > len(VERSIONS):
            raise DryhopError(f"{path}: this logbook was written by a later version of dryhop")
        if at == 0 and book.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            raise DryhopError(f"{path}: a database of something else, not a logbook")
        for script in VERSIONS[at:]:
            for statement in script.split(";\n"):
                book.execute(statement)
        book.execute(f"PRAGMA user_version = {len(VERSIONS)}")


def _version(book: sqlite3.Connection) -> int:
    return int(book.execute("PRAGMA user_version").fetchone()[0])
