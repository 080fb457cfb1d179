"""From a shared file to the drill at the bench or the run on the screen."""

from functools import partial
from pathlib import Path

from sim.errors import DryhopError, line_of
from sim.paths import opened_runs, own_drills
from sim.sharing.shared import Opened, SharedDrill, SharedRun, opened, place_of, put_drill, put_run
from sim.window import start
from sim.window.app import App
from sim.window.screens.reported.working import Progress, Working

ANEW = "Working its marks out anew"


def open_file(app: App, path: Path) -> None:
    """Open a shared file; raises InputError or OSError with nothing changed."""
    lay_down(app, opened(path))


def lay_down(app: App, one: Opened) -> None:
    """Put a drill among one's own and begin it; lay a run down and show it."""
    start.first_screen(app)
    try:
        if isinstance(one, SharedDrill):
            start.practise_file(app, put_drill(one, own_drills()))
        else:
            start.measured_first(app, one.airframe, partial(_shown, one))
    except (OSError, DryhopError) as error:
        app.notice = line_of(error)


def _shown(one: SharedRun, app: App) -> None:
    """Show a run, laid down as a run folder first if it was not before."""

    def work(tell: Progress) -> Path:
        folder, there = place_of(one, opened_runs())
        tell(ANEW, 0.5)
        return folder if there else put_run(one, folder, app.also)

    def done(folder: Path) -> None:
        start.watch(app, folder, one.drill.title)

    app.go(Working(app.screen, one.drill.title, work, done))
