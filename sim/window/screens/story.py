"""The long sheet of the debrief: every fault's ladder, unsafe conduct, the hop, the run folder."""

from pathlib import Path
from typing import Any

from sim.faults.catalogue import CATALOGUE
from sim.procedure.barriers import BARRIERS, MITIGATIONS
from sim.procedure.bowties import BowTie, Threat, about, opened
from sim.procedure.hazards import hazard_words
from sim.window import theme
from sim.window.action_words import cause_words
from sim.window.canvas import Canvas, Rect
from sim.window.pictures import paper
from sim.window.screens.paper import Column
from sim.window.screens.work import judgement, squawks, work
from sim.window.theme import BODY, BODY_BOLD, NOTE, SMALL
from sim.window.values import Units, reading_told

Card = dict[str, Any]

RUNGS = ("noticed", "named", "cleared", "proved")
BOX_UNITS = 15.0  # units; own: a rung's box at 100 % text
FIGURES = {
    "desired_s": "kept still in the inner band",
    "adequate_s": "kept still in the outer band",
    "worst_away_m": "farthest from the middle",
    "touchdown_m_s": "touched down at",
}
NO_FAULTS = "There was no hidden fault, and none was made."
NO_HAZARDS = "No unsafe act was seen."
NO_HOP = "The aircraft did not leave the floor."
LEVEL = "danger {level} of 5"


def story(canvas: Canvas, sheet: Rect, card: Card, folder: Path | None, units: Units) -> float:
    """Write the sheet; return the height used, px."""
    column = Column(canvas, sheet)
    _faults(column, card)
    _hazards(column, card)
    squawks(column, card)
    work(column, card)
    judgement(column, card)
    _ties(column, card)
    _hop(column, card, units)
    _afterwards(column, card["air"])
    column.head("Where it lies")
    column.write(str(folder or "Not saved."), NOTE, 2)
    column.small(f"drill {card['scenario']}, seed {card['seed']}")
    return column.used


def _faults(column: Column, card: Card) -> None:
    column.head("Faults")
    if not card["faults"]:
        column.write(NO_FAULTS, BODY, 8)
    for rung in card["faults"]:
        made = ", made by yourself" if rung["made_by_trainee"] else ""
        column.strong(cause_words(rung["id"]).capitalize() + made)
        column.small(f"{rung['family']}, {LEVEL.format(level=rung['hazard'])}", 3)
        _rungs(column, rung)
        if rung["sure"]:
            column.small(f"Named {100 * rung['sure']:.0f} % sure.", 3)
        _at_the_end(column, rung, card)
        fault = CATALOGUE.get(rung["id"])
        if fault is not None:
            column.write(fault.explanation, BODY, 3)
            column.write(f"In the air: {fault.in_the_air}", BODY, 3)
            if fault.only_in_the_air:
                column.write(fault.only_in_the_air, BODY, 3)
        column.gap(8)


def _rungs(column: Column, rung: Card) -> None:
    """Draw the four rungs as boxes with a tick; a half one says so."""
    canvas, u = column.canvas, column.canvas.scale
    size = BOX_UNITS * u * min(1.5, canvas.text_scale)
    x, row = column.rest.x, column.top(0.0)
    line = canvas.measure("x", BODY)[1] + 5 * u
    y = row.y
    for name in RUNGS:
        value = float(rung[name])
        words = f"{name} (family)" if 0.0 < value < 1.0 else name
        if name == "noticed" and rung["by_precaution"]:
            words = "ended by a precaution"
        wide = size + 8 * u + canvas.measure(words, BODY)[0] + 22 * u
        if x + wide > row.right and x > row.x:
            x, y = row.x, y + line
        paper.box(canvas, Rect(x + 2 * u, y + (line - size) / 2, size, size), value >= 1.0)
        if 0.0 < value < 1.0:
            half = ((x + 2 * u, y + (line + size) / 2), (x + 2 * u + size, y + (line - size) / 2))
            canvas.line(half, theme.PENCIL, 2 * u)
        canvas.text((x + size + 9 * u, y + 2 * u), words, BODY)
        x += wide
    column.top(y + line - row.y, 3)


def _at_the_end(column: Column, rung: Card, card: Card) -> None:
    """Tell what became of a fault: gone, there and left, or made and left."""
    flew = card["takeoff_s"] is not None
    if flew and not rung["present_at_takeoff"]:
        column.write("Gone before takeoff.", BODY, 3)
    elif flew or not rung["cleared"]:
        made = rung["made_by_trainee"]
        whose = "You made it, and left it" if made else "It was there, and you left it"
        rightly = card["sound_decision"] or card["wise_refusal"]
        then = " in at takeoff." if flew else " to the instructor." if rightly else "."
        column.write(whose + then, BODY_BOLD.on(theme.WARNING) if flew else BODY_BOLD, 3)
    if rung["lucky"]:
        column.write(f"You were lucky: {rung['lucky']}", BODY_BOLD, 3)


