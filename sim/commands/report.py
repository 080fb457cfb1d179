"""Scorecards, lists and tables on a terminal."""

from itertools import groupby
from operator import itemgetter
from typing import Any

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.panel import Panel
from rich.table import Table
from rich.text import Text

from sim.errors import legible

YES, NO = "yes", "no"


def folded_table(*heads: str) -> Table:
    """Return an empty table with these columns, in which long words are folded."""
    table = Table(box=box.SIMPLE, padding=(0, 1, 0, 0))
    for head in heads:
        table.add_column(head, overflow="fold")
    return table


def yes(value: object) -> str:
    """Return yes or no."""
    return YES if value else NO


def at_takeoff(rung: dict[str, Any]) -> str:
    """Return whether a fault was there at takeoff, and whose it was."""
    if not rung["present_at_takeoff"]:
        return "gone"
    return "made, left in" if rung["made_by_trainee"] else "was there, left in"


def fault_table(rungs: list[dict[str, Any]]) -> Table:
    """Return the ladder as a table."""
    table = Table(box=box.SIMPLE, padding=(0, 1, 0, 0))
    for name in ("fault", "hazard", "noticed", "named", "cleared", "proved", "takeoff"):
        table.add_column(name, no_wrap=True)
    for rung in rungs:
        named = {0.0: NO, 1.0: f"{100 * rung['sure']:.0f} %"}.get(rung["named"], "family")
        table.add_row(
            rung["id"] if rung["present_at_start"] else f"{rung['id']} (made by the trainee)",
            str(rung["hazard"]),
            yes(rung["noticed"]),
            named,
            yes(rung["cleared"]),
            yes(rung["proved"]),
            at_takeoff(rung),
        )
    return table


def lucky_told(rungs: list[dict[str, Any]]) -> list[str]:
    """Return, of each fault that flew and did not show, why it did not."""
    return [f"{rung['id']}: you were lucky: {rung['lucky']}" for rung in rungs if rung["lucky"]]


def work_told(card: dict[str, Any]) -> list[str]:
    """Return what was changed for nothing, how faulty was told from sound, and how sure one was."""
    lines, seen = [], card["detection"]
    if card["needless"]:
        lines.append(f"Changed though nothing called for it: {', '.join(card['needless'])}.")
    if card["parts_used"]:
        lines.append(f"Parts used: {card['parts_used']}.")
    faulty = seen["hits"] + seen["misses"]
    sound = seen["false_alarms"] + seen["correct_rejections"]
    if faulty + sound:
        lines.append(
            f"Of what your checks could show, {faulty} faults were there and {sound} were not: "
            f"you called {seen['hits']} rightly and {seen['false_alarms']} wrongly "
            f"(d': {seen['d_prime_words']})."
        )
    known = card["calibration"]
    if known:
        lines.append(
            f"{known['claims']} causes claimed, {100 * known['stated']:.0f} % sure on average and "
            f"{100 * known['right']:.0f} % right; Brier score {known['brier']:.2f} "
            "(0 is best, 0.25 is always saying 50 %)."
        )
    return lines


def air_told(air: dict[str, Any]) -> list[str]:
    """Return what came of the air: praise, what was found after the first takeoff, later hops."""
    lines = []
    if air["landed_at_first_doubt"]:
        lines.append("Landed at the first doubt: well done.")
    for found in air["found"]:
        rungs = [word for word in ("named", "cleared", "proved") if found[word]]
        done = ", ".join(rungs) or "not found"
        flew = "flew with it" if found["flew"] else "came after the first takeoff"
        lines.append(f"After the first takeoff: {found['id']} ({flew}): {done}.")
    for n, hop in enumerate(air["hops"][1:], start=2):
        aboard = ", ".join(hop["present"]) or "no fault"
        crashed = "; it crashed" if hop["crash"] else ""
        lines.append(f"Hop {n}: took off at {hop['takeoff_s']:.1f} s with {aboard}{crashed}.")
    return lines


