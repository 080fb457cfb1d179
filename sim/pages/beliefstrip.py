"""How likely what was read made each hidden fault, over the evening, drawn."""

from typing import Any

from sim.figures import AMBER, INK, PAGE_IN, QUIET_INK, TEAL, svg
from sim.keys import FaultId
from sim.scoring.search import SURE, Search
from sim.window.action_words import cause_words

ROW_IN, FOOT_IN = 0.55, 0.55  # inch; own: a finger's breadth for each fault, and for the minutes


def belief_strip(search: Search) -> str | None:
    """Return the drawing as an SVG document; None where nothing was hidden, or nothing was read."""
    shown: list[FaultId] = [f for f in search.by.faults if f in search.case.record.present_at_start]
    if not shown or not search.steps:
        return None
    events = search.case.events
    minutes = [0.0, *(event.minutes for event in events)]
    named = {claim.cause: events[claim.at].minutes for claim in reversed(search.case.claims)}

    def draw(figure: Any) -> None:
        rows = figure.subplots(len(shown), 1, squeeze=False, sharex=True)[:, 0]
        for axes, fault in zip(rows, shown, strict=True):
            place = search.by.index([fault])[0]
            chances = [float(one[place]) for one in search.believed]
            axes.fill_between(minutes, chances, step="post", color=TEAL, alpha=0.25, lw=0)
            axes.step(minutes, chances, where="post", color=TEAL, lw=1.0)
            axes.axhline(SURE, color=QUIET_INK, lw=0.6, ls=(0, (4, 2)))
            if fault in named:
                axes.axvline(named[fault], color=AMBER, lw=1.2)
                axes.text(named[fault], 0.45, " named", fontsize=6.5, color=INK)
            axes.set_title(cause_words(fault), fontsize=7.5, loc="left", pad=2)
            axes.set(ylim=(0.0, 1.05), yticks=(0.0, 1.0), yticklabels=("0", "100 %"))
            axes.tick_params(length=2, labelsize=6.5)
        rows[-1].set_xlabel("minute of the evening")
        figure.tight_layout(h_pad=0.4)

    return svg(PAGE_IN, ROW_IN * len(shown) + FOOT_IN, draw)
