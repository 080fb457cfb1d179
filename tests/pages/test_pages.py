"""Pages are whole, fetch nothing, and keep what they are told as text. Parsed by the standard library."""

import json
from datetime import timedelta
from html.parser import HTMLParser

import pytest

from sim.logbook.ahead import Next, shipped
from sim.logbook.book import Book
from sim.logbook.person import person
from sim.pages.club import club_page
from sim.pages.debrief import debrief_page, write
from sim.procedure.hazards import hazard_words
from sim.runs import rehearse
from sim.session import scenario
from sim.session.attempt import SCORECARD
from sim.session.ownwords import own_words
from sim.session.signed import sign
from sim.trainees.standins import Attempt
from tests.logbook.entering import BEGAN, card, entry, fault, finished

VOID = {"meta", "br", "img", "link", "input", "hr"}
NASTY = "<script>alert(1)</script>"


class Page(HTMLParser):
    """Reads a page: text, tags with their attributes; fails where tags don't match."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = ""
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self._open: list[str] = []
        self.feed(text)
        assert not self._open, self._open

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self._open.pop() == tag

    def handle_data(self, data):
        if self._open and self._open[-1] != "style":
            self.text += data


def fetched(page: Page) -> list[str]:
    """Return what a browser would fetch."""
    names = ("src", "data", "srcset")
    found = [a[key] or "" for _, a in page.tags for key in names if a.get(key)]
    return found + [a["href"] or "" for tag, a in page.tags if tag == "link"]


@pytest.fixture(scope="module")
def hasty(tmp_path_factory):
    """Return what is kept of a hasty attempt: (record, scorecard, folder)."""
    kept = []
    folder = tmp_path_factory.mktemp("runs") / "hasty"
    attempt = Attempt(scenario.load("first-evening"), "hasty", 7)
    rehearse(attempt, "first-evening", folder, lambda *run: kept.append(run))
    return kept[0]


def test_a_debrief_tells_each_fault_the_acts_and_what_to_practise(hasty):
    record, marks, folder = hasty
    page = Page(write(record, marks, folder).read_text(encoding="utf-8"))
    words = " ".join(page.text.split())
    assert "Stay on the bench" in words
    assert "Pitch channel reversed" in words
    assert "Safety before speed" in words
    assert "How it hurts: A blade that breaks throws splinters" in words
    assert "Local rules and your club's instructor come first." in words
    assert words.index("What went well") < words.index("Stay on the bench")
    assert json.loads((folder / SCORECARD).read_text())["points"] == marks["points"]


def test_a_debrief_begins_with_the_trainees_own_words_if_there_are_any(hasty):
    record, marks, _ = hasty
    assert "textarea" in {tag for tag, _ in Page(debrief_page(record, marks)).tags}
    said = own_words([NASTY, "took my time"], ["look at the sticks"], BEGAN)
    page = Page(debrief_page(record, marks, said))
    tags = {tag for tag, _ in page.tags}
    assert not {"textarea", "script"} & tags
    order = ("First, your own view", NASTY, "took my time", "look at the sticks", "Verdict")
    assert sorted(order, key=page.text.index) == list(order)


def test_a_debrief_has_its_parts_in_their_order_and_tells_how_acts_hurt(hasty):
    record, marks, _ = hasty
    page = Page(debrief_page(record, marks))
    order = (
        "First, your own view", "Verdict", "Unsafe acts", "How it hurts", "The evening, and what could be known",
        "The search", "Whoever always takes the check", "The faults", "Symptom", "Cause", "Fix", "Proof", "The hop", "What to take along",
        "On the real aircraft", "One thing to practise next",
    )  # fmt: skip
    assert sorted(order, key=page.text.index) == list(order)
    assert "What was squawked" not in page.text  # nothing was


def test_every_figure_is_told_in_words_and_no_two_share_a_name(hasty):
    record, marks, _ = hasty
    page = Page(debrief_page(record, marks))
    figures = [a for tag, a in page.tags if tag == "svg"]
    assert figures
    assert all(a["role"] == "img" and a["aria-label"] for a in figures)
    names = [a["id"] for _, a in page.tags if "id" in a]
    assert len(names) == len(set(names))


def test_a_debrief_is_one_file(hasty):
    record, marks, _ = hasty
    text = debrief_page(record, marks)
    page = Page(text)
    assert fetched(page) == []
    assert "script" not in {tag for tag, _ in page.tags}
    assert "@import" not in text
    assert "url(" not in text.replace("url(#", "")
    assert "http" not in text.replace("http-equiv", "").replace("http://www.w3.org", "")


def test_every_field_has_a_label_and_the_page_a_language_and_one_first_heading(hasty):
    record, marks, _ = hasty
    page = Page(debrief_page(record, marks))
    labelled = {a["for"] for tag, a in page.tags if tag == "label"}
    assert {a["id"] for tag, a in page.tags if tag == "textarea"} == labelled
    assert ("html", {"lang": "en"}) in page.tags
    assert [tag for tag, _ in page.tags].count("h1") == 1


def test_a_name_is_text_on_a_page(hasty):
    record, marks, _ = hasty
    page = Page(debrief_page(record, {**marks, "trainee": NASTY}))
    assert NASTY in page.text
    assert "script" not in {tag for tag, _ in page.tags}


def test_the_clubs_page_lists_by_name_and_tells_no_marks_and_no_acts(tmp_path):
    now = BEGAN + timedelta(days=10)
    weak = fault("pack-cell-weak", "power", True)
    acts = ("arm-stop-untested",)
    with Book(tmp_path / "logbook.sqlite") as book:
        for name, cleared in (("bea", True), ("Ada", False), (NASTY, True)):
            marks = card(weak, cleared=cleared, grave=() if cleared else acts)
            book.take_in([entry(name, "first-evening", 7, 1, marks)])
        people = [person(book, name, shipped(), now) for name in book.trainees()]
    page = Page(club_page(people, now))
    assert page.text.index(NASTY) < page.text.index("Ada") < page.text.index("bea")
    assert "script" not in {tag for tag, _ in page.tags}
    told = page.text.casefold()
    for word in ("grave", "points", hazard_words(acts[0]).casefold(), "cleared", "90", "30"):
        assert word not in told
    assert not any(one.next.reason in page.text for one in people)
    assert fetched(page) == []


def test_who_did_something_grave_stands_on_the_clubs_page_as_who_did_not(tmp_path):
    """All that differs is the drill that comes next, and that only by its name."""
    now = BEGAN + timedelta(days=10)
    pages = []
    for at, acts in enumerate(((), ("arm-stop-untested",))):
        marks = card(fault("pack-cell-weak", "power", True), grave=acts)
        with Book(tmp_path / f"{at}.sqlite") as book:
            book.take_in([entry("Ada", "first-evening", 7, 1, marks)])
            one = person(book, "Ada", shipped(), now)
        neutral = Next(shipped()[0], "")
        pages.append(club_page([one._replace(next=neutral)], now))
    assert pages[0] == pages[1]


def test_a_signed_check_out_stands_on_the_clubs_page_with_who_signed_and_no_marks(tmp_path):
    now = BEGAN + timedelta(days=10)
    with Book(tmp_path / "logbook.sqlite") as book:
        for at, (name, cleared) in enumerate((("Ada", False), ("bea", True), ("Cem", True))):
            folder = finished(tmp_path, name, name, "check-out", card(cleared=cleared), at)
            if name != "Cem":
                sign(folder, f"Iris {NASTY}", now)
        book.sync(tmp_path)
        page = Page(club_page([person(book, n, shipped(), now) for n in book.trainees()], now))
    signed = " ".join(
        page.text.partition("Check-outs signed")[2].partition("Why a drill")[0].split()
    )
    assert f"AdaThe check-outIris {NASTY} {now.astimezone():%Y-%m-%d}" in signed
    assert f"beaThe check-outIris {NASTY}" in signed
    assert "Cem" not in signed
    assert "cleared" not in page.text.casefold()
    assert "script" not in {tag for tag, _ in page.tags}
