"""The logbook's file: what goes in, stays whole, is shared, and can be made to go."""

import shutil
import sqlite3
import threading
from pathlib import Path

import pytest

from sim.aircraft import library
from sim.errors import DryhopError, InputError, Refusal
from sim.logbook.book import Book
from sim.logbook.leaving import forget, strayed
from sim.logbook.standing import standing
from sim.runs import run_folders
from sim.session.attempt import SCORECARD
from sim.session.journal import JOURNAL
from sim.session.lock import hold
from tests.logbook.entering import card, entry, fault, finished

WEAK = fault("pack-cell-weak", "power", True)
MISSED = fault("over-mass", "airframe", False)
NASTY = "Robert'); DROP TABLE attempt;--"


@pytest.fixture
def book(tmp_path):
    with Book(tmp_path / "logbook.sqlite") as book:
        yield book


def test_an_attempt_is_entered_once(book):
    one = entry("Ada", "first-evening", 7, 0, card(WEAK, MISSED, cleared=False))
    assert book.take_in([one]) == 1
    assert book.take_in([one]) == 0
    (kept,) = book.attempts("Ada")
    assert (kept.drill, kept.seed, kept.rung, kept.ended) == ("first-evening", 7, 1, one.ended)
    assert (kept.cleared, kept.points, kept.minutes) == (False, 30.0, 71.5)


def test_faults_met_are_counted_those_least_proved_first(book):
    book.take_in([entry("Ada", "first-evening", 7, 0, card(WEAK, MISSED))])
    book.take_in([entry("Ada", "first-evening", 8, 1, card(fault("over-mass", "airframe", True)))])
    book.take_in([entry("Bo", "first-evening", 8, 1, card(MISSED))])
    assert book.faults("Ada") == [("over-mass", 2, 1), ("pack-cell-weak", 1, 1)]


def test_each_family_is_a_trial_and_a_sound_aircraft_is_one_too(book):
    book.take_in([entry("Ada", "first-evening", 7, 0, card(WEAK, MISSED))])
    book.take_in([entry("Ada", "quiet-morning", 7, 1, card(wrong=1))])
    book.take_in([entry("Bo", "quiet-morning", 7, 1, card())])
    told = {topic: one.right_n for topic, one in book.standings("Ada").items()}
    assert told == {"power": 1, "airframe": 0, "sound": 0}
    assert book.standings("Bo")["sound"].right_n == 1


def test_all_of_a_family_has_to_be_proved(book):
    half = card(WEAK, fault("pack-cold", "power", False))
    book.take_in([entry("Ada", "first-evening", 7, 0, half)])
    assert book.standings("Ada")["power"].right_n == 0


def test_a_fault_one_made_oneself_is_no_trial_of_its_family(book):
    made = fault("over-mass", "airframe", True, present_at_start=False)
    book.take_in([entry("Ada", "first-evening", 7, 0, card(WEAK, made))])
    assert set(book.standings("Ada")) == {"power"}


def test_the_same_drill_with_the_same_seed_teaches_once(book):
    for day in (0, 1, 2):
        book.take_in([entry("Ada", "first-evening", 7, day, card(WEAK))])
    book.take_in([entry("Ada", "first-evening", 8, 3, card(WEAK))])
    assert book.standings("Ada")["power"].tried_n == 2
    assert len(book.attempts("Ada")) == 4


def test_what_comes_late_from_another_machine_is_put_in_its_place(tmp_path):
    entries = [
        entry("Ada", "first-evening", n, 2 * n, card(fault("pack-cold", "power", n % 3 > 0)))
        for n in range(7)
    ]
    entries.append(entry("Ada", "first-evening", 0, 5, card(fault("pack-cold", "power", True))))
    whole = standing(trial for one in entries[:-1] for trial in one.trials)
    for name, orders in {
        "in order": [[one] for one in entries[:-1]] + [entries[-1:]],
        "late": [entries[4:], entries[:4]],
        "at once": [entries],
    }.items():
        with Book(tmp_path / f"{name}.sqlite") as book:
            for some in orders:
                book.take_in(some)
            assert book.standings("Ada") == whole, name


def test_nothing_of_an_attempt_stays_if_it_can_not_be_entered_whole(book):
    doubled = card(WEAK, WEAK)
    with pytest.raises(sqlite3.IntegrityError):
        book.take_in([entry("Ada", "first-evening", 7, 0, doubled)])
    assert book.trainees() == []
    assert book.attempts() == []


def test_two_at_once_lose_nothing(tmp_path):
    path = tmp_path / "logbook.sqlite"
    Book(path).close()

    def enter(name: str) -> None:
        with Book(path) as mine:
            for n in range(25):
                mine.take_in([entry(name, "first-evening", n, n, card(WEAK))])

    both = [threading.Thread(target=enter, args=(name,)) for name in ("Ada", "Bo")]
    for one in both:
        one.start()
    for one in both:
        one.join()
    with Book(path) as book:
        assert [len(book.attempts(name)) for name in ("Ada", "Bo")] == [25, 25]
        assert book.whole() == "ok"


