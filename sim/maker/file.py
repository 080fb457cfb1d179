"""The file of a drill that somebody made: written whole, read again first, over nothing else."""

from collections.abc import Sequence
from pathlib import Path

from sim.aircraft.fields import slug
from sim.aircraft.textfile import (
    dump_yaml,
    load_model,
    require_nothing_there,
    write_text_atomic,
)
from sim.errors import InputError, Problem
from sim.session.scenario import Scenario

HEAD = (
    "Invented drill, made with dryhop new-drill; a simulation, which proves nothing of a real aircraft.",
    "Propellers come off before any bench check; your club's rules and local codes come first.",
)


def text_of(drill: Scenario, lines: Sequence[str]) -> str:
    """Return the text of a drill's file. lines : how hard it is, as remarks."""
    document = drill.model_dump(mode="json", exclude_defaults=True)
    document |= {"careful_min": drill.careful_min}
    head = "\n".join(f"# {line}" for line in (*HEAD, *lines))
    return f"{head}\n{dump_yaml(document)}"


def name_for(title: str) -> str:
    """Return what the file of a drill with a title is called."""
    return slug(title, "drill") + ".yaml"


def require_free(path: Path, replace: bool = False) -> Path:
    """Return the place of a drill's file; InputError if no file can be written there."""
    if path.suffix not in (".yaml", ".yml"):
        raise InputError((Problem(str(path), None, "", "", "the file of a drill ends in .yaml"),))
    require_nothing_there(path, replace)
    return path


def write(drill: Scenario, lines: Sequence[str], path: Path, replace: bool = False) -> Path:
    """Write a drill's file, made sure of before; return it.

    Raises InputError if something lies there, OSError if the disk does not take it.
    """
    require_free(path, replace)
    text = text_of(drill, lines)
    again = load_model(path, Scenario, text)
    if again != drill:
        raise InputError((Problem(str(path), None, "", "", "does not come out as it went in"),))
    path.parent.mkdir(parents=True, exist_ok=True)
    write_text_atomic(path, text)
    return path
