"""What people call themselves, write and tell stays text on a page, whatever it holds."""

from dataclasses import fields, is_dataclass, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markupsafe import Markup
from pydantic import ValidationError

from sim.pages import debrief
from sim.pages.render import page
from sim.session.ownwords import OwnWords, own_words
from tests.logbook.entering import BEGAN
from tests.pages.browser import Seen, needs_browser
from tests.pages.test_pages import Page

KNOWN = (
    "<script>alert(1)</script>",
    "\"><img src=x onerror='alert(1)'>",
    "'; DROP TABLE trainees; --",
    "</style></textarea></title><svg onload=alert(1)>",
    "{{ 7 * 7 }}{% raw %}",
    "&lt;b&gt;&amp;",
    "\x1b]0;owned\x07\x1b[2J",
    "\u202egnp.exe\u2066",
    "javascript:alert(1)",
)
SAID = st.one_of(st.sampled_from(KNOWN), st.text(max_size=40), st.text("<>&\"'{}%;/=\x1b\u202e"))


class Kept(dict):
    """What a page is made of; told briefly where a test fails."""

    def __repr__(self) -> str:
        return f"the data of a page, {len(self)} entries"


@pytest.fixture(scope="module")
def template(flown):
    """Return all that a page of a run is made of."""
    record, card, _ = flown("twins", "partial-75", 3)
    kept = Kept()

    def keeps(name, **data):
        kept.update(data)
        return page(name, **data)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(debrief, "page", keeps)
        debrief.debrief_page(record, card, own_words(["calm"], ["sticks first"], BEGAN))
    return kept


def spoilt(data, said):
    """Return data with something added to every text in it but keys and what is markup by its type."""
    if isinstance(data, Markup):
        return data
    if isinstance(data, str):
        return data + said
    if isinstance(data, dict):
        return {key: spoilt(value, said) for key, value in data.items()}
    if hasattr(data, "_make"):
        return data._make(spoilt(one, said) for one in data)
    if isinstance(data, list | tuple):
        return type(data)(spoilt(one, said) for one in data)
    if isinstance(data, OwnWords):  # unchecked: a file may hold what nobody could have written
        return data.model_copy(
            update={k: spoilt(getattr(data, k), said) for k in ("plus", "delta")}
        )
    if is_dataclass(data) and not isinstance(data, type):
        told = {
            f.name: spoilt(getattr(data, f.name), said)
            for f in fields(data)
            if f.name not in ("id", "first")
        }
        return replace(data, **told)
    return data


@settings(max_examples=60, deadline=None)
@given(said=SAID)
def test_whatever_is_said_adds_no_tag_and_no_attribute_to_a_debrief(template, said):
    plain, found = (
        Page(page("debrief.html", **spoilt(template, added))) for added in ("x", f"x{said}")
    )
    assert found.tags == plain.tags


@pytest.mark.parametrize("said", KNOWN)
def test_it_is_there_to_be_read(template, said):
    found = Page(page("debrief.html", **spoilt(template, said)))
    assert found.text.count(said) > 20


@pytest.mark.parametrize("said", ["\x1b[2J", "\u202egnp.exe", "a\nb", "\u2066"])
def test_own_words_hold_nothing_that_steers_a_terminal_or_turns_the_way_of_reading(said):
    with pytest.raises(ValidationError, match="unseen_character"):
        OwnWords(plus=(said,), at_utc=BEGAN)
    kept = own_words([said], [], BEGAN).plus[0]
    assert "?" in kept
    assert not set(kept) & set("\x1b\u202e\n\u2066")


@needs_browser
def test_a_browser_runs_nothing_of_it(chrome, template, tmp_path):
    path = tmp_path / "hostile.html"
    path.write_text(page("debrief.html", **spoilt(template, "".join(KNOWN))), encoding="utf-8")
    seen = Seen(chrome, path)
    try:
        assert seen.said == []
        assert seen.asked == [path.resolve().as_uri()]
    finally:
        seen.close()
