"""How the screens hang together: home, a drill, its pause and debrief, a run being watched."""

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from sim.aircraft import library
from sim.aircraft.library import Design
from sim.aircraft.textfile import dump_yaml
from sim.bench.evidence import has_tables
from sim.diagnosis import own
from sim.errors import DryhopError, InputError, Problem, line_of
from sim.logbook.ahead import shipped
from sim.logbook.knowing import drill_for
from sim.logbook.way import way_of
from sim.paths import opened_runs, own_drills
from sim.runs import RUNS, elsewhere, flown, left_in_the_middle, new_folder, rehearse
from sim.session import scenario
from sim.session.attempt import noted
from sim.session.journal import drill_of
from sim.session.ownwords import OwnWords, words_of
from sim.session.scenario import Scenario
from sim.sharing.shared import Opened, SharedDrill, opened, place_of, put_drill, put_run
from sim.trainees.standins import Attempt
from sim.window import made, reported
from sim.window.app import App, Screen
from sim.window.classrun import ClassRun
from sim.window.firsttaken import first_taken
from sim.window.practice import Practice, named
from sim.window.screens.classroom import Classroom
from sim.window.screens.debrief import Debrief, Leads
from sim.window.screens.desk import Desk
from sim.window.screens.home import Home, chance_seed
from sim.window.screens.own.sheet import OwnSheet
from sim.window.screens.ownwords import OwnWordsSheets
from sim.window.screens.pause import Pause
from sim.window.screens.reported.working import Progress, Working
from sim.window.screens.waiting import Long, Waiting
from sim.window.screens.walk import Walk
from sim.window.screens.watch import Watch
from sim.window.showing import Showing

MEASURED = (
    "What sound aircraft like this one show is measured before its first drill: {}. That takes some "
    "minutes; what was measured is kept."
)
MEASURING_S = 300.0  # s; own: about what it takes


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
            reported=lambda back: reported.brought(app, back, practise_file),
            way_of=lambda who: way_of(named(who), shipped(), RUNS, *elsewhere()),
            who=app.settings.trainee,
            made=lambda back: made.own(app, back, practise_file, open_shared, measured_first),
        )
    )


def first_screen(app: App) -> None:
    """Show the walk round to somebody new, else the drills."""
    home(app)
    if not app.settings.shown_round:
        app.go(Walk(app.screen))


def measured_first(app: App, airframe: Design, then: Callable[[App], None]) -> None:
    """Go on once sound aircraft of this kind are measured: at once, or with a bar meanwhile."""
    if has_tables(airframe):
        then(app)
        return
    text, command = dump_yaml(library.airframe(airframe)), [sys.executable, "-m", own.__name__]
    work = Long(command, "Once for this aircraft", MEASURED, MEASURING_S, text)
    app.leave()
    app.go(Waiting(then, work, home))


def _measured_as_flown(app: App, folder: Path, then: Callable[[App], None]) -> None:
    """Go on once sound aircraft of the kind that flew a run are measured."""
    measured_first(app, next(iter(flown(folder)), library.TRAINER), then)


def begin(app: App, drill: Scenario, name: str, seed: int) -> None:
    """Begin a drill called so."""

    def at_the_bench(app: App) -> None:
        who = app.settings.trainee
        theirs = drill_for(drill, seed, named(who), RUNS, *elsewhere())
        practice = Practice(theirs, Path(name).stem, seed, who, also=app.also)
        app.take(practice)
        app.go(Desk(app, practice, debrief, pause))

    measured_first(app, drill.airframe, at_the_bench)


def practise(app: App, name: str, seed: int | None = None) -> None:
    """Begin a drill by path or shipped name; without a seed it has its own, or one by chance."""
    drill = scenario.load(name)
    begin(app, drill, name, seed_of(drill) if seed is None else seed)


def seed_of(drill: Scenario) -> int:
    """Return the seed of a drill where none is asked for: its own, or one by chance."""
    return chance_seed() if drill.seed is None else drill.seed


def practise_on(app: App, name: str, airframe: Path) -> None:
    """Begin a drill on an aircraft that somebody described, with a seed by chance, or say why not."""
    try:
        drill = scenario.load(name).on(str(airframe))
    except InputError as error:
        app.notice = line_of(error)
        return
    begin(app, drill, name, chance_seed())


def practise_file(app: App, drill: Path) -> None:
    """Begin a drill of one's own, with its own seed if it has one."""
    practise(app, str(drill))


def open_shared(app: App, file: Path) -> None:
    """Open a shared file; raises InputError or OSError with nothing changed."""
    lay_down(app, opened(file))


def lay_down(app: App, one: Opened) -> None:
    """Put a drill among one's own and begin it; lay a run down and show it."""
    if isinstance(one, SharedDrill):
        practise_file(app, put_drill(one, own_drills()))
        return

    def work(tell: Progress) -> Path:
        folder, there = place_of(one, opened_runs())
        tell("Working its marks out anew", 0.5)
        return folder if there else put_run(one, folder, app.also)

    back = app.screen

    def laid(app: App) -> None:
        shown = lambda folder: watch(app, folder, one.drill.title)  # noqa: E731
        app.go(Working(back, one.drill.title, work, shown))

    measured_first(app, one.airframe, laid)


