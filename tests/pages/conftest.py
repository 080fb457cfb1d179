"""Pages made once for all that look at them."""

from datetime import timedelta

import pytest

from sim.logbook.ahead import shipped
from sim.logbook.book import Book
from sim.logbook.person import person
from sim.pages.cards import cards_page
from sim.pages.club import club_page
from sim.pages.debrief import write
from sim.runs import rehearse
from sim.session import scenario
from sim.trainees.standins import Attempt
from tests.logbook.entering import BEGAN, card, entry, fault
from tests.pages.browser import browser


@pytest.fixture(scope="session")
def chrome():
    """Give a browser."""
    with browser() as found:
        yield found


@pytest.fixture(scope="session")
def flown(tmp_path_factory):
    """Return what makes the run of a stand-in at a drill: (record, scorecard, folder); each made once."""
    kept = {}

    def made(drill: str, stand_in: str, seed: int):
        key = (drill, stand_in, seed)
        if key not in kept:
            folder = tmp_path_factory.mktemp("runs") / "run"
            found = []
            attempt = Attempt(scenario.load(drill), stand_in, seed)
            rehearse(attempt, drill, folder, lambda *run: found.append(run))
            kept[key] = found[0]
        return kept[key]

    return made


@pytest.fixture(scope="session")
def page_files(flown, tmp_path_factory):
    """Return the files of the pages by name."""
    folder = tmp_path_factory.mktemp("pages")
    found = {}
    for name, run in {
        "debrief of a hop": ("first-evening", "partial-50", 7),
        "debrief of a bench": ("twins", "partial-75", 3),
    }.items():
        found[name] = write(*flown(*run))
    weak = fault("pack-cell-weak", "power", True)
    with Book(folder / "logbook.sqlite") as book:
        for who in ("bea", "Ada"):
            book.take_in([entry(who, "first-evening", 7, 1, card(weak, cleared=True))])
        now = BEGAN + timedelta(days=10)
        people = [person(book, who, shipped(), now) for who in book.trainees()]
    found["club"] = folder / "club.html"
    found["club"].write_text(club_page(people, now), encoding="utf-8")
    found["cards"] = folder / "cards.html"
    found["cards"].write_text(cards_page("trainer-254mm"), encoding="utf-8")
    return found
