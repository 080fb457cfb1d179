"""Cards to print: our items, the sheet's limits, a card a page. Pages are counted in a browser's PDF."""

import json
import re
import shutil
import subprocess

import pytest

from sim.aircraft import library
from sim.bench import bands, moves
from sim.bench.checklist import CHECKS
from sim.pages.cards import WRITTEN, cards_page, fields, printed, sheet_of
from sim.paths import assets_dir
from sim.procedure.cards import AFTER_HOP, CARDS, LONGEST_CARD
from tests.pages.test_pages import Page, fetched

ALL = (*CARDS, AFTER_HOP)
A5_PT = (419.5, 595.3)  # points of 1/72 in; ISO 216: 148 mm by 210 mm
BROWSER = shutil.which("chromium")


def shown(design) -> list[tuple[str, str, str]]:
    """Return (item, words, limits) of each box of all cards."""
    sheet = sheet_of(design)
    return [
        (item.check, f.words, f.limits)
        for c in ALL
        for item in c.items
        for f in fields(item, sheet)
    ]


def test_every_check_has_its_boxes_and_every_box_a_line_of_the_sheet():
    assert set(WRITTEN) == set(CHECKS)
    sheet = sheet_of(library.TRAINER)
    wanting = {(c, m) for c, measures in WRITTEN.items() for m in measures} - set(sheet)
    assert not wanting


@pytest.mark.parametrize("name", library.names("airframes"))
def test_each_limit_is_the_sheets(dryhop, name):
    rows = json.loads(dryhop("sheet", name, "--json").out)
    said = {
        (r["check"], r["line"].removesuffix(", each corner"), r["limits"] or r["normal"])
        for r in rows
    }
    found = shown(name)
    assert len(found) > 80
    assert set(found) <= said
    text = Page(cards_page(name)).text
    assert all(limits in text for _, _, limits in found)


def test_what_cannot_be_below_zero_or_above_the_whole_is_printed_with_one_limit():
    limits = {(check, words): limits for check, words, limits in shown(library.TRAINER)}
    assert limits["range-walk", "ahead: frames lost"].startswith("at most 1")
    assert limits["look-and-tug", "play at an arm's end"] == "at most 0.30 mm"
    assert limits["pad-look", "heading"].startswith("−")


def test_limits_differ_from_aircraft_to_aircraft():
    masses = [
        {limits for check, words, limits in shown(name) if words == "mass"}
        for name in ("indoor-57mm", library.TRAINER)
    ]
    assert masses[0] != masses[1] != set()


def test_ones_own_aircraft_has_its_own_limits(dryhop, tmp_path, monkeypatch):
    """Its tables are those of the trainer here, but for the band of its mass, moved by half."""
    monkeypatch.setenv("DRYHOP_CACHE_DIR", str(tmp_path / "cache"))
    file = tmp_path / "mine.yaml"
    text = (assets_dir() / "airframes" / f"{library.TRAINER}.yaml").read_text()
    file.write_text(text.replace(f"name: {library.TRAINER}", "name: mine"))
    for kind in (bands, moves):
        own = kind.file_of(str(file))
        own.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(kind.file_of(library.TRAINER), own)
    rows = bands.read(bands.file_of(str(file)))
    rows["weigh-and-balance", "mass_kg"] = rows["weigh-and-balance", "mass_kg"].scaled(1.5)
    bands.save(list(rows.values()), bands.file_of(str(file)))
    page = tmp_path / "cards.html"
    assert dryhop("cards", "--airframe", file, "--out", page).code == 0
    words = Page(page.read_text()).text
    low, high = re.search(r"mass\s+([\d.]+) … ([\d.]+) kg", words).groups()  # type: ignore[union-attr]
    assert [float(low), float(high)] == pytest.approx([1.5 * 1.398, 1.5 * 1.607], abs=0.001)
    assert "1.398" not in words
    assert "mine (invented)" in words
    monkeypatch.setattr("sim.aircraft.library.own_airframes", lambda: tmp_path)
    assert dryhop("cards", "--airframe", "mine", "--out", tmp_path / "again.html").code == 0
    assert (tmp_path / "again.html").read_text() == page.read_text()


def test_an_unknown_aircraft_is_refused_with_the_nearest(dryhop):
    said = dryhop("cards", "--airframe", "trainer-254")
    assert said.code == 2
    assert library.TRAINER in said.err


def test_the_page_is_one_file_of_our_cards_in_order():
    page = Page(cards_page(library.TRAINER))
    assert fetched(page) == []
    assert "script" not in {tag for tag, _ in page.tags}
    cards = [a["aria-label"] for tag, a in page.tags if tag == "section"]
    assert cards == [card.title for card in ALL]
    text = " ".join(page.text.split())
    items = [item for card in ALL for item in card.items]
    assert [text.count(item.asks) >= 1 for item in items] == [True] * len(items)
    assert text.count("Local rules and your club's instructor come first.") == 1 + len(ALL)
    assert text.count("a slip here can hurt") == sum(item.killer for item in items)
    assert text.count("Propellers turn on this card.") == 2  # under load, and light on the legs


@pytest.mark.parametrize("card", ALL, ids=lambda card: card.key)
def test_cautions_stand_on_a_card_whole_and_once(card):
    told = printed(card, sheet_of(library.TRAINER))
    assert len(set(told.cautions)) == len(told.cautions)
    joined = " ".join(told.cautions)
    for item in card.items:
        assert all(one in joined for one in CHECKS[item.check].caution.split(". "))
    assert len(told.lines) <= LONGEST_CARD


@pytest.mark.skipif(BROWSER is None, reason="no browser here to print with")
@pytest.mark.parametrize("name", ["indoor-57mm", library.TRAINER, "heavy-381mm"])
def test_a_card_a_page_of_a5(tmp_path, name):
    page, printed_page = tmp_path / "cards.html", tmp_path / "cards.pdf"
    page.write_text(cards_page(name))
    subprocess.run(
        [
            *(str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu"),
            *("--no-pdf-header-footer", f"--print-to-pdf={printed_page}", page.as_uri()),
        ],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    pdf = printed_page.read_bytes()
    sizes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert len(re.findall(rb"/Type /Page\b(?!s)", pdf)) == len(sizes) == len(ALL)
    for size in sizes:
        assert [float(x) for x in size] == pytest.approx(A5_PT, abs=1.0)
