"""A real browser without a window: Debian's chromium, driven from here; what a page did in it."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
SERIOUS = ("serious", "critical")
A4_MM, A5_MM = (210.0, 297.0), (148.0, 210.0)
POINTS_PER_MM = 72.0 / 25.4


def why_not() -> str:
    """Return why there can be no browser here; nothing if there can."""
    if not Path(CHROMIUM).is_file():
        return "no chromium here; on Debian: apt-get install chromium"
    try:
        import axe_playwright_python  # noqa: F401
        import playwright.sync_api  # noqa: F401
    except ImportError as lacking:
        return f"{lacking.name} is not installed; it comes with the test extra"
    return ""


needs_browser = pytest.mark.skipif(bool(why_not()), reason=why_not() or "there is one")


@contextmanager
def browser() -> Iterator[Any]:
    """Give a browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        # no sandbox: tests may run as root, and the pages are our own
        found = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        try:
            yield found
        finally:
            found.close()


class Seen:
    """A page opened from its file: what was said on the console, asked of the network, gone wrong."""

    def __init__(self, browser: Any, path: Path, **looks: Any) -> None:
        self.context = browser.new_context(**looks)
        self.page = self.context.new_page()
        self.said: list[str] = []
        self.asked: list[str] = []
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("dialog", lambda dialog: self.said.append(f"dialog: {dialog.message}"))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(path.resolve().as_uri())

    def close(self) -> None:
        """Close the page."""
        self.context.close()

    def tabbed(self, most: int = 40) -> list[str]:
        """Return what the tab key leads to, in order, until it is the page's end again.

        Each by its identifier or label, or its tag.
        """
        found: list[str] = []
        for _ in range(most):
            self.page.keyboard.press("Tab")
            name = self.page.evaluate(
                "(e => e === document.body ? '' : e.id || e.getAttribute('aria-label') || e.tagName)"
                "(document.activeElement)"
            )
            if not name or name in found:
                break
            found.append(name)
        return found

    def wider_than_seen(self) -> bool:
        """Tell whether one has to move the page sideways to read it."""
        return bool(
            self.page.evaluate(
                "document.documentElement.scrollWidth > document.documentElement.clientWidth + 1"
            )
        )

    def printed(self, path: Path) -> list[tuple[float, float]]:
        """Print it into a file; return the size of each sheet, mm."""
        self.page.pdf(path=path, prefer_css_page_size=True, print_background=True)
        return sheets(path.read_bytes())


def sheets(pdf: bytes) -> list[tuple[float, float]]:
    """Return the size of each sheet of a printed page, mm, by the boxes written in it."""
    found = []
    for part in pdf.split(b"/MediaBox")[1:]:
        numbers = part[part.index(b"[") + 1 : part.index(b"]")].split()
        left, low, right, high = (float(number) for number in numbers)
        found.append(((right - left) / POINTS_PER_MM, (high - low) / POINTS_PER_MM))
    return found


def barriers(browser: Any, path: Path, **looks: Any) -> list[str]:
    """Return what axe-core finds that seriously keeps people from reading a page."""
    from axe_playwright_python.sync_playwright import Axe

    seen = Seen(browser, path, bypass_csp=True, **looks)
    try:
        found = Axe().run(seen.page).response["violations"]
    finally:
        seen.close()
    return [
        f"{one['id']}: {one['help']}: {one['nodes'][0]['html'][:200]}"
        for one in found
        if one["impact"] in SERIOUS
    ]
