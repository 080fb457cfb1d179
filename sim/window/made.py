"""From one's own drills to making one, rehearsing it and practising it: which sheet follows which."""

from collections.abc import Callable
from pathlib import Path

from sim.aircraft.library import Design
from sim.maker.rating import Rated, rated
from sim.paths import own_drills
from sim.window.app import App, Screen
from sim.window.screens.made.drills import DrillsSheet
from sim.window.screens.made.sheet import MadeSheet
from sim.window.screens.reported.working import Progress, Working

REHEARSING = "Stand-ins rehearse it"

Practise = Callable[[App, Path], None]  # (app, drill's file)
Measured = Callable[[App, Design, Callable[[App], None]], None]  # goes on once that is measured


def own(
    app: App, back: Screen, practise: Practise, opens: Practise, measured_first: Measured
) -> None:
    """Show one's own drills. opens : opens a shared file."""
    app.go(
        DrillsSheet(
            back,
            own_drills(),
            lambda screen: make(app, screen, practise, measured_first),
            lambda path: practise(app, path),
            lambda path: opens(app, path),
            Path.cwd(),
        )
    )


def make(app: App, back: Screen, practise: Practise, measured_first: Measured) -> None:
    """Show the sheet on which a drill is made."""
    number = len(list(own_drills().glob("*.yaml"))) + 1

    def rehearse(sheet: MadeSheet) -> None:
        drill, wish = sheet.form.drill, sheet.form.wish
        if drill is None or wish is None:
            return

        def work(tell: Progress) -> Rated:
            return rated(drill, wish.minutes, tell)

        def done(found: Rated) -> None:
            sheet.rehearsed(found)
            app.go(sheet)

        measured_first(
            app, drill.airframe, lambda app: app.go(Working(sheet, REHEARSING, work, done))
        )

    app.go(MadeSheet(back, rehearse, lambda path: practise(app, path), f"Own drill {number}"))