def given(app: App, one: Opened) -> None:
    """Begin with what somebody gave; at the drills with the reason, if it can't be laid down."""
    first_screen(app)
    try:
        lay_down(app, one)
    except (OSError, DryhopError) as error:
        app.notice = line_of(error)


def take_up(app: App, folder: Path) -> None:
    """Go on with an attempt left in the middle; raises InputError if none lies in the folder."""
    note = noted(folder)
    if note is None:
        raise InputError((Problem(str(folder), None, "", "", "holds no attempt"),))
    drill = drill_of(folder)

    def where_it_was(app: App) -> None:
        practice = Practice(
            drill, note.scenario, note.seed, note.trainee, folder, left=True, also=app.also
        )
        app.take(practice)
        app.go(Desk(app, practice, debrief, pause))

    measured_first(app, drill.airframe, where_it_was)


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
    again = lambda: begin(app, drill.scenario, drill.name, drill.seed)  # noqa: E731
    app.go(Pause(back, drill, again, lambda: home(app)))


def debrief(app: App, practice: Practice) -> None:
    """Show what the drill came to, own words first; the drills, if it could not be begun."""
    if practice.failed:
        app.notice = practice.failed
        home(app)
        return
    if practice.asks_words:
        app.go(OwnWordsSheets(partial(_said, app, practice), lambda: home(app)))
    else:
        _came_to(app, practice)


def _said(app: App, practice: Practice, words: OwnWords) -> None:
    practice.say(words)
    _came_to(app, practice)


def _came_to(app: App, practice: Practice) -> None:
    assert practice.card is not None
    assert practice.told is not None
    again = lambda: begin(app, practice.scenario, practice.name, practice.seed)  # noqa: E731
    leads = _leads(app, again, practice.scenario.title)
    app.go(Debrief(practice.card, practice, leads, practice.told, practice.words))


def _leads(app: App, again: Callable[[], None], title: str) -> Leads:
    """Return where the debrief of a drill with this title leads to."""
    return Leads(
        lambda: home(app),
        again,
        lambda name: practise(app, name),
        lambda back, folder, act: _watch_from(app, back, folder, title, act),
        lambda folder: _page(app, folder),
        lambda back, folder: _to_a_class(app, folder, title, lambda app: _back_to(app, back)),
    )


def _back_to(app: App, screen: Screen) -> None:
    app.leave()
    app.go(screen)


def _to_a_class(app: App, folder: Path, title: str, leave: Callable[[App], None]) -> None:
    run = ClassRun(folder, title)
    app.take(run)
    app.go(Classroom(run, leave, _shown_out))


def classroom(app: App, folder: Path) -> None:
    """Show a run that lies in a folder to a class."""
    _measured_as_flown(app, folder, lambda app: _to_a_class(app, folder, folder.name, home))


def _page(app: App, folder: Path) -> None:
    try:
        app.show_page(folder)
    except (OSError, DryhopError) as error:
        app.notice = line_of(error)


def _watch_from(app: App, back: Screen, folder: Path, title: str, act: int) -> None:
    """Open a run where an act has just been done, and come back to the debrief afterwards."""

    def to_the_debrief(app: App, *_: object) -> None:
        _back_to(app, back)

    showing = Showing(folder, title, until=act)
    app.take(showing)
    app.go(Watch(showing, to_the_debrief, to_the_debrief, "Back to the debrief"))


def _show(app: App, showing: Showing) -> None:
    app.take(showing)
    app.go(Watch(showing, home, _shown_out))


def _shown_out(app: App, showing: Showing) -> None:
    """Show what a run that was watched came to."""
    assert showing.card is not None
    assert showing.told is not None

    again = lambda: _show(app, Showing(showing.folder, showing.title))  # noqa: E731
    leads, words = _leads(app, again, showing.title), words_of(showing.folder)
    app.go(Debrief(showing.card, showing.folder, leads, showing.told, words))


def watch(app: App, folder: Path, title: str) -> None:
    """Show a run that lies in a folder."""
    _measured_as_flown(app, folder, lambda app: _show(app, Showing(folder, title)))


def demo(app: App, name: str, seed: int) -> None:
    """Let the careful stand-in do a drill, then show it."""
    drill = scenario.load(name)

    def found(folder: Path) -> Path:
        rehearse(Attempt(drill, "careful", seed), Path(name).stem, folder, app.also)
        return folder

    def shown(app: App) -> None:
        places = [partial(new_folder, name, below) for below in (RUNS, *elsewhere())]
        _show(app, Showing(Path(), drill.title, lambda: first_taken(places, found)[0]))

    measured_first(app, drill.airframe, shown)