def test_an_aircraft_of_ones_own_stands_by_its_name(book):
    """A drill holds such an aircraft whole."""
    one = entry("Ada", "first-evening", 7, 0, card(WEAK))
    own = library.airframe("small-127mm").model_copy(update={"name": "my-own"})
    drill = one.drill.model_copy(update={"airframe": own})
    book.take_in([one.model_copy(update={"drill": drill})])
    assert book.attempts("Ada")[0].airframe == "my-own"


def test_a_name_is_text_whatever_it_says(book):
    book.take_in([entry(NASTY, "first-evening", 7, 0, card(WEAK))])
    assert book.trainees() == [NASTY]
    assert len(book.attempts(NASTY)) == 1


def test_all_of_a_person_goes_on_request(tmp_path):
    path = tmp_path / "logbook.sqlite"
    runs = tmp_path / "runs"
    theirs = finished(
        runs, "a", "Zebediah", "first-evening", card(WEAK, grave=("arm-stop-untested",))
    )
    left = finished(runs, "in-the-middle", "Zebediah", "twins", card(WEAK))
    (left / SCORECARD).unlink()
    others = finished(runs, "b", "Bo", "first-evening", card(WEAK))
    with Book(path) as book:
        assert book.sync(runs) == 2
        (theirs / "own-words.json").write_text('{"plus": ["I waited"], "delta": []}')
        (theirs / "shots").mkdir()
        assert set(forget(book, "Zebediah", run_folders(runs))) == {
            theirs.resolve(),
            left.resolve(),
        }
        assert book.sync(runs) == 0
        assert book.trainees() == ["Bo"]
    assert others.exists()
    assert not theirs.exists()
    assert not left.exists()
    bytes_left = b"".join(file.read_bytes() for file in tmp_path.glob("logbook.sqlite*"))
    assert b"Zebediah" not in bytes_left
    assert b"Bo" in bytes_left


def test_who_only_left_something_in_the_middle_can_have_it_deleted(tmp_path, book):
    left = finished(tmp_path / "runs", "a", "Ada", "twins", card(WEAK))
    (left / SCORECARD).unlink()
    assert forget(book, "Ada", run_folders(tmp_path / "runs")) == [left.resolve()]


@pytest.mark.parametrize("deleted", range(5))
def test_deleting_cut_short_can_be_done_again(tmp_path, book, monkeypatch, deleted):
    """However many files were gone by then, the rest is still known to be theirs."""
    runs = tmp_path / "runs"
    for name in ("a", "b"):
        finished(runs, name, "Ada", "first-evening", card(WEAK))
    book.sync(runs)
    unlink, left = Path.unlink, [deleted]

    def stops(path, missing_ok=False):
        if left[0] == 0:
            raise KeyboardInterrupt
        left[0] -= 1
        unlink(path, missing_ok)

    monkeypatch.setattr(Path, "unlink", stops)
    with pytest.raises(KeyboardInterrupt):
        forget(book, "Ada", run_folders(runs))
    assert book.trainees() == ["Ada"]
    monkeypatch.setattr(Path, "unlink", unlink)
    forget(book, "Ada", run_folders(runs))
    assert not list(runs.iterdir())
    assert book.trainees() == []


def test_nothing_goes_while_an_attempt_is_under_way(tmp_path, book):
    runs = tmp_path / "runs"
    there = finished(runs, "a", "Ada", "first-evening", card(WEAK))
    book.sync(runs)
    with (there / JOURNAL).open("rb") as file:
        hold(file.fileno())
        with pytest.raises(Refusal, match="under way"):
            forget(book, "Ada", ())
    assert (there / JOURNAL).exists()
    assert book.trainees() == ["Ada"]


def test_a_run_folder_that_is_gone_or_changed_is_told(tmp_path, book):
    runs = tmp_path / "runs"
    for name in ("changed", "gone", "same"):
        finished(runs, name, "Ada", "first-evening", card(WEAK))
    book.sync(runs)
    assert strayed(book) == ([], [])
    shutil.rmtree(runs / "gone")
    (runs / "changed" / SCORECARD).write_text("{}")
    assert strayed(book) == (
        [(runs / "gone").resolve()],
        [(runs / "changed" / SCORECARD).resolve()],
    )


def test_nobody_of_a_name_is_said_with_the_nearest(book):
    book.take_in([entry("Barbara", "first-evening", 7, 0, card(WEAK))])
    with pytest.raises(
        InputError, match=r"trainee = Barbra: nobody of this name; nearest: Barbara"
    ):
        forget(book, "Barbra", ())


def test_only_finished_attempts_of_people_are_taken_from_folders(tmp_path, book):
    runs = tmp_path / "runs"
    finished(runs, "whole", "Ada", "first-evening", card(WEAK))
    (finished(runs, "left", "Ada", "twins", card(WEAK)) / SCORECARD).unlink()
    stand_in = finished(runs, "stand-in", "Ada", "twins", card(WEAK)) / "attempt.json"
    stand_in.write_text(stand_in.read_text().replace('"person"', '"stand-in"'))
    (runs / "nothing").mkdir()
    looked = []
    assert book.sync(runs, done=lambda: looked.append(1)) == 1
    assert len(looked) == 3
    assert [one.folder.name for one in book.attempts()] == ["whole"]


