"""The pages in a real browser: opened, walked through by keys, printed, by day and by night, for everybody."""

import pytest

from tests.pages.browser import A4_MM, A5_MM, Seen, barriers, needs_browser

pytestmark = needs_browser
NAMES = ("debrief of a hop", "debrief of a bench", "club", "cards")
NARROW = {"width": 360, "height": 740}  # a telephone held upright
SHEETS = {
    "debrief of a hop": A4_MM,
    "debrief of a bench": A4_MM,
    "club": A4_MM[::-1],
    "cards": A5_MM,
}
TABS = {
    "debrief of a hop": ["plus", "delta"],
    "debrief of a bench": ["plus", "delta"],
    "club": ["Who is ready for what"],
    "cards": [],
}


@pytest.fixture(params=NAMES)
def name(request):
    return request.param


def test_it_opens_without_a_word_on_the_console_and_asks_nothing_of_the_network(
    chrome, page_files, name
):
    seen = Seen(chrome, page_files[name])
    try:
        assert seen.page.locator("h1").count() == 1
        assert seen.said == []
        assert seen.asked == [page_files[name].resolve().as_uri()]
    finally:
        seen.close()


def test_it_is_all_there_without_script(chrome, page_files, name):
    plain, full = (Seen(chrome, page_files[name], java_script_enabled=on) for on in (False, True))
    try:
        assert plain.page.locator("main").inner_text() == full.page.locator("main").inner_text()
    finally:
        plain.close()
        full.close()


def test_the_tab_key_leads_through_it_in_order(chrome, page_files, name):
    seen = Seen(chrome, page_files[name])
    try:
        assert seen.tabbed() == TABS[name]
    finally:
        seen.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_in_it_seriously_keeps_anybody_from_reading_it(chrome, page_files, name, scheme):
    assert barriers(chrome, page_files[name], color_scheme=scheme) == []


def test_it_fits_a_narrow_screen(chrome, page_files, name):
    seen = Seen(chrome, page_files[name], viewport=NARROW)
    try:
        assert not seen.wider_than_seen()
    finally:
        seen.close()


def test_it_prints_on_its_sheet(chrome, page_files, name, tmp_path):
    seen = Seen(chrome, page_files[name], color_scheme="dark")
    try:
        found = seen.printed(tmp_path / "page.pdf")
    finally:
        seen.close()
    assert found
    for sheet in found:
        assert sheet == pytest.approx(SHEETS[name], abs=0.5)


def test_a_page_that_breaks_the_rules_is_found(chrome, tmp_path):
    bad = tmp_path / "bad.html"
    bad.write_text(
        "<!doctype html><html lang=en><title>x</title><h1>x</h1><input><img src='https://example.org/x.png'>"
        "<p style='color:#eee;background:#fff'>pale</p><script>console.error('no')</script>",
        encoding="utf-8",
    )
    seen = Seen(chrome, bad)
    try:
        assert seen.said
        assert any("example.org" in url for url in seen.asked)
    finally:
        seen.close()
    found = " ".join(barriers(chrome, bad))
    assert "color-contrast" in found
    assert "label" in found
