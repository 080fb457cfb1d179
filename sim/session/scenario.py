"""Drill files: which aircraft, where, with which hidden faults, and the hop planned."""

from collections.abc import Collection, Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Literal, TypeVar, get_args
from zlib import crc32

import numpy as np
from pydantic import AfterValidator, BaseModel, Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.blank import Blank, blanked
from sim.aircraft.build import Build, Pack
from sim.aircraft.design import world_of
from sim.aircraft.fields import Line, Positive, Share, Strict, Text
from sim.aircraft.library import Design, Place
from sim.aircraft.scatter import scattered
from sim.aircraft.site import Site
from sim.aircraft.textfile import load_model
from sim.aircraft.world import World
from sim.bench.evidence import Measured, measured
from sim.errors import InputError, Problem, nearest
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Family
from sim.faults.severity import LIMIT_AT, put_in
from sim.keys import FaultId, FixKey
from sim.paths import named_in, own_airframes, scenarios_dir
from sim.session.severities import AT_EDGE, AT_EDGE_USUAL, Severity, stated

T = TypeVar("T")
M = TypeVar("M", bound=BaseModel)

RUNGS = (
    "shown",
    "helped",
    "alone",
    "pairs and look-alikes",
    "drawn at random",
    "club check-out",
)  # the ladder of drills, from its foot
SHOWN, HELPED, ALONE, PAIRS, DRAWN, CHECK_OUT = range(1, len(RUNGS) + 1)  # 1; rungs by name
SEVERITY_SPREAD = 0.1  # 1; own: two seeds of a drill are not quite the same aircraft
HINT_STEPS = 3  # 1; where to look, which line, what it means

Help = Literal["shown", "hints", "none"]
"""What the helper does: tells the fault and points at its cue; gives hints if asked; nothing."""


def _known(kind: str, name: str, known: Iterable[str]) -> str:
    if name not in (names := sorted(known)):
        raise PydanticCustomError(
            "unknown_name",
            "not a known {kind}",
            {"kind": kind, "nearest": nearest(name, names)},
        )
    return name


def file_or_known(kind: str, name: T) -> T:
    """Return what is no name, a file's or a shipped one's name; pydantic's error for an unknown one."""
    if isinstance(name, str) and not library.is_file(name):
        _known(kind, name, library.names(f"{kind}s"))
    return name


def _needed(name: str) -> str:
    return _known("drill or family", name, (*get_args(Family), *names()))


Needed = Annotated[Line, AfterValidator(_needed)]
"""What should be done before: a shipped drill by name, or a family of faults, one of which was proved."""

Title = Annotated[Line, Field(min_length=1, max_length=80)]
Story = Annotated[Text, Field(max_length=600)]
Purpose = Annotated[Text, Field(max_length=300)]
Rung = Annotated[int, Field(ge=1, le=len(RUNGS))]
Needs = Annotated[tuple[Needed, ...], Field(max_length=8)]
HowMany = Annotated[int, Field(ge=1, le=4)]
"""What a drill says, and what somebody may wish of one: limits are own. `HowMany`: faults drawn."""


Steps = dict[Family, Annotated[int, Field(ge=0, le=HINT_STEPS)]]
"""The most hints on a fault of each family."""


def _fix(name: str) -> str:
    ways = [key for key in get_args(FixKey) if key.startswith(("swap:", "prepare:"))]
    return _known("part to swap or thing to prepare", name, ways)


Fix = Annotated[str, AfterValidator(_fix)]
"""A fix by its key in the catalogue: swap:PART or prepare:WHAT."""


def _in_full(name: M | str, model: type[M], folders: Iterable[Path]) -> M | str:
    """Return what a file named in a drill says, found in one of the folders; names as they are."""
    if not isinstance(name, str) or not library.is_file(name):
        return name
    for folder in folders:
        if (folder / name).is_file():
            return load_model(folder / name, model)
    raise InputError((Problem(name, None, "", "", "not a file beside the drill or here"),))


