"""Which column is which, as far as names tell it, and names with the motion."""

from typing import NamedTuple

import numpy as np

from sim.reproduce.channels import AXES, BODY, CHANNELS, Kind, named, of_kind
from sim.reproduce.importer.clock import unit_of
from sim.reproduce.importer.drafts import Draft
from sim.reproduce.importer.mapping import ASK
from sim.reproduce.importer.naming import Meaning, meaning
from sim.reproduce.importer.ranges import Told, with_name
from sim.reproduce.importer.reading import Table
from sim.reproduce.importer.signals import Signals, turning

BODY_OF = dict(zip(AXES, BODY, strict=True))
TURNS_WITH = 0.5  # 1; own: correlation by which a column is an angle of a rate
MOSTLY = 0.9  # 1; own: share of steps by which a time goes on


class Names(NamedTuple):
    """What all names say, and the columns nobody has a use for yet, by kind."""

    meanings: dict[str, Meaning]
    spare: dict[str, list[str]]

    def stated(self, column: str, kind: Kind) -> str | None:
        """Return the unit that a column's name states."""
        return self.meanings[column].unit_of(kind)


def _which(channel_kind: Kind, which: str | None) -> str | None:
    return BODY_OF.get(which or "", which) if channel_kind in ("accel", "field") else which


def by_names(table: Table, drafts: dict[str, Draft]) -> Names:
    """Give each channel the one column that is called so; note what several or none are."""
    said = {d.column for d in drafts.values() if d.said}
    meanings = {n: meaning(n, u) for n, u in zip(table.names, table.units, strict=True)}
    moving = {n: bool(np.isfinite(table[n]).any()) for n in table.names}
    free = [n for n in table.names if n not in said and moving[n]]
    _time(table, drafts["time_s"], meanings, free)
    used: set[str] = set()
    for channel in CHANNELS.values():
        kind = "stick" if channel.kind == "throttle" else channel.kind
        if channel.kind == "time" or drafts[channel.name].said:
            continue
        called = [n for n in free if meanings[n].kind == kind]
        if channel.which:
            called = [n for n in called if _which(channel.kind, meanings[n].which) == channel.which]
        called = _distinct(table, called)
        if len(called) == 1:
            drafts[channel.name].take(called[0], "its name")
            used.add(called[0])
        elif called:
            drafts[channel.name].take(ASK, f"several are called so: {', '.join(called[:5])}")
    spare: dict[str, list[str]] = {}
    for n in free:
        if n not in used and n != drafts["time_s"].column:
            spare.setdefault(meanings[n].kind or f"bare {meanings[n].which}", []).append(n)
    return Names(meanings, spare)


def _distinct(table: Table, names: list[str]) -> list[str]:
    """Return the columns less those that repeat another number for number."""
    kept: list[str] = []
    for n in names:
        if not any(np.array_equal(table[n], table[k], equal_nan=True) for k in kept):
            kept.append(n)
    return kept


def _time(table: Table, draft: Draft, meanings: dict[str, Meaning], free: list[str]) -> None:
    """Find the time: called so, or the one column that goes on and on."""
    if not draft.said:
        called = [n for n in free if meanings[n].kind == "time"]
        ticking = [n for n in called or free if _goes_on(table, n)]
        fitting = [n for n in ticking if unit_of(table[n]) or meanings[n].unit_of("time")]
        if len(fitting) == 1 or (called and fitting):
            why = "its name; it goes on" if called else "the only one that goes on row by row"
            draft.take(fitting[0], why)
        else:
            draft.take(ASK, "none or several go on row by row")
    if draft.found and draft.unit == ASK:
        unit = unit_of(table[draft.found])
        steps = np.diff(table[draft.found])
        steps = steps[np.isfinite(steps) & (steps > 0.0)]
        size = float(np.median(steps)) if steps.size else 0.0
        told = Told(unit, f"usual step {size:.4g}, between 10 and 2000 Hz")
        draft.tell(with_name(told, meanings[draft.found].unit_of("time"), "time"))


def _goes_on(table: Table, name: str) -> bool:
    steps = np.diff(table[name][np.isfinite(table[name])])
    return steps.size > 2 and float(np.mean(steps > 0.0)) > MOSTLY * float(np.mean(steps != 0.0)) > 0.0  # fmt: skip


def bare_angles(signals: Signals, drafts: dict[str, Draft], names: Names) -> None:
    """Take a column called by an axis alone for an angle, if it turns as a rate says."""
    rates = [c for c in (drafts[r.name].found for r in of_kind("rate")) if c]
    rates += names.spare.get("rate", [])
    for axis in AXES:
        draft = drafts[named("angle", axis)]
        bare = names.spare.get(f"bare {axis}", [])
        if (
            draft.column is not None
            or draft.said
            or len(bare) != 1
            or bare[0] not in signals.columns
        ):
            continue
        angle = signals.columns[bare[0]]
        best = max((abs(turning(signals, angle, signals.columns[r]).corr) for r in rates if r in signals.columns), default=0.0)  # fmt: skip
        if best >= TURNS_WITH:
            draft.take(bare[0], f"its name; it turns with a rate (correlation {best:.2f})")


def ask_for_needed(drafts: dict[str, Draft]) -> None:
    """Leave open what can't be done without and was not found."""
    for channel in CHANNELS.values():
        draft = drafts[channel.name]
        if channel.needed and draft.column is None and not draft.said:
            draft.take(ASK, "no name says so")
