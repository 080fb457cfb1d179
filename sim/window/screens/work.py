"""What the debrief tells of work and judgement: minutes, changes, squawks, how sure one was."""

from typing import Any

from sim.window.action_words import cause_words, fix_words
from sim.window.screens.paper import Column
from sim.window.theme import BODY, NOTE, SMALL

Card = dict[str, Any]
NO_NEED = "Nothing was changed without need."


def times(n: int, one: str, many: str) -> str:
    """Return a number with its noun."""
    return f"{n} {one if n == 1 else many}"


def work(column: Column, card: Card) -> None:
    """Write minutes, needless changes and parts used."""
    column.head("The work")
    column.write(minutes_told(card), BODY, 3)
    if card["needless"]:
        column.write("Changed though nothing called for it:", BODY)
        for fix in card["needless"]:
            column.write(fix_words(fix), NOTE)
        column.gap(3)
    else:
        column.write(NO_NEED, BODY, 3)
    if card["parts_used"]:
        column.write(f"Out of the parts bin: {times(card['parts_used'], 'part', 'parts')}.", BODY)
    column.gap(8)


def minutes_told(card: Card) -> str:
    """Return the minutes at work beside those the careful need."""
    return f"{card['minutes']:.0f} min at work; the careful need {card['careful_min']:.0f}"


def squawks(column: Column, card: Card) -> None:
    """Write the squawks that were not so, and those that rested on nothing."""
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
