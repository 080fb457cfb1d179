"""The logbook: takes in finished attempts, knows where everybody stands, forgets on request."""

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from sim.aircraft.library import called
from sim.errors import DryhopError, InputError, Problem, nearest
from sim.logbook.entries import CAN_FAIL, Entry, entry_of
from sim.logbook.schema import opened, told, transaction
from sim.logbook.skill import Skill
from sim.logbook.standing import Standing, Topic, Trial, standing
from sim.paths import user_data
from sim.runs import run_folders

T = TypeVar("T")
COLUMNS = "digest, folder, drill, title, rung, seed, airframe, ended, verdict, cleared, points, minutes, dryhop"


def usual_place() -> Path:
    """Return where the logbook is kept."""
    return user_data() / "logbook.sqlite"


class Attempt(NamedTuple):
    """An attempt as it stands in the logbook; times are UTC."""

    trainee: str
    digest: str
    folder: Path
    drill: str
    title: str
    rung: int
    seed: int
    airframe: str
    ended: datetime
    verdict: str
    cleared: bool
    points: float
    minutes: float
    dryhop: str


class Brief(NamedTuple):
    """A person's attempts in short."""

    attempts_n: int
    cleared: frozenset[str]
    last: Attempt | None


class Grave(NamedTuple):
    """A grave act: when, in which drill, which hazard."""

    ended: datetime
    drill: str
    hazard: str
    minutes: float


class Met(NamedTuple):
    """A fault somebody has met: in how many attempts, in how many of them proved gone."""

    fault: str
    met_n: int
    proved_n: int


class Sum(NamedTuple):
    """A file of a run folder, and its SHA-256 in hex."""

    folder: Path
    name: str
    sha256: str


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _attempt(row: Any) -> Attempt:
    trainee, digest, folder, drill, title, rung, seed, airframe, ended, verdict, cleared, *rest = (
        row
    )
    return Attempt(
        trainee, digest, Path(folder), drill, title, rung, seed, airframe,
        _time(ended), verdict, bool(cleared), *rest,
    )  # fmt: skip


