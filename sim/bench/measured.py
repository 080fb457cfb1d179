"""Measured tables kept as CSV: one row of a frozen dataclass a line, numbers as short as they are."""

import csv
import io
from collections.abc import Sequence
from dataclasses import asdict, fields
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from sim.aircraft import library
from sim.aircraft.library import Design
from sim.aircraft.textfile import write_text_atomic
from sim.errors import InputError, Problem
from sim.paths import assets_dir, own_tables

R = TypeVar("R")
DIGEST = 12  # hexadecimal digits; own: no two files of one user agree in as many


def file_of(kind: str, airframe: Design, folder: Path | None = None) -> Path:
    """Return the file of a table of an airframe.

    kind : bands or moves. The shipped one, or that below a folder; of an airframe of somebody's own,
    one in the user's cache folder that goes with all that is said of it.
    """
    if isinstance(airframe, str) and not library.is_file(airframe):
        return (folder or assets_dir()) / kind / f"{airframe}.csv"
    said = f"{library.airframe(airframe).model_dump_json()} {version('dryhop')}"
    name = f"own-{sha256(said.encode()).hexdigest()[:DIGEST]}.csv"
    return (folder or own_tables()) / kind / name


def columns(kind: type[R]) -> tuple[str, ...]:
    """Return the names of the columns of a table of this kind of row."""
    return tuple(f.name for f in fields(kind))  # type: ignore[arg-type]


def read_rows(path: Path, kind: type[R]) -> list[R]:
    """Return the rows of a file; raises InputError with file, line, key and value."""
    try:
        content = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError((Problem(str(path), None, "", "", f"can't be read: {error}"),)) from None
    reader = csv.DictReader(io.StringIO(content))
    if tuple(reader.fieldnames or ()) != columns(kind):
        rule = f"the first line must be {','.join(columns(kind))}"
        raise InputError((Problem(str(path), 1, "", "", rule),))
    adapter: TypeAdapter[R] = TypeAdapter(kind)
    return [_row(adapter, line, path, reader.line_num) for line in reader]


def _row(adapter: TypeAdapter[R], cells: dict[Any, Any], path: Path, line: int) -> R:
    try:
        return adapter.validate_python(cells)
    except ValidationError as error:
        problems = [
            Problem(
                str(path), line, ".".join(map(str, e["loc"])), repr(e["input"]), f"is: {e['msg']}"
            )
            for e in error.errors()
        ]
        raise InputError(problems) from None


def save_rows(rows: Sequence[R], path: Path, kind: type[R]) -> None:
    """Write rows as CSV, whole or not at all."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, columns(kind), lineterminator="\n")
    writer.writeheader()
    for row in rows:
        cells = asdict(row)  # type: ignore[call-overload]
        writer.writerow({k: f"{v:.6g}" if isinstance(v, float) else v for k, v in cells.items()})
    path.parent.mkdir(parents=True, exist_ok=True)
    write_text_atomic(path, stream.getvalue())
