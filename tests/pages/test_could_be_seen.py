"""Each “it could be seen from minute M in CHECK, line L” of a page against a second reckoning.

The twin (`tests/pages/twin.py`) goes through what the journal of the run gives, replayed, and
through the tables as they lie on disk.
"""

import re

import pytest

from sim.bench.checklist import CHECKS
from sim.pages.debrief import debrief_page
from sim.runs import worked_out
from sim.window.action_words import cause_words, line_words
from sim.window.values import reading_told
from tests.pages.test_pages import Page
from tests.pages.twin import Tables, field_ut, first_seen

AIRFRAME, MEASURED_AT = "trainer-254mm", "lockup-garage"
TITLES: dict[str, str] = {key: check.title for key, check in CHECKS.items()}
SAID = re.compile(
    r"It could be seen from minute (?P<minute>\d+) in “(?P<check>[^”]+)”, line “(?P<line>[^”]+)”: "
    r"you had (?P<value>.+?)(?P<against> \(against the middle of the four\))?, the build sheet has"
)
QUICK = (("first-evening", "partial-50", 7), ("twins", "partial-75", 3), ("lucky-dip", "noisy", 5))
STAND_INS = (
    "careful", "by-hand", "hasty", "hunch", "clicker", "oracle", "by-feel", "partial-25",
    "partial-50", "partial-75", "noisy", "late", "cautious",
)  # fmt: skip
DRILLS = (
    "second-hand", "lucky-dip", "long-evening", "open-day", "the-other-hall", "market-day",
    "box-of-bits", "spring-clean", "glue-weather", "harvest-evening", "masters-round",
)  # fmt: skip
THIRTY = [(DRILLS[n % len(DRILLS)], STAND_INS[n % len(STAND_INS)], 20 + n) for n in range(30)]


def sections(page: Page, faults: list[str]) -> dict[str, str]:
    """Return what the page says of each fault, by fault, in the order of the scorecard."""
    parts = re.split(r"Danger \d of 5\.", " ".join(page.text.split()))
    heads = [" ".join(cause_words(fault).capitalize().split()) for fault in faults]
    assert all(head in part for head, part in zip(heads, parts, strict=False))
    return dict(zip(faults, parts[1:], strict=True))


def judge(run) -> int:
    """Hold every statement of a run's page against the twin; return how many faults could be seen."""
    record, card = worked_out(run[2])
    place = record.scenario.place
    assert isinstance(place, str)
    larger = field_ut(place) / field_ut(MEASURED_AT)
    assert record.scenario.airframe == AIRFRAME
    tables = Tables(AIRFRAME, larger)
    page = Page(debrief_page(record, card))
    faults = [rung["id"] for rung in card["faults"]]
    said = sections(page, faults) if faults else {}
    seen = 0
    for fault in faults:
        wanted, told = first_seen(fault, record, tables), SAID.search(said[fault])
        assert (wanted is None) == (told is None), fault
        if wanted is None or told is None:
            continue
        seen += 1
        assert told["minute"] == f"{wanted.minutes:.0f}"
        assert told["check"] == TITLES[wanted.check]
        most = wanted.lines[0][1]
        plainest = [line for line, off in wanted.lines if off == pytest.approx(most)]
        assert told["line"] in {line_words(line) for line in plainest}
        if not told["against"]:
            values = next(
                e.reading.values
                for e in record.events
                if e.reading and e.reading.check == wanted.check and e.minutes == wanted.minutes
            )
            assert told["value"] in {reading_told(ln, values[ln]).amount for ln in plainest}
    return seen


@pytest.mark.parametrize("run", QUICK)
def test_what_a_page_says_could_be_seen_is_what_the_twin_finds(flown, run):
    assert judge(flown(*run)) > 0


@pytest.mark.slow
def test_and_so_it_is_in_thirty_runs_of_all_stand_ins(flown):
    assert sum(judge(flown(*run)) for run in THIRTY) >= 20