class Book:
    """An open logbook. Use as a context."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or usual_place()
        self._book = opened(self.path)

    def __enter__(self) -> "Book":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._book.close()

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Cursor]:
        """Do all or nothing, while nobody else writes."""
        with told(self.path), transaction(self._book) as cursor:
            yield cursor

    def _all(self, query: str, *values: object) -> list[Any]:
        with told(self.path):
            return self._book.execute(query, values).fetchall()

    def take_in(self, entries: Iterable[Entry]) -> int:
        """Enter attempts, all or none; return how many were not there already."""
        new = 0
        with self._writing() as book:
            for name, theirs in by_trainee(entries).items():
                book.execute(
                    "INSERT INTO trainee (name) VALUES (?) ON CONFLICT DO NOTHING", (name,)
                )
                who = self._id(name)
                latest = self._all("SELECT max(ended) FROM attempt WHERE trainee = ?", who)[0][0]
                teaching: list[Trial] = []
                entered = [entry for entry in theirs if self._insert(book, who, entry, teaching)]
                new += len(entered)
                if entered and latest is not None and entered[0].ended < _time(latest):
                    self._stand(book, who, standing(self._trials(who)))
                elif teaching:
                    self._stand(book, who, standing(teaching, self._standings(who)))
        return new

    def _insert(self, book: sqlite3.Cursor, who: int, entry: Entry, teaching: list[Trial]) -> bool:
        """Enter one attempt unless it is there; add its trials to `teaching` if it teaches anything.

        The same drill with the same seed teaches once.
        """
        again, there = self._all(
            "SELECT max(drill = ? AND seed = ?), max(digest = ?) FROM attempt WHERE trainee = ?",
            entry.note.scenario, entry.note.seed, entry.digest, who,
        )[0]  # fmt: skip
        if there:
            return False
        _enter(book, who, entry)
        if not again:
            teaching += entry.trials
        return True

    def _trials(self, who: int) -> list[Trial]:
        """Return all trials of a person; the same drill with the same seed teaches once."""
        rows = self._all(
            "SELECT topic, rung, proved, min(ended) OVER (PARTITION BY drill, seed), ended "
            "FROM trial JOIN attempt ON attempt.id = trial.attempt WHERE trainee = ? "
            "ORDER BY ended, attempt.id, topic",
            who,
        )
        return [
            Trial(topic, rung, bool(proved), _time(ended))
            for topic, rung, proved, first, ended in rows
            if first == ended
        ]

    def trials(self, trainee: str) -> list[Trial]:
        """Return all trials of a person, the earliest first."""
        return self._trials(self._id(trainee))

    def _stand(self, book: sqlite3.Cursor, who: int, now: dict[Topic, Standing]) -> None:
        book.execute("DELETE FROM standing WHERE trainee = ?", (who,))
        book.executemany(
            "INSERT INTO standing VALUES (?, ?, ?, ?, ?, ?, ?)",
            [
                (who, topic, *one.skill, one.tried_n, one.right_n, one.card)
                for topic, one in now.items()
            ],
        )

    def _standings(self, who: int) -> dict[Topic, Standing]:
        rows = self._all(
            "SELECT topic, mean, variance, tried, proved, card FROM standing WHERE trainee = ?", who
        )
        return {
            topic: Standing(Skill(mean, variance), tried, proved, card)
            for topic, mean, variance, tried, proved, card in rows
        }

    def sync(
        self, *places: Path, anew: bool = False, done: Callable[[], None] = lambda: None
    ) -> int:
        """Enter what people finished below some folders; return how many are new.

        anew : work their marks out again. What can't be read is passed over. done is called for
        each folder looked at.
        """
        known = {folder for (folder,) in self._all("SELECT folder FROM attempt")}
        entries = []
        for folder in run_folders(*places, known=known):
            if str(folder.resolve()) not in known:
                with suppress(*CAN_FAIL):  # left in the middle, or no person's run
                    entries.append(entry_of(folder, anew))
            done()
        return self.take_in(entries)

    def trainees(self) -> list[str]:
        """Return everybody in it, by name."""
        return [name for (name,) in self._all("SELECT name FROM trainee ORDER BY name")]

    def attempts(self, trainee: str | None = None, rung: int | None = None) -> list[Attempt]:
        """Return the attempts of one person, or all, on one rung or any, the earliest first."""
        rows = self._all(
            f"SELECT name, {COLUMNS} FROM attempt JOIN trainee ON trainee.id = trainee "
            "WHERE (?1 IS NULL OR name = ?1) AND (?2 IS NULL OR rung = ?2) "
            "ORDER BY ended, attempt.id",
            trainee,
            rung,
        )
        return [_attempt(row) for row in rows]

    def brief(self, trainee: str) -> Brief:
        """Return how many attempts a person has, the drills cleared, and the last attempt."""
        who = self._id(trainee)
        count = self._all("SELECT count(*) FROM attempt WHERE trainee = ?", who)[0][0]
        cleared = self._all("SELECT DISTINCT drill FROM attempt WHERE trainee = ? AND cleared", who)
        last = self._all(
            f"SELECT name, {COLUMNS} FROM attempt JOIN trainee ON trainee.id = trainee "
            "WHERE trainee = ? ORDER BY ended DESC, attempt.id DESC LIMIT 1",
            who,
        )
        drills = frozenset(drill for (drill,) in cleared)
        return Brief(count, drills, _attempt(last[0]) if last else None)

    def require(self, trainee: str) -> None:
        """Raise InputError for somebody who is not in it."""
        self._id(trainee)

    def standings(self, trainee: str) -> dict[Topic, Standing]:
        """Return where a person stands."""
        return self._standings(self._id(trainee))

    def graves(self, trainee: str) -> list[Grave]:
        """Return the grave acts of a person, the earliest first."""
        rows = self._all(
            "SELECT ended, drill, hazard, grave.minutes FROM grave JOIN attempt ON attempt.id = attempt "
            "JOIN trainee ON trainee.id = trainee WHERE name = ? ORDER BY ended, grave.minutes",
            trainee,
        )
        return [Grave(_time(ended), *rest) for ended, *rest in rows]

    def faults(self, trainee: str) -> list[Met]:
        """Return the faults a person has met, those least often proved first."""
        rows = self._all(
            "SELECT fault.id, count(*), sum(proved) FROM fault JOIN attempt ON attempt.id = attempt "
            "WHERE trainee = ? GROUP BY fault.id ORDER BY sum(proved) * 1.0 / count(*), fault.id",
            self._id(trainee),
        )
        return [Met(*row) for row in rows]

    def sums(self) -> list[Sum]:
        """Return the checksum of each file of each run folder as it was when it was entered."""
        rows = self._all("SELECT folder, file.name, sha256 FROM file JOIN attempt ON id = attempt")
        return [Sum(Path(folder), name, sha256) for folder, name, sha256 in rows]

    def forget(self, trainee: str) -> None:
        """Delete a person and all their attempts from the file; InputError for nobody in it.

        What is deleted is overwritten.
        """
        who = self._id(trainee)
        with self._writing() as book:
            book.execute("DELETE FROM trainee WHERE id = ?", (who,))
        self._all("VACUUM")
        self._all("PRAGMA wal_checkpoint(TRUNCATE)")

    def _id(self, trainee: str) -> int:
        rows = self._all("SELECT id FROM trainee WHERE name = ?", trainee)
        if not rows:
            known = self.trainees()
            raise InputError(
                (Problem(str(self.path), None, "trainee", trainee, "nobody of this name", nearest(trainee, known)),)
            )  # fmt: skip
        return int(rows[0][0])

    def whole(self) -> str:
        """Return "ok", or what is wrong with the file."""
        try:
            return "; ".join(str(line) for (line,) in self._all("PRAGMA integrity_check"))
        except DryhopError as error:
            return str(error)


def by_trainee(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Return attempts by who made them, the earliest first."""
    found: dict[str, list[Entry]] = {}
    for entry in sorted(entries, key=lambda entry: entry.ended):
        found.setdefault(entry.note.trainee, []).append(entry)
    return found