class HiddenFault(Strict):
    """One fault to put in, and how bad it is.

    severity : a share; or a range, in which the seed decides; or "at-edge": fitted to the person when
    an attempt begins; for scripted trainees, who are in no logbook, it is the middling one.
    variation : where a fault may be in several places or ways, the number that decides which;
    every seed of the drill then has it in the same, exactly as bad as stated. Without one the seed
    decides, and it is not quite as bad with one as with another.
    """

    id: FaultId
    severity: Severity = AT_EDGE_USUAL
    variation: Annotated[int, Field(ge=0, lt=2**32)] | None = None

    @field_validator("id", mode="before")
    @classmethod
    def _in_catalogue(cls, name: object) -> object:
        return _known("fault", name, CATALOGUE) if isinstance(name, str) else name

    @model_validator(mode="after")
    def _just_so(self) -> "HiddenFault":
        if self.variation is not None and isinstance(self.severity, tuple):
            raise ValueError("a fault put in just so, by its variation, must have one severity")
        return self

    def put_into(self, world: World, rng: np.random.Generator, hop_s: float) -> World:
        """Return a world with the fault, for a hop of `hop_s` seconds; rng : the chance of the drill."""
        if self.variation is not None:
            own = np.random.default_rng(self.variation)
            return put_in(CATALOGUE[self.id], world, stated(self.severity), own, hop_s)
        return put_in(CATALOGUE[self.id], world, self.drawn(rng), rng, hop_s)

    def drawn(self, rng: np.random.Generator) -> float:
        """Return a severity near the one stated, on the same side of the limit of a fault."""
        if isinstance(self.severity, tuple):
            return float(rng.uniform(*self.severity))
        severity = stated(self.severity)
        least, most = (LIMIT_AT, 1.0) if severity >= LIMIT_AT else (0.0, severity)
        spread = rng.uniform(-SEVERITY_SPREAD, SEVERITY_SPREAD)
        return float(np.clip(severity + spread, least, most))


class Draw(Strict):
    """Faults drawn at random: from which families, how many, how bad; the seed decides."""

    families: Annotated[tuple[Family, ...], Field(min_length=1, max_length=8)]
    count: HowMany = 1
    severity: Severity = AT_EDGE_USUAL

    def drawn(
        self, rng: np.random.Generator, world: World, among: Collection[FaultId] | None = None
    ) -> tuple[HiddenFault, ...]:
        """Return different faults that can be in a world, each of another family while there is one.

        among : those to draw from; None: all of the families.
        """
        ids = sorted(CATALOGUE)
        order = [ids[int(i)] for i in rng.permutation(len(ids))]
        entries = ((name, CATALOGUE[name]) for name in order)
        pool = [n for n, e in entries if e.family in self.families and not e.cannot(world)]
        pool = pool if among is None else [name for name in pool if name in among]
        first = {CATALOGUE[name].family: name for name in reversed(pool)}
        spread = [name for name in pool if first[CATALOGUE[name].family] == name]
        chosen = [*spread, *(name for name in pool if name not in spread)][: self.count]
        return tuple(HiddenFault(id=name, severity=self.severity) for name in chosen)


class HopPlan(Strict):
    """The hop to be flown."""

    height_m: Annotated[float, Field(gt=0.3, le=1.2)] = 1.0  # m; own: 0.3 below the highest allowed
    hover_s: Annotated[float, Field(ge=5, le=120)] = 30.0
    planned_s: Positive = 75.0