def _hazards(column: Column, card: Card) -> None:
    column.head("Unsafe acts")
    if not card["hazards"]:
        column.write(NO_HAZARDS, BODY, 8)
    for logged in card["hazards"]:
        grave = "Grave" if logged["critical"] else "Unsafe"
        style = BODY_BOLD.on(theme.WARNING) if logged["critical"] else BODY_BOLD
        column.write(f"{grave}, {_when(logged, card['takeoff_s'])}", style)
        column.write(hazard_words(logged["id"]), BODY, 6)


def _when(logged: Card, takeoff_s: float | None) -> str:
    """Return when a hazard arose by the clock that was seen: the evening's, in the air the hop's."""
    if takeoff_s is not None and logged["time_s"] >= takeoff_s:
        return f"{logged['time_s'] - takeoff_s:.1f} s after takeoff"
    return f"at minute {logged['minutes']:.0f}"


def threads(card: Card) -> list[tuple[BowTie, list[Threat]]]:
    """Return every unwanted event that faults or conduct opened a way to, with those ways."""
    found: dict[str, tuple[BowTie, list[Threat]]] = {}
    for tie, threat in opened(frozenset(rung["id"] for rung in card["faults"])):
        found.setdefault(tie.key, (tie, []))[1].append(threat)
    for logged in card["hazards"]:
        tie_of = about(logged["id"])
        if tie_of is not None:
            found.setdefault(tie_of.key, (tie_of, []))
    return list(found.values())


def _ties(column: Column, card: Card) -> None:
    for tie, threats in threads(card):
        column.head(f"Could have come to: {tie.top_event[0].lower()}{tie.top_event[1:]}")
        for threat in threats:
            column.strong(threat.words)
            for key in threat.barriers:
                barrier = BARRIERS[key]
                weak = f" Given up when: {barrier.weakened_by}." if barrier.weakened_by else ""
                column.write(f"held back by: {barrier.words}.{weak}", SMALL.on(theme.INK), 1)
            column.gap(4)
        softer = "; ".join(MITIGATIONS[key].words for key in tie.mitigations)
        column.write(f"Made less bad by: {softer}.", SMALL.on(theme.INK), 1)
        column.write(f"Else: {'; '.join(tie.consequences)}.", SMALL.on(theme.INK), 3)
        column.write(tie.lesson, BODY, 10)


def _hop(column: Column, card: Card, units: Units) -> None:
    column.head("The hop")
    hop = card["hop"]
    if card["takeoff_s"] is None:
        column.write(NO_HOP, BODY, 8)
        return
    figures = [("took off after", reading_told("takeoff_s", card["takeoff_s"], units).amount)]
    told = {k: w for k, w in FIGURES.items() if not (hop["crashed"] and k == "touchdown_m_s")}
    figures += [(words, reading_told(key, hop[key], units).amount) for key, words in told.items()]
    canvas = column.canvas
    for words, amount in figures:
        row = column.top(canvas.measure("x", BODY)[1] + 2 * canvas.scale)
        canvas.text((row.x, row.y), words, BODY)
        canvas.text((min(row.right, row.x + 0.8 * row.w), row.y), amount, theme.NUMBER, "right")
    if hop["crashed"]:
        column.write("It ended in a crash.", BODY_BOLD.on(theme.WARNING))
    column.gap(8)


def _afterwards(column: Column, air: Card) -> None:
    """Tell of the hops after the first, and of what was found once it had flown."""
    if not air["found"] and len(air["hops"]) < 2:
        return
    column.head("After the first takeoff")
    column.small("It earns nothing for the first hop, and is told apart.", 3)
    if air["landed_at_first_doubt"]:
        column.strong("You landed at the first doubt: well done.")
    for found in air["found"]:
        column.strong(cause_words(found["id"]).capitalize())
        column.write(_after_words(found), BODY, 4)
    for n, hop in enumerate(air["hops"][1:], start=2):
        aboard = ", ".join(cause_words(name) for name in hop["present"]) or "no fault"
        column.write(f"Hop {n} took off with {aboard}.", BODY, 3)
        if hop["crash"]:
            column.write(" ".join(hop["crash"]), BODY_BOLD.on(theme.WARNING), 3)
    column.gap(8)


def _after_words(found: Card) -> str:
    """Return what was made of a fault after the first takeoff."""
    if found["named"]:
        how = "You felt it in the air" if found["felt"] else "You found it afterwards"
    else:
        how = "You did not name it"
    if not found["cleared"]:
        return f"{how}; it was not cleared."
    return f"{how}; it was cleared and proved." if found["proved"] else f"{how}; it went unproved."
