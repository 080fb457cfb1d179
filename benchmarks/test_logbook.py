"""A logbook of a large club: how long it takes to answer. Run with `--benchmark-enable`."""

from datetime import timedelta

import pytest

from sim.logbook.ahead import shipped
from sim.logbook.book import Book, now
from sim.logbook.export import as_json
from sim.logbook.person import person
from sim.session import scenario
from sim.session.attempt import ATTEMPT
from tests.logbook.entering import BEGAN, card, entry, fault

pytestmark = pytest.mark.bench

ATTEMPTS, PEOPLE = 10_000, 10
DRILLS = shipped()  # read once, however many attempts there are
MOST_S = 0.2  # s; design: an answer that feels at once


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    """Return (logbook's file, folder of its run folders)."""
    home = tmp_path_factory.mktemp("club")
    runs = (home / "runs").resolve()
    drills = {name: scenario.load(name) for name in scenario.names()}
    marks = card(fault("pack-cell-weak", "power", True), fault("over-mass", "airframe", False))
    one = entry("Ada", "first-evening", 1, 0, marks)
    entries = []
    for n in range(ATTEMPTS):
        name = list(drills)[n % len(drills)]
        note = {"trainee": f"Person {n % PEOPLE}", "seed": n, "scenario": name}
        folder = runs / f"run-{n}"
        folder.mkdir(parents=True)
        (folder / ATTEMPT).write_text("{}")
        changed = {
            "note": one.note.model_copy(update=note),
            "drill": drills[name],
            "digest": str(n),
            "folder": folder,
            "ended": BEGAN + timedelta(hours=n),
        }
        entries.append(one.model_copy(update=changed))
    with Book(home / "logbook.sqlite") as book:
        book.take_in(entries)
    return home / "logbook.sqlite", runs


def test_everybody_and_what_comes_next(benchmark, club):
    file, runs = club

    def answer() -> int:
        with Book(file) as book:
            book.sync(runs)
            when = now()
            return len([person(book, name, DRILLS, when, whole=False) for name in book.trainees()])

    assert benchmark(answer) == PEOPLE
    assert benchmark.stats is None or benchmark.stats["min"] <= MOST_S


def test_one_person_with_every_attempt(benchmark, club):
    file, _ = club

    def answer() -> int:
        with Book(file) as book:
            return len(person(book, "Person 3", DRILLS, now()).attempts)

    assert benchmark(answer) == ATTEMPTS // PEOPLE
    assert benchmark.stats is None or benchmark.stats["min"] <= MOST_S


def test_all_given_away(benchmark, club):
    file, _ = club
    with Book(file) as book:
        assert benchmark(lambda: as_json(book.attempts())).count('"digest"') == ATTEMPTS
    assert benchmark.stats is None or benchmark.stats["min"] <= 1.0  # s; own: 3 MB of text, seldom
