"""The long sheet of the debrief: own words, unsafe acts, every fault, squawks, work, the hop, the run folder."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.procedure.barriers import BARRIERS, MITIGATIONS
from sim.procedure.bowties import BowTie, Threat, about, opened
from sim.procedure.hazards import hazard_harm, hazard_words
from sim.session.ownwords import OwnWords
from sim.window import theme
from sim.window.action_words import cause_words
from sim.window.canvas import Rect
from sim.window.debriefing import Debriefed, HintTold, OnTheRealOne
from sim.window.debriefwords import SAYS
from sim.window.screens.faultstory import faults
from sim.window.screens.paper import Column
from sim.window.screens.work import called_open, judgement, squawks, work
from sim.window.searchwords import SearchTold
from sim.window.theme import BODY, BODY_BOLD, NOTE, SMALL
from sim.window.ui import Ui
from sim.window.values import Units, reading_told

Card = dict[str, Any]

FIGURES = {
    "desired_s": "kept still in the inner band",
    "adequate_s": "kept still in the outer band",
    "worst_away_m": "farthest from the middle",
    "touchdown_m_s": "touched down at",
}


@dataclass(frozen=True)
class Shown:
    """What the sheet tells of: scorecard, story, own words, where the run lies, None if it is not saved."""

    card: Card
    told: Debriefed
    words: OwnWords | None
    folder: Path | None
    units: Units


class Story:
    """The sheet. `asked`: the act that the run is to be watched from, once that was pressed."""

    def __init__(self) -> None:
        self.asked: int | None = None

    def draw(self, ui: Ui, sheet: Rect, shown: Shown) -> float:
        """Write the sheet; return the height used, px."""
        card, told = shown.card, shown.told
        column = Column(ui.canvas, sheet)
        if shown.words is not None:
            _own_words(column, shown.words)
        _hazards(column, card)
        self.asked = faults(ui, column, card, told.faults, shown.folder is not None, told.edge)
        if told.search is not None:
            _search(column, told.search)
        squawks(column, card, told.squawks)
        _hints(column, told.hints)
        called_open(column, told.calls)
        work(column, card, told)
        judgement(column, card)
        _ties(column, card)
        _hop(column, card, shown.units)
        _afterwards(column, card["air"])
        _on_the_real_one(column, told.real)
        column.head("Where it lies")
        column.write(str(shown.folder or "Not saved."), NOTE, 2)
        column.small(f"drill {card['scenario']}, seed {card['seed']}")
        return column.used


def _own_words(column: Column, words: OwnWords) -> None:
    """Write what the trainee would keep and change, in pencil."""
    if not words.plus and not words.delta:
        return
    column.head("Your own view")
    for label, lines in (("Keep", words.plus), ("Change", words.delta)):
        if lines:
            column.small(label, 0)
        for line in lines:
            column.write(line, NOTE, 2)
    column.gap(8)


def _hazards(column: Column, card: Card) -> None:
    column.head("Unsafe acts")
    if not card["hazards"]:
        column.write(SAYS.no_hazards, BODY, 8)
    for logged in card["hazards"]:
        grave = "Grave" if logged["critical"] else "Unsafe"
        style = BODY_BOLD.on(theme.WARNING) if logged["critical"] else BODY_BOLD
        column.write(f"{grave}, {_when(logged, card['takeoff_s'])}", style)
        column.write(hazard_words(logged["id"]), BODY)
        column.write(hazard_harm(logged["id"]), SMALL.on(theme.INK), 6)


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
        column.write(SAYS.no_hop, BODY, 8)
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


def _hints(column: Column, hints: tuple[HintTold, ...]) -> None:
    """Tell which hints the helper gave."""
    if not hints:
        return
    column.head("Hints used")
    for one in hints:
        column.small(one.when, 0)
        column.write(one.words, BODY, 3)
    column.gap(6)


def _search(column: Column, told: SearchTold) -> None:
    """Tell how the search went: what was known when, the shortest way beside it, and habits that cost."""
    column.head("The search")
    for line in told.known:
        column.write(line, BODY, 3)
    column.write(told.beside, BODY, 3)
    for n, line in enumerate(told.way, start=1):
        column.write(f"{n}. {line}", SMALL.on(theme.INK), 1)
    for head, lines in ((SAYS.dear, told.dear), (SAYS.habits, told.habits)):
        if lines:
            column.gap(4)
            column.strong(head)
        for line in lines:
            column.write(line, BODY, 3)
    column.small(SAYS.reckoned, 8)


def _on_the_real_one(column: Column, real: tuple[OnTheRealOne, ...]) -> None:
    """Tell what to do about each fault on the real aircraft."""
    if not real:
        return
    column.head("On the real aircraft")
    for one in real:
        column.strong(one.name.capitalize())
        lines = (("Look", one.check), ("Put right", one.fix), ("Prove it", one.proof))
        told = "; ".join(f"{label}: {words}" for label, words in lines if words)
        column.write(f"{told}. {one.caution}".strip(), BODY, 4)
    column.small(SAYS.real, 8)
