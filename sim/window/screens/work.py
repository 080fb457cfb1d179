"""What the debrief tells of work and judgement: minutes, changes, squawks, how sure one was."""

from typing import Any

from sim.window import theme
from sim.window.action_words import cause_words, fix_words
from sim.window.debriefing import CalledOpen, Debriefed, Squawked
from sim.window.debriefwords import SAYS
from sim.window.screens.paper import Column
from sim.window.theme import BODY, BODY_BOLD, NOTE, SMALL

Card = dict[str, Any]
NO_NEED = "Nothing was changed without need."


def times(n: int, one: str, many: str) -> str:
    """Return a number with its noun."""
    return f"{n} {one if n == 1 else many}"


def work(column: Column, card: Card, told: Debriefed) -> None:
    """Write minutes, the checks that told or would have told most, needless changes and parts used."""
    column.head("The work")
    column.write(minutes_told(card), BODY, 3)
    if told.best:
        column.write(f"{SAYS.best}: {told.best}.", BODY, 3)
    if told.paid:
        column.write(f"{SAYS.paid}: {told.paid}.", BODY, 3)
    if card["needless"]:
        column.write("Changed though nothing called for it:", BODY)
        for fix in card["needless"]:
            column.write(fix_words(fix), NOTE)
        column.gap(3)
    else:
        column.write(NO_NEED, BODY, 3)
    if card["parts_used"]:
        vain = told.parts_for_nothing
        of_it = f", {vain} of them for nothing" if vain else ""
        words = f"Out of the parts bin: {times(card['parts_used'], 'part', 'parts')}{of_it}."
        column.write(words, BODY)
    column.gap(8)


def minutes_told(card: Card) -> str:
    """Return the minutes at work beside those the careful need."""
    return f"{card['minutes']:.0f} min at work; the careful need {card['careful_min']:.0f}"


def squawks(column: Column, card: Card, told: tuple[Squawked, ...]) -> None:
    """Write the squawks with why they were so or not, what wrong ones cost, and those on nothing."""
    if told:
        column.head("Squawks, and why they were so or not")
    for one in told:
        so = "so" if one.so else "not so"
        column.write(f"{one.cause}, {one.sure} sure, {one.when}: {so}", NOTE)
        column.write(f"{one.why[0].upper()}{one.why[1:]}.", SMALL.on(theme.INK), 4)
    if card["false_squawks"]:
        column.head("Squawks that were not so")
        for claim in card["false_squawks"]:
            after = ", and something was changed for it" if claim["led_to_change"] else ""
            sure = f", {100 * claim['sure']:.0f} % sure"
            half = "; its line spoke for it, so it cost half" if claim["well_founded"] else ""
            column.write(cause_words(claim["cause"]) + sure + after + half, NOTE, 2)
        column.gap(8)
    if card["on_nothing"]:
        column.head("Squawks that rested on nothing")
        for cause in card["on_nothing"]:
            column.write(cause_words(cause), NOTE, 2)
        column.small("No line that had been read: they did not count as noticing.", 8)


def called_open(column: Column, calls: tuple[CalledOpen, ...]) -> None:
    """Write the cards called complete over open lines."""
    if not calls:
        return
    column.head(SAYS.called_open)
    for call in calls:
        column.strong(f"{call.card}, {call.when}")
        for line in call.lines:
            column.write(line, SMALL.on(theme.INK), 1)
        if call.killers:
            hurt = times(call.killers, "of these lines is", "of these lines are")
            column.write(f"{hurt} about what can hurt.", BODY_BOLD)
        column.gap(4)
    column.gap(6)


def judgement(column: Column, card: Card) -> None:
    """Write how faulty was told from sound, and how well chances stated agreed with what was so."""
    seen, known = card["detection"], card["calibration"]
    faulty = seen["hits"] + seen["misses"]
    sound = seen["false_alarms"] + seen["correct_rejections"]
    if not faulty + sound and not known:
        return
    column.head("Your judgement")
    if faulty + sound:
        there = times(faulty, "fault was there", "faults were there")
        column.write(
            f"Of all that your checks could show, {there} and {sound} not. You found "
            f"{seen['hits']} and raised {times(seen['false_alarms'], 'false alarm', 'false alarms')}.",
            BODY,
            2,
        )
        column.write(f"Faulty told from sound, d': {seen['d_prime_words']}.", SMALL, 4)
    if known:
        column.write(
            f"You claimed {times(known['claims'], 'cause', 'causes')}, on average "
            f"{100 * known['stated']:.0f} % sure; {100 * known['right']:.0f} % were so.",
            BODY,
            2,
        )
        column.small(
            f"Brier score {known['brier']:.2f}: 0 is best; always saying 50 % would have 0.25.", 4
        )
    column.gap(8)
