"""What the logbook's commands print."""

from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from sim.commands.report import folded_table
from sim.errors import legible
from sim.logbook.ahead import Next
from sim.logbook.export import row
from sim.logbook.person import MOSTLY, Person, topics_data
from sim.session.scenario import RUNGS

LATEST = 12  # attempts; own: what a screen holds


def _add(sheet: Table, *cells: object) -> None:
    sheet.add_row(*(Text(legible(str(cell))) for cell in cells))


def next_data(name: str, coming: Next) -> dict[str, Any]:
    """Return what comes next for somebody as plain data."""
    drill = coming.drill
    return {
        "trainee": name,
        "drill": drill.name,
        "title": drill.title,
        "rung": drill.rung,
        "reason": coming.reason,
    }


def among_others(one: Person) -> dict[str, Any]:
    """Return a person in short, as plain data for all to read: not why a drill comes next."""
    short = summary(one)
    return {**short, "next": {k: v for k, v in short["next"].items() if k != "reason"}}


def summary(one: Person) -> dict[str, Any]:
    """Return a person in short, as plain data."""
    return {
        "trainee": one.name,
        "attempts": one.brief.attempts_n,
        "cleared": sorted(one.brief.cleared),
        "last": one.brief.last.ended.isoformat() if one.brief.last else None,
        "next": next_data(one.name, one.next),
    }


def whole(one: Person) -> dict[str, Any]:
    """Return all of a person as plain data."""
    return {
        **summary(one),
        "topics": topics_data(one),
        "faults": [met._asdict() for met in one.faults],
        "grave": [{**g._asdict(), "ended": g.ended.isoformat()} for g in one.graves],
        "signed": [{**s._asdict(), "at": s.at.isoformat()} for s in one.signed],
        "history": [row(attempt) for attempt in one.attempts],
    }


def everybody_table(people: Sequence[Person]) -> Table:
    """Return everybody, a line each, by name."""
    sheet = folded_table("name", "attempts", "drills cleared", "last", "next")
    for one in people:
        _add(
            sheet,
            one.name,
            one.brief.attempts_n,
            len(one.brief.cleared),
            one.last_day,
            one.next.drill.title,
        )
    return sheet


def _faults(one: Person) -> Table:
    sheet = folded_table("fault met", "times", "proved")
    for met in one.faults:
        _add(sheet, met.fault, met.met_n, met.proved_n)
    return sheet


def _signed(one: Person) -> Table:
    sheet = folded_table("check-out", "signed by", "day")
    for check_out in one.signed:
        _add(sheet, check_out.title, check_out.instructor, check_out.day)
    return sheet


def print_person(to: Console, one: Person) -> None:
    """Print where somebody stands, their latest attempts, grave acts and what comes next."""
    to.print(Text(legible(one.name), style="bold"))
    topics = folded_table("topic", "ready for", "proved", "belief", "chance, and at least", "due")
    for data in topics_data(one):
        if "tried" not in data:
            _add(topics, data["words"], data["ready"], "", "", "", "")
            continue
        sure = f"{100 * data['chance']:.0f} %, {100 * data['at_least']:.0f} %"
        proved = f"{data['proved']} of {data['tried']}"
        belief = f"{100 * data['belief']:.0f} %"
        _add(topics, data["words"], data["ready"], proved, belief, sure, data["due"][:10])
    to.print(topics)
    to.print(
        f"Chance: to prove such a fault at the rung “{RUNGS[2]}”; at least: in nine cases of ten."
    )
    to.print(
        f"Belief: how sure the count alone makes one that {100 * MOSTLY:.0f} % and more are proved."
    )
    if one.faults:
        to.print(_faults(one))
    latest = folded_table("ended", "drill", "rung", "verdict", "points", "minutes")
    for done in one.attempts[-LATEST:]:
        when = f"{done.ended.astimezone():%Y-%m-%d %H:%M}"
        _add(
            latest,
            when,
            done.title,
            done.rung,
            done.verdict,
            f"{done.points:.1f}",
            f"{done.minutes:.0f}",
        )
    to.print(latest)
    if one.signed:
        to.print(_signed(one))
    for grave in one.graves[-LATEST:]:
        to.print(
            Text(
                legible(
                    f"Grave, {grave.ended.astimezone():%Y-%m-%d}, {grave.drill}: {grave.hazard}"
                )
            )
        )
    to.print(Text(legible(f"Next: {one.next.drill.title}. {one.next.reason}")))
