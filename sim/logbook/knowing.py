"""What the logbook knows of whoever sits down to practise, for a drill fitted to them."""

from collections.abc import Mapping
from pathlib import Path

from sim.logbook.book import Book, looked_up
from sim.logbook.edge import fits_whoever, fitted
from sim.logbook.standing import Standing, Standings, Topic
from sim.session.scenario import Scenario

NOBODY: Mapping[Topic, Standing] = {}


def standings_of(trainee: str, *places: Path) -> Standings:
    """Return where somebody stands, with what they finished below some folders.

    Nothing is known of who is not in the logbook, or where it can't be read: then a drill is as for
    a beginner.
    """

    def theirs(book: Book) -> Standings:
        return book.standings(trainee) if trainee in book.trainees() else NOBODY

    return looked_up(theirs, lambda: NOBODY, *places)


def drill_for(drill: Scenario, seed: int, trainee: str, *places: Path) -> Scenario:
    """Return a drill as it is for somebody. The logbook is opened only where that makes a difference."""
    if fits_whoever(drill):
        return drill
    return fitted(drill, seed, standings_of(trainee, *places))