def print_scorecard(console: Console, card: dict[str, Any]) -> None:
    """Print a scorecard."""
    from sim.procedure.hazards import (
        HAZARDS,  # here, for lists do without all that stands behind it
    )

    parts = card["parts"]
    head = (
        f"   {card['points']:.1f} of 100 points\n"
        f"faults {100 * parts['ladder']:.0f} %, conduct {100 * parts['conduct']:.0f} %, "
        f"hop {100 * parts['hop']:.0f} %; of what was to be seen, {100 * parts['seen']:.0f} %\n"
        f"drill {legible(card['scenario'])!r} ({card['title']}), seed {card['seed']}, "
        f"trainee {legible(card['trainee'])}, {card['minutes']:.0f} bench minutes "
        f"(careful needs {card['careful_min']:.0f})"
    )
    body = Text(f"{card['verdict'].upper()}", style="bold").append(head, style="not bold")
    console.print(Panel(body, title="Scorecard", expand=False))
    if not card["finished"]:
        console.print(
            "Unfinished: the attempt was left in the middle and is scored as far as it went."
        )
    if card["locked_up"]:
        console.print("The evening was over: the club locked up, and the aircraft stayed.")
    if card["wise_refusal"]:
        console.print("A wise refusal: what is left can't be put right tonight, and was named.")
    if card["sound_decision"]:
        console.print("A sound decision: what was found is left to the instructor.")
    if card["faults"]:
        console.print(fault_table(card["faults"]))
        for line in lucky_told(card["faults"]):
            console.print(line)
    else:
        console.print("No hidden faults in this drill, and none made.")
    for hazard in card["hazards"]:
        kind = "CRITICAL" if hazard["critical"] else "hazard"
        console.print(f"{kind} at {hazard['time_s']:.1f} s: {HAZARDS[hazard['id']].words}")
    for claim in card["false_squawks"]:
        after = ", and changed something for it" if claim["led_to_change"] else ""
        console.print(f"False squawk: {claim['cause']}, {100 * claim['sure']:.0f} % sure{after}.")
    for line in work_told(card):
        console.print(line)
    hop = card["hop"]
    if card["takeoff_s"] is None:
        console.print("The aircraft did not leave the floor.")
    else:
        console.print(
            f"Hop: took off at {card['takeoff_s']:.1f} s; kept still {hop['desired_s']:.1f} s in the "
            f"inner band, {hop['adequate_s']:.1f} s in the outer; touched down at "
            f"{hop['touchdown_m_s']:.2f} m/s{', crashed' if hop['crashed'] else ''}."
        )
    for line in air_told(card["air"]):
        console.print(line)


def listing(rows: list[dict[str, Any]], columns: tuple[str, ...]) -> Table:
    """Return rows of plain data as a table; the first column is never cut."""
    table = Table(box=box.SIMPLE, padding=(0, 1, 0, 0))
    for column in columns:
        table.add_column(column.replace("_", " "), no_wrap=column == columns[0], overflow="fold")
    for row in rows:
        table.add_row(*(Text(_cell(row[column])) for column in columns))
    return table


def print_blocks(
    console: Console, rows: list[dict[str, Any]], head: tuple[str, str], more: tuple[str, ...]
) -> None:
    """Print rows of plain data as short blocks: a head line, then indented lines."""
    for row in rows:
        console.print(
            Text(row[head[0]], style="bold").append(f"  {row[head[1]]}", style="not bold")
        )
        for key in more:
            if row[key]:
                line = Text(f"{key.replace('_', ' ')}: {_cell(row[key])}")
                console.print(Padding(line, (0, 0, 0, 4)))


def print_objective_tests(console: Console, rows: list[dict[str, Any]]) -> None:
    """Print the objective tests, gathered by item and source."""
    for head, group in groupby(rows, itemgetter("item", "kind", "status", "source")):
        item, kind, status, source = head
        console.print(Text(item, style="bold"))
        console.print(Padding(Text(f"{kind}, {status}: {source}", style="dim"), (0, 0, 0, 2)))
        table = Table(box=None, padding=(0, 2, 0, 0), show_header=False)
        for row in group:
            table.add_row(
                "pass" if row["passed"] else "FAIL",
                row["quantity"],
                f"theirs {row['value']:.6g}",
                f"ours {row['ours']:.6g} {row['unit']}",
                f"within {row['tolerance']:.2g} {row['tolerance_kind']}",
            )
        console.print(Padding(table, (0, 0, 1, 2)))


def _cell(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(str(part) for part in value)
    return f"{value:.6g}" if isinstance(value, float) else str(value)