def _enter(book: sqlite3.Cursor, who: int, entry: Entry) -> None:
    note, card = entry.note, entry.card
    book.execute(
        f"INSERT INTO attempt (trainee, {COLUMNS}) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
        (
            who, entry.digest, str(entry.folder), note.scenario, entry.drill.title,
            entry.rung, note.seed, called(entry.drill.airframe), entry.ended.isoformat(),
            card.verdict, entry.cleared, card.points, card.minutes, card.versions.dryhop,
        ),
    )  # fmt: skip
    at = book.lastrowid
    book.executemany("INSERT INTO file VALUES (?,?,?)", [(at, *one) for one in entry.files.items()])
    book.executemany(
        "INSERT INTO fault VALUES (?,?,?,?,?,?,?)",
        [(at, f.id, f.family, f.noticed, f.named, f.cleared, f.proved) for f in card.faults],
    )
    book.executemany(
        "INSERT INTO trial VALUES (?,?,?)", [(at, t.topic, t.right) for t in entry.trials]
    )
    book.executemany(
        "INSERT INTO grave VALUES (?,?,?)",
        [(at, h.id, h.minutes) for h in card.hazards if h.critical],
    )


def looked_up(ask: Callable[[Book], T], unknown: Callable[[], T], *places: Path) -> T:
    """Return what the usual logbook says, with what was finished below some folders.

    unknown : gives what is said instead where the logbook can't be read.
    """
    try:
        with Book() as book:
            book.sync(*places)
            return ask(book)
    except (DryhopError, OSError):
        return unknown()


def now() -> datetime:
    """Return the time, UTC."""
    return datetime.now(UTC)
