"""The commands that do a recorded run again: to see whether it is the same, to score it, for a class."""

from typing import Annotated

import typer

from sim.commands.ends import FINE, NO, Json, out, say
from sim.commands.options import RunDir
from sim.commands.ready import get_ready
from sim.errors import Refusal


def replay(
    folder: RunDir,
    window: Annotated[bool, typer.Option("--window", help="Show it as well.")] = False,
) -> None:
    """Do a recorded run again; exit 1 at the first bit that differs."""
    from sim.commands.window import has_display, on_run
    from sim.runs import flown
    from sim.runs import replay as run_again

    get_ready(*flown(folder))
    tick = run_again(folder)
    out.print(f"Same to the last bit: {tick} ticks.")
    if window and not has_display():
        raise Refusal("No display here: the run can't be shown.", "no_display")
    if window:
        on_run(folder, folder.name)


def score(folder: RunDir, as_json: Json = False) -> None:
    """Score a run anew from its scenario and journal; exit 1 unless it is cleared to hop."""
    from sim.commands.ownwords import ask_first
    from sim.commands.report import print_scorecard
    from sim.runs import flown
    from sim.runs import score as score_again
    from sim.scoring.scorecard import CLEARED

    get_ready(*flown(folder))
    if not as_json:
        ask_first(folder)
    card = score_again(folder)
    if not say(card, as_json):
        print_scorecard(out, card)
    raise typer.Exit(FINE if card["verdict"] == CLEARED else NO)


def classroom(folder: RunDir) -> None:
    """Show a run to a class at a projector: before each decision hands are counted, then it is told."""
    from sim.commands.window import has_display, on_class
    from sim.runs import flown

    flown(folder)  # says why, before a window opens, if the folder holds no run
    if not has_display():
        raise Refusal("No display here: a class is shown a run in a window.", "no_display")
    on_class(folder)