def test_what_is_known_is_not_read_again(tmp_path, book, monkeypatch):
    runs = tmp_path / "runs"
    finished(runs, "a", "Ada", "first-evening", card(WEAK))
    book.sync(runs)
    monkeypatch.chdir(tmp_path)
    looked = []
    assert book.sync(Path("runs"), done=lambda: looked.append(1)) == 0
    assert not looked
    (tmp_path / "linked").mkdir()
    (tmp_path / "linked" / "a").symlink_to(runs / "a")
    assert book.sync(tmp_path / "linked") == 0


def test_a_logbook_of_a_later_version_is_left_as_it_is(tmp_path):
    path = tmp_path / "logbook.sqlite"
    Book(path).close()
    later = sqlite3.connect(path)
    later.execute("PRAGMA user_version = 99")
    later.close()
    with pytest.raises(DryhopError, match="later version"):
        Book(path)


def test_another_file_is_no_logbook(tmp_path):
    text = tmp_path / "notes.txt"
    text.write_text("not a database, and long enough to be sure of it\n" * 100)
    with pytest.raises(DryhopError, match="not a logbook"):
        Book(text)
    assert text.read_text().startswith("not a database")
    other = tmp_path / "other.sqlite"
    made = sqlite3.connect(other)
    made.execute("CREATE TABLE mine (x)")
    made.close()
    with pytest.raises(DryhopError, match="something else"):
        Book(other)


def hinted(*steps: int) -> dict:
    marks = card(fault("stick-ends-short", "radio", True))
    return marks | {"hints": [{"fault": "stick-ends-short", "step": step} for step in steps]}


@pytest.mark.parametrize(
    ("drill", "help", "steps", "rung"),
    [
        ("borrowed-gear", None, (), 2),
        ("borrowed-gear", None, (1, 2), 2),
        ("borrowed-gear", None, (1, 2, 3), 1),  # told what it means: shown
        ("box-of-bits", None, (), 3),
        ("box-of-bits", "hints", (), 3),  # offered, and not asked for
        ("box-of-bits", "hints", (1,), 2),
        ("box-of-bits", "hints", (1, 2, 3), 1),
        ("box-of-bits", "shown", (), 1),
        ("first-evening", "none", (), 1),
    ],
)
def test_help_caps_the_rung_an_attempt_counts_for(tmp_path, drill, help, steps, rung):
    made = entry("Ana", drill, 1, 0, hinted(*steps))
    made = made.model_copy(update={"drill": made.drill.model_copy(update={"help": help})})
    assert made.rung == rung
    assert [trial.rung for trial in made.trials] == [rung]
    with Book(tmp_path / "book.sqlite") as book:
        book.take_in([made])
        assert [one.rung for one in book.attempts("Ana")] == [rung]


def test_a_damaged_file_is_said_in_one_line(tmp_path):
    path = tmp_path / "logbook.sqlite"
    with Book(path) as book:
        for n in range(60):
            book.take_in([entry("Ada", "first-evening", n, n, card(WEAK))])
    whole = path.read_bytes()
    middle = len(whole) // 2
    path.write_bytes(whole[:4096] + b"\xff" * (middle - 4096) + whole[middle:])
    with Book(path) as book:
        assert book.whole() != "ok"
        with pytest.raises(DryhopError, match="not a logbook, or a damaged one"):
            book.attempts("Ada")


def test_one_that_is_written_to_for_long_is_said_in_one_line(tmp_path, monkeypatch):
    monkeypatch.setattr("sim.logbook.schema.WAIT_S", 0.05)
    path = tmp_path / "logbook.sqlite"
    with Book(path) as book:
        other = sqlite3.connect(path)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(DryhopError, match="can't be used: database is locked"):
            book.take_in([entry("Ada", "first-evening", 1, 1, card(WEAK))])
        assert book.attempts() == []  # reading goes on meanwhile
        other.rollback()
        other.close()
        assert book.take_in([entry("Ada", "first-evening", 1, 1, card(WEAK))]) == 1


def test_a_full_disk_is_said_in_one_line_and_leaves_all_as_it_was(book):
    book.take_in([entry("Ada", "first-evening", 0, 0, card(WEAK))])
    pages = book._all("PRAGMA page_count")[0][0]
    book._all(f"PRAGMA max_page_count = {pages}")
    some = [entry("Ada", "first-evening", n, n, card(WEAK)) for n in range(1, 200)]
    with pytest.raises(DryhopError, match="full"):
        book.take_in(some)
    assert len(book.attempts()) == 1
    assert book.whole() == "ok"


def test_a_file_that_lies_among_the_runs_hides_none_of_them(book, tmp_path):
    runs = tmp_path / "runs"
    finished(runs, "one", "Ada", "first-evening", card(WEAK))
    (runs / "notes.txt").write_text("bring glue")
    assert book.sync(runs) == 1