class Scenario(Strict):
    """A drill."""

    title: Title
    story: Story = ""
    purpose: Purpose
    origin: Literal["invented", "reported"]
    rung: Rung = ALONE
    needs: Needs = ()  # drills, families to do before
    help: Help | None = None  # what the helper does; None: as the rung says
    hint_steps: Steps = Field(default_factory=dict)  # most by family; all where it is not said
    edge_by: Line = ""  # by whose detection table severities took the place of at-edge
    airframe: Line | Airframe = library.TRAINER  # of somebody's own: by file, or in full
    site: Line | Site = ""  # where there is room for the airframe, unless it is said
    faults: Annotated[tuple[HiddenFault, ...], Field(max_length=8)] = ()
    draw: Draw | None = None
    pack_charge: Annotated[float, Field(gt=0.2, le=1)] = 0.97
    visitor_in_ring: bool = False
    blank: Annotated[tuple[Blank, ...], Field(max_length=7)] = ()  # what a new board lacks
    bad_spares: Share = 0.0  # how often a spare or a repair is bad itself; own, as the drill wants
    lacking: Annotated[tuple[Fix, ...], Field(max_length=16)] = ()  # not to be had tonight
    hop: HopPlan = HopPlan()
    seed: Annotated[int, Field(ge=0, lt=2**32)] | None = None  # if none is asked for
    careful_min: Positive = 75.0  # min; what the careful stand-in needs; shipped ones are measured

    @model_validator(mode="after")
    def _on_its_rung(self) -> "Scenario":
        if self.draw is not None and self.rung != DRAWN:
            raise ValueError(f"rung must be {DRAWN} where faults are drawn")
        if self.rung == DRAWN and self.draw is None and not self.faults:
            raise ValueError(f"rung {DRAWN} must have a draw, or faults that have been drawn")
        if self.rung == CHECK_OUT and any(f.severity == AT_EDGE for f in self.faults):
            raise ValueError(f"rung {CHECK_OUT} is the same for everybody: no severity at-edge")
        if self.rung >= DRAWN and self.helping != "none":
            raise ValueError(f"from rung {DRAWN} on there is no help")
        return self

    @field_validator("airframe")
    @classmethod
    def _airframe(cls, design: Design) -> Design:
        return file_or_known("airframe", design)

    @field_validator("site")
    @classmethod
    def _site(cls, place: Place) -> Place:
        return place and file_or_known("site", place)

    def __hash__(self) -> int:
        return hash((self.title, self.story, self.faults, self.draw))  # the same for equal drills

    @property
    def helping(self) -> Help:
        """What the helper does, stated or by the rung."""
        by_rung: dict[int, Help] = {SHOWN: "shown", HELPED: "hints"}
        return by_rung.get(self.rung, "none") if self.help is None else self.help

    @property
    def shows_checks(self) -> bool:
        """Whether a check with a form by hand may be had shown once; scripted trainees always may."""
        return self.helping == "shown"

    def hints_on(self, fault: FaultId) -> int:
        """Return the most hints there are on a fault, 0..3."""
        return self.hint_steps.get(CATALOGUE[fault].family, HINT_STEPS)

    @property
    def place(self) -> Place:
        """The site: the smallest room for the airframe where none is named."""
        return self.site or library.roomy_site(self.airframe)

    @property
    def tables(self) -> Measured:
        """What is measured of such aircraft, as it holds at this site; InputError if nothing is."""
        return measured(self.airframe, self.place)

    def on(
        self, airframe: str | None, beside: Path | None = None, site: str | None = None
    ) -> "Scenario":
        """Return the drill with what its files say in it, on another airframe or site if one is given.

        A file is looked for beside the drill, then in the folder of airframes described, then where
        one is. InputError if it is nowhere, wrong, or if a fault of the drill can't be there.
        """
        folders = [] if beside is None else [beside]
        asked: Design = self.airframe if airframe is None else airframe
        where: Place = self.site if site is None else site
        if isinstance(asked, str):
            asked = library.file_or_name(asked)
        for kind, name in (("airframe", asked), ("site", where)):
            known = library.names(f"{kind}s")
            if isinstance(name, str) and name and not library.is_file(name) and name not in known:
                near, rule = nearest(name, known), f"not a known {kind}"
                raise InputError((Problem(kind, None, "", name, rule, near),))
        found = self.model_copy(
            update={
                "airframe": _in_full(asked, Airframe, [*folders, own_airframes(), Path()]),
                "site": _in_full(where, Site, [*folders, Path()]),
            }
        )
        found.require_possible()
        return found

    def designed(self) -> World:
        """Return the world as planned: no fault, nothing scattered."""
        return world_of(
            library.airframe(self.airframe),
            self.place,
            Build(pack=Pack(charge=self.pack_charge)),
            person_in_ring=self.visitor_in_ring,
        )

    def require_possible(self) -> None:
        """Raise InputError if a fault that is named can't be on the airframe or at the site."""
        world = self.designed()
        reasons = {f.id: CATALOGUE[f.id].cannot(world) for f in self.faults}
        problems = [
            Problem(self.title, None, "faults", fault, f"can't be there: {why}")
            for fault, why in reasons.items()
            if why
        ]
        if problems:
            raise InputError(problems)

    def hidden(
        self, rng: np.random.Generator, among: Collection[FaultId] | None = None
    ) -> tuple[HiddenFault, ...]:
        """Return the faults to put in: those named, then those drawn by chance and title.

        among : those to draw from; None: all there are.
        """
        if self.draw is None:
            return self.faults
        own = np.random.default_rng([int(rng.integers(2**32)), crc32(self.title.encode())])
        return (*self.faults, *self.draw.drawn(own, self.designed(), among))

    def can_be_fixed(self, fault: FaultId) -> bool:
        """Tell whether there is a fix tonight for a fault of the catalogue."""
        return not set(CATALOGUE[fault].fixes) <= set(self.lacking)

    def world(self, rng: np.random.Generator) -> World:
        """Return the world this drill starts in, faults put in."""
        return self.set_out(rng)[0]

    def sound(self, rng: np.random.Generator) -> World:
        """Return the world as this drill starts in it but for the faults put in."""
        return scattered(self.designed(), rng.spawn(1)[0])

    def set_out(self, rng: np.random.Generator) -> tuple[World, frozenset[FaultId]]:
        """Return the world this drill starts in and the faults put in, by identifier.

        The aircraft is no textbook one: its values scatter as those of sound builds do, by a
        generator of their own.
        """
        world = self.sound(rng)
        hidden = self.hidden(rng)
        for fault in hidden:
            world = fault.put_into(world, rng, self.hop.planned_s)
        world = blanked(world, self.blank, rng.spawn(1)[0])
        return world, frozenset(fault.id for fault in hidden)


