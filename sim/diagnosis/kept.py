"""A study's results, kept line by line as they come, so that one cut short goes on where it was.

The first line of the file says what was asked for and what results depend on; each line after it
holds one result under its stage (which call of the mapper) and item (its place in the work of the
stage). Lines lie in the order in which the results came. A line torn off by the end of a process is
cut off, and its item done again. Results are given from the file, read back one at a time: a study
that was cut short and one that was not read the very same text.
"""

import json
import os
import re
from array import array
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from itertools import count
from pathlib import Path
from time import monotonic
from typing import Any, BinaryIO, NoReturn, TypeVar, get_type_hints

from pydantic import TypeAdapter, ValidationError

from sim.diagnosis.pool import Workers, no_matter
from sim.errors import DryhopError, InputError, Problem
from sim.session.lock import hold

T = TypeVar("T")
R = TypeVar("R")

FORCED_EVERY_S = 1.0  # s; own: a power cut costs no more than this and what was being done
LINE = re.compile(rb'\{"stage":(\d{1,4}),"item":(\d{1,9}),"result":.*\}\n')
NOWHERE = -1  # byte; where what is not there lies
AGAIN = "begin anew with --fresh, or name another file"


class InUse(DryhopError):
    """Another program keeps its results in this file."""


class OtherStudy(InputError):
    """The file holds the results of another study, or of another version of the program."""


class ResultsFile:
    """The lines of a study's file, held by one program at a time. `count`: results that are there.

    head : what was asked for and what results depend on, as plain data; fresh : results that are
    there are thrown away. Raises OSError if the file can't be read or written, InUse, OtherStudy,
    and InputError for a file that is none of a study.
    """

    def __init__(self, path: Path, head: dict[str, Any], fresh: bool = False) -> None:
        self.path, self.count = path, 0
        self._places: list[array[int]] = []  # byte where each item's line begins, by stage
        self._forced_s = monotonic()
        self._out = path.open("a+b", buffering=0)
        try:
            if not hold(self._out.fileno()):
                raise InUse(f"{path}: another study is writing this file.")
            with path.open("rb") as there:
                self._end = self._take_up(there, head, fresh)
            self._out.truncate(self._end)
            self._in = path.open("rb")
        except BaseException:
            self._out.close()
            raise
        if not self._end:
            self._append(json.dumps(head).encode() + b"\n")

    def has(self, stage: int, item: int) -> bool:
        """Tell whether a result is there."""
        return self._place(stage, item) != NOWHERE

    def read(self, stage: int, item: int) -> bytes:
        """Return the JSON text of a result that is there."""
        self._in.seek(self._place(stage, item))
        return self._in.readline().partition(b'"result":')[2][:-2]

    def write(self, stage: int, item: int, result: bytes) -> None:
        """Append a result, given as JSON: handed to the system at once, soon forced to the disk."""
        place = self._end
        self._append(b'{"stage":%d,"item":%d,"result":%b}\n' % (stage, item, result))
        self._note(stage, item, place)
        if monotonic() - self._forced_s >= FORCED_EVERY_S:
            self._force()

    def refuse(self, stage: int, item: int, why: str) -> NoReturn:
        """Raise InputError for a result that can't be used."""
        self._in.seek(0)
        line = self._in.read(self._place(stage, item)).count(b"\n") + 1
        raise InputError((_spoilt(self.path, line, why),))

    def close(self) -> None:
        """Force all to the disk, if it takes it, and let go of the file."""
        with suppress(OSError):  # each line was handed over, and what could not be was told
            self._force()
        self._out.close()
        self._in.close()

    def _place(self, stage: int, item: int) -> int:
        places = self._places[stage] if stage < len(self._places) else ()
        return places[item] if item < len(places) else NOWHERE

    def _note(self, stage: int, item: int, place: int) -> None:
        while stage >= len(self._places):
            self._places.append(array("q"))
        places = self._places[stage]
        places.extend([NOWHERE] * (item + 1 - len(places)))
        self.count += places[item] == NOWHERE
        places[item] = place

    def _take_up(self, file: BinaryIO, head: dict[str, Any], fresh: bool) -> int:
        """Find the results that are there; return where the last whole line ends, 0 without any."""
        first = file.readline()
        if not first.endswith(b"\n") and json.dumps(head).encode().startswith(first):
            return 0  # empty, or the first line torn off
        there = _head_of(first, self.path)
        if fresh:
            return 0
        if there != json.loads(json.dumps(head)):
            raise OtherStudy(_differing(self.path, there, head))
        end = len(first)
        for number, line in enumerate(file, start=2):
            match = LINE.fullmatch(line)
            if match is not None:
                self._note(int(match[1]), int(match[2]), end)
            elif line.endswith(b"\n"):
                raise InputError((_spoilt(self.path, number, "not in its form"),))
            else:
                break
            end += len(line)
        return end

    def _append(self, line: bytes) -> None:
        try:
            left = line
            while left:
                left = left[self._out.write(left) :]
        except OSError as error:
            raise type(error)(error.errno, error.strerror, str(self.path)) from None
        self._end += len(line)

    def _force(self) -> None:
        os.fsync(self._out.fileno())
        self._forced_s = monotonic()


def _spoilt(path: Path, line: int, why: str) -> Problem:
    return Problem(str(path), line, "", "", f"not a result ({why}): delete the line, or {AGAIN}")


def _head_of(line: bytes, path: Path) -> dict[str, Any]:
    """Return the first line of a study's file; InputError if it is of another kind of file."""
    try:
        found = json.loads(line)
    except ValueError:
        found = None
    if not isinstance(found, dict) or "study" not in found:
        rule = "not the results of a study: name another file"
        raise InputError((Problem(str(path), 1, "", "", rule),))
    return found


def _differing(path: Path, there: dict[str, Any], head: dict[str, Any]) -> list[Problem]:
    """Return what of a file's first line is not as this study has it."""
    return [
        Problem(
            str(path),
            1,
            key,
            json.dumps(there.get(key)),
            f"this study has {json.dumps(head.get(key))}: {AGAIN}",
        )
        for key in dict.fromkeys((*head, *there))
        if there.get(key) != json.loads(json.dumps(head.get(key)))
    ]


class Keeping:
    """A mapper that keeps results in a file and does only what is not there yet."""

    def __init__(self, workers: Workers, file: ResultsFile) -> None:
        self._workers, self._file, self._stages = workers, file, count()

    def __call__(
        self, work: Callable[[T], R], items: Iterable[T], done: Callable[[], None] = no_matter
    ) -> Iterator[R]:
        """Give the results in the order of the items; `work` says what it returns."""
        adapter: TypeAdapter[R] = TypeAdapter(get_type_hints(work, include_extras=True)["return"])
        file, stage = self._file, next(self._stages)
        left: dict[int, int] = {}  # place among what is left: place among all, of what is in hand
        new: set[int] = set()  # come, but not given yet

        def undone() -> Iterator[T]:
            items_left = ((n, one) for n, one in enumerate(items) if not file.has(stage, n))
            for place, (n, one) in enumerate(items_left):
                left[place] = n
                yield one

        coming = self._workers.as_they_come(work, undone())
        for n in count():
            while not file.has(stage, n):
                come = next(coming, None)
                if come is None:
                    return
                new.add(at := left.pop(come[0]))
                file.write(
                    stage, at, json.dumps(adapter.dump_python(come[1], mode="json")).encode()
                )
                done()
            if n in new:
                new.remove(n)
            else:
                done()
            try:
                result = adapter.validate_json(file.read(stage, n))
            except ValidationError as error:
                file.refuse(stage, n, error.errors()[0]["msg"])
            yield result
