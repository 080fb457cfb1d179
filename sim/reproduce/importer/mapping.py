"""`MAP.yaml`: which column of a recording is which of ours, in what unit, with what sign.

What the file leaves to be asked says `ask`. A channel it does not name is not in the recording.
"""

from pathlib import Path
from typing import Annotated, Any, Literal, NamedTuple, cast

from pydantic import Field, create_model, model_validator

from sim.aircraft.fields import Direction, Line, Strict
from sim.aircraft.textfile import dump_yaml, load_model, load_yaml
from sim.errors import InputError, nearest
from sim.reproduce.channels import CHANNELS, ONE_WAY, Kind
from sim.reproduce.importer.reading import Table
from sim.reproduce.importer.units import UNITS, Unit, one_sided, two_sided
from sim.reproduce.recording import Attitude

ASK = "ask"
Ask = Literal["ask"]


class Source(Strict):
    """Where a channel comes from.

    ends : numbers of the column at the two ends of the way, in place of those the unit has (sticks
    and motors); over : the flag is 1 where the column is above this (`armed`).
    """

    column: Line
    unit: str
    sign: Direction | Ask = 1
    ends: tuple[float, float] | None = None
    over: float | None = None

    @model_validator(mode="after")
    def _apart(self) -> "Source":
        if self.ends is not None and self.ends[0] >= self.ends[1]:
            raise ValueError("the first of the two ends must be the lower one")
        return self

    def unit_as(self, kind: Kind) -> Unit:
        """Return how its numbers become ours, the sign aside."""
        if self.ends is not None:
            return (two_sided if kind == "stick" else one_sided)(*self.ends)
        return UNITS[kind][self.unit]


def _source_of(kind: Kind) -> type[Source]:
    """Return the model of a kind's sources: its own units, and only the keys that it has."""
    units: Any = Literal[(*UNITS[kind], ASK)]
    fields: dict[str, Any] = {"unit": (units, ...)}
    if kind not in ("stick", "throttle", "drive"):
        fields["ends"] = (None, None)
    if kind != "armed":
        fields["over"] = (None, None)
    if kind in ONE_WAY:
        fields["sign"] = (Literal[1], 1)
    return create_model(f"{kind.capitalize()}Source", __base__=Source, **fields)


SOURCES: dict[Kind, type[Source]] = {kind: _source_of(kind) for kind in UNITS}
Columns: type[Strict] = create_model(
    "Columns",
    __base__=Strict,
    **cast(Any, {c.name: (SOURCES[c.kind] | None, None) for c in CHANNELS.values()}),
)


class Map(Strict):
    """The columns of one logger. `attitude`: worked out aboard, or measured from outside."""

    airframe: Line
    attitude: Attitude | Ask
    columns: Annotated[Any, Field()]


class Settled(NamedTuple):
    """What is known of a recording's columns: channel names to sources, None for what is not in it.

    attitude : None while nobody has said.
    """

    airframe: str
    attitude: Attitude | None
    sources: dict[str, Source | None]


MapFile: type[Map] = create_model("Map", __base__=Map, columns=(Columns, ...))


def load_map(path: Path, table: Table) -> Settled:
    """Read a map; raises InputError for what is wrong in it or names no column of the recording."""
    found = load_model(path, MapFile)
    sources = {name: getattr(found.columns, name) for name in CHANNELS}
    document, problems = load_yaml(path), []
    for name, source in sources.items():
        if source is not None and source.column not in (*table.names, ASK):
            near = nearest(source.column, table.names)
            key = ("columns", name, "column")
            rule = f"not a column of {table.path.name}"
            problems.append(document.problem(key, source.column, rule, near))
    if problems:
        raise InputError(problems)
    attitude: Attitude | None = None if found.attitude == "ask" else found.attitude
    return Settled(found.airframe, attitude, sources)


def map_text(settled: Settled, bases: dict[str, str]) -> str:
    """Return the file that says what is settled, with what each rests on."""
    head = [
        "Which column of the recording is which of ours, for dryhop reproduce --columns.",
        "Where it says `ask`, the recording does not tell: fill it in. What is not named is not there.",
    ]
    attitude = {"airframe": settled.airframe, "attitude": settled.attitude or ASK}
    lines = [f"# {line}" for line in head] + [dump_yaml(attitude).rstrip(), "columns:"]
    for name, source in settled.sources.items():
        if source is not None:
            lines.append(f"  # {CHANNELS[name].words}: {bases.get(name, 'as given')}")
            entry = dump_yaml({name: source.model_dump(exclude_none=True, exclude_defaults=False)})
            lines += [f"  {line}" for line in entry.splitlines()]
    return "\n".join(lines) + "\n"
