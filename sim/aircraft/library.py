"""The shipped airframes, packs, sites and tables, by name."""

import re
from functools import cache
from pathlib import Path
from typing import Annotated, NamedTuple, TypeVar

import numpy as np
from pydantic import BaseModel, Field

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import PackSpec
from sim.aircraft.fields import Line, Positive, Strict
from sim.aircraft.site import Site
from sim.aircraft.textfile import load_model
from sim.errors import InputError, Problem, nearest
from sim.kernel.tables import Tables
from sim.paths import assets_dir, named_in, own_airframes
from sim.units import M_PER_IN, M_PER_MM, RAD_S_PER_RPM

M = TypeVar("M", bound=BaseModel)
Design = str | Airframe  # an airframe by name or file, or itself
Place = str | Site  # a site likewise

TRAINER = "trainer-254mm"  # the airframe of what names no other
STILL_M_S = 0.05  # m/s; own: the air of a shut room, a quarter of what counts as a draught
ROOM_DIAMETERS = 9.0  # propellers; own: half the room's side; its own wash lifts it in less
PAST_THE_TABLE = 1.0  # 1; own: one more step of the last slope, so that thrust passes zero


class PropellerTable(Strict):
    """Measured coefficients of one propeller, at rest by rpm and in climb by advance ratio."""

    name: Line
    diameter_m: Positive
    static: Annotated[tuple[tuple[float, float, float], ...], Field(min_length=2)]
    axial: Annotated[tuple[tuple[float, float, float, float], ...], Field(min_length=2)]


class CellTable(Strict):
    """Open-circuit voltage of a cell by state of charge."""

    name: Line
    open_circuit: Annotated[tuple[tuple[float, float], ...], Field(min_length=2)]


def names(kind: str) -> list[str]:
    """Return the names of the shipped files of a kind: airframes, packs, sites or tables."""
    return named_in(assets_dir() / kind)


PROPELLER = re.compile(r"propeller-(?P<across>[\d.]+)x(?P<pitch>[\d.]+)(?P<mm>mm)?")


class Propeller(NamedTuple):
    """A measured propeller: the name of its table, diameter and pitch, m."""

    table: str
    diameter_m: float
    pitch_m: float


@cache
def propellers() -> tuple[Propeller, ...]:
    """Return the measured propellers; a name says diameter and pitch in inches, or in mm."""
    found = (PROPELLER.fullmatch(name) for name in names("tables"))
    return tuple(
        Propeller(
            m[0].removeprefix("propeller-"),
            *(float(m[x]) * (M_PER_MM if m["mm"] else M_PER_IN) for x in ("across", "pitch")),
        )
        for m in found
        if m
    )


def _named(kind: str, name: str, model: type[M]) -> M:
    path = assets_dir() / kind / f"{name}.yaml"
    known = names(kind)
    if name not in known:
        near, rule = nearest(name, known), f"not one of the shipped {kind}"
        raise InputError((Problem(kind, None, "name", repr(name), rule, near),))
    return load_model(path, model)


def is_file(name: str) -> bool:
    """Tell whether a name is that of a file of somebody's own, not of a shipped one."""
    return name.endswith((".yaml", ".yml"))


def file_or_name(name: str) -> str:
    """Return the file of an airframe described here if one is called so and no shipped one is."""
    kept = own_airframes() / f"{name}.yaml"
    return str(kept) if name not in names("airframes") and kept.is_file() else name


def called(design: Design | Place) -> str:
    """Return what an airframe or a site is called."""
    return design if isinstance(design, str) else design.name


def _own_or_named(kind: str, name: str, model: type[M]) -> M:
    return load_model(Path(name), model) if is_file(name) else _named(kind, name, model)


@cache
def airframe(design: Design) -> Airframe:
    """Return an airframe, by name or file if not itself; InputError names the nearest if there is none."""
    if isinstance(design, Airframe):
        return design
    return _own_or_named("airframes", design, Airframe)


@cache
def pack(kind: str | PackSpec) -> PackSpec:
    """Return a kind of pack, shipped if given by name; InputError names the nearest if there is none."""
    return kind if isinstance(kind, PackSpec) else _named("packs", kind, PackSpec)


@cache
def site(place: Place) -> Site:
    """Return a site, by name or file if not itself; InputError names the nearest if there is none."""
    return place if isinstance(place, Site) else _own_or_named("sites", place, Site)


@cache
def roomy_site(design: Design) -> str:
    """Return the smallest shipped room of still air with space round a hovering airframe, by name."""
    wanted_m = ROOM_DIAMETERS * airframe(design).propeller.diameter_m
    still = (one for one in names("sites") if site(one).gust_m_s <= STILL_M_S)
    rooms = sorted(still, key=lambda one: site(one).room.half_side_m)
    return next(one for one in rooms if site(one).room.half_side_m >= wanted_m or one == rooms[-1])


@cache
def tables(propeller: str, cell: str = "pouch-cell") -> Tables:
    """Return the kernel's look-up tables for a propeller and a kind of cell."""
    prop = _named("tables", f"propeller-{propeller}", PropellerTable)
    cells = _named("tables", "cell-voltage", CellTable)
    static = np.array(prop.static)
    ratio, ct, cp, rpm = np.array(prop.axial).T
    thrust = ct / np.interp(rpm, static[:, 0], static[:, 1])
    power = cp / np.interp(rpm, static[:, 0], static[:, 2])
    shares = np.vstack([[0.0, 1.0, 1.0], np.column_stack([ratio, thrust, power])])
    beyond = shares[-1] + (shares[-1] - shares[-2]) * PAST_THE_TABLE
    shares = np.vstack([shares, beyond])
    charge = np.array(cells.open_circuit)
    columns = (
        static[:, 0] * RAD_S_PER_RPM,
        static[:, 1],
        static[:, 2],
        shares[:, 0],
        shares[:, 1],
        shares[:, 2],
        charge[:, 0],
        charge[:, 1],
    )
    return Tables(*(np.ascontiguousarray(column) for column in columns))


def airframe_problems(where: str, airframe: Airframe) -> list[Problem]:
    """Return what is wrong with an airframe beyond its own values: parts it names. where : for messages."""
    problems: list[Problem] = []
    try:
        if pack(airframe.pack).cells != airframe.cells:
            rule = "must be those of the pack"
            problems.append(Problem(where, None, "cells", str(airframe.cells), rule))
    except InputError as error:
        problems += error.problems
    known = [p.table for p in propellers()]
    if airframe.propeller.table not in known:
        rule = f"must be one of: {', '.join(known)}"
        problems.append(Problem(where, None, "propeller.table", airframe.propeller.table, rule))
    return problems
