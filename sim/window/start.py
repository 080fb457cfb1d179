"""How the screens hang together: home, a drill, its pause and debrief, a run being watched."""

from functools import partial
from pathlib import Path

from sim.errors import DryhopError, InputError, Problem, line_of
from sim.runs import RUNS, done_before, elsewhere, left_in_the_middle, new_folder, rehearse
from sim.session import scenario
from sim.session.attempt import noted
from sim.session.journal import drill_of
from sim.trainees.standins import Attempt
from sim.window import reported
from sim.window.app import App, Screen
from sim.window.firsttaken import first_taken
from sim.window.practice import Practice
from sim.window.screens.debrief import Debrief
from sim.window.screens.desk import Desk
from sim.window.screens.home import Home, chance_seed
from sim.window.screens.own.sheet import OwnSheet
from sim.window.screens.pause import Pause
from sim.window.screens.walk import Walk
from sim.window.screens.watch import Showing, Watch


def home(app: App) -> None:
    """Show the list of drills, and what was left in the middle."""
    app.leave()
    app.go(
        Home(
            lambda name, seed: practise(app, name, seed),
            lambda name, seed: demo(app, name, seed),
            left=left_in_the_middle(RUNS, *elsewhere()),
            go_on=lambda folder: go_on(app, folder),
            own=lambda back: app.go(OwnSheet(back, partial(practise_on, app))),
            reported=lambda back: reported.brought(app, back, practise_report),
            done=done_before(RUNS, *elsewhere(), trainee=app.settings.trainee or None),
        )
    )


def first_screen(app: App) -> None:
    """Show the walk round to somebody new, else the drills."""
    home(app)
    if not app.settings.shown_round:
        app.go(Walk(app.screen))


def practise(app: App, name: str, seed: int) -> None:
    """Begin a drill."""
    drill = scenario.load(name)
    practice = Practice(drill, Path(name).stem, seed, app.settings.trainee, also=app.also)
    app.take(practice)
    app.go(Desk(app, practice, debrief, pause))


def seed_of(name: str) -> int:
    """Return the seed of a drill where none is asked for: its own, or one by chance."""
    own = scenario.load(name).seed
    return chance_seed() if own is None else own


def practise_on(app: App, name: str, airframe: Path) -> None:
    """Begin a drill on an aircraft that somebody described, with a seed by chance."""
    drill = scenario.load(name).model_copy(update={"airframe": str(airframe)})
    practice = Practice(drill, Path(name).stem, chance_seed(), app.settings.trainee, also=app.also)
    app.take(practice)
    app.go(Desk(app, practice, debrief, pause))


def practise_report(app: App, drill: Path) -> None:
    """Begin a drill made of a report, with its own seed."""
    practise(app, str(drill), seed_of(str(drill)))


def take_up(app: App, folder: Path) -> None:
    """Go on with an attempt left in the middle; raises InputError if none lies in the folder."""
    note = noted(folder)
    if note is None:
        raise InputError((Problem(str(folder), None, "", "", "holds no attempt"),))
    drill = drill_of(folder)
    practice = Practice(
        drill, note.scenario, note.seed, note.trainee, folder, left=True, also=app.also
    )
    app.take(practice)
    app.go(Desk(app, practice, debrief, pause))


def go_on(app: App, folder: Path) -> None:
    """Go on with an attempt left in the middle, or say why that can't be."""
    try:
        take_up(app, folder)
    except (OSError, DryhopError) as error:
        app.notice = line_of(error)


def pause(app: App, back: Screen) -> None:
    """Show the pause of the drill under way."""
    drill = app.drill
    assert isinstance(drill, Practice)
    again = lambda: practise(app, drill.name, drill.seed)  # noqa: E731
    app.go(Pause(back, drill, again, lambda: home(app)))


def debrief(app: App, practice: Practice) -> None:
    """Show what the drill came to; the drills, if it could not be begun."""
    if practice.failed:
        app.notice = practice.failed
        home(app)
        return
    assert practice.card is not None
    again = lambda: practise(app, practice.name, practice.seed)  # noqa: E731
    app.go(Debrief(practice.card, practice, again, lambda: home(app)))


def watch(app: App, folder: Path, title: str) -> None:
    """Show a run that lies in a folder."""
    showing = Showing(folder, title)
    app.take(showing)
    app.go(Watch(showing, home))


def demo(app: App, name: str, seed: int) -> None:
    """Let the careful stand-in do a drill, then show it."""
    drill = scenario.load(name)

    def found(folder: Path) -> Path:
        rehearse(Attempt(drill, "careful", seed), Path(name).stem, folder, app.also)
        return folder

    places = [partial(new_folder, name, below) for below in (RUNS, *elsewhere())]
    showing = Showing(Path(), drill.title, lambda: first_taken(places, found)[0])
    app.take(showing)
    app.go(Watch(showing, home))