def names() -> list[str]:
    """Return the names of the shipped drills."""
    return named_in(scenarios_dir())


def find(name: str) -> Path:
    """Return the file of a drill given by path or by shipped name; InputError if there is none."""
    path = Path(name)
    if path.suffix in (".yaml", ".yml") or path.exists():
        return path
    if name in names():
        return scenarios_dir() / f"{name}.yaml"
    rule = "not a file and not a shipped drill"
    raise InputError((Problem(name, None, "", "", rule, nearest(name, names())),))


def load(name: str) -> Scenario:
    """Return a drill by path or shipped name; raises InputError with file and line."""
    path = find(name)
    found = load_model(path, Scenario)
    if (ring := circle(path.stem, found.needs)) is not None:
        rule = f"a drill can't need itself: {' needs '.join(ring)}"
        raise InputError((Problem(str(path), None, "needs", ring[1], rule),))
    return found.on(None, path.parent)


@cache
def shipped() -> Mapping[str, Scenario]:
    """Return every shipped drill by name, read once."""
    return MappingProxyType({name: load(name) for name in names()})


def circle(name: str, needs: Iterable[str], way: tuple[str, ...] = ()) -> tuple[str, ...] | None:
    """Return a way by which a drill needs itself in the end, or None.

    name, needs : of the drill; way : the drills that lead to what is asked for now.
    """
    for needed in needs:
        if needed == name:
            return (name, *way, name)
        further = () if needed in way or needed in get_args(Family) else _needs_of(needed)
        if (found := circle(name, further, (*way, needed))) is not None:
            return found
    return None


@cache
def _needs_of(name: str) -> tuple[str, ...]:
    """Return what a shipped drill needs."""
    return load_model(find(name), Scenario).needs
