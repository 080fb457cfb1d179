"""Every label of the window, from the code that draws it, so that wording is reviewed at once."""

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from sim.window.app import App, Screen
from sim.window.canvas import TextCanvas
from sim.window.inputs import Inputs

Sample = Callable[[App], Iterator[Screen]]

WIDE, TALL = 60_000, 60_000  # px; own: so large that nothing wraps and nothing scrolls
SAMPLES: dict[str, Sample] = {}


def sample(name: str) -> Callable[[Sample], Sample]:
    """Register what draws a screen in all its states: it yields the screen once for each."""

    def keep(found: Sample) -> Sample:
        SAMPLES[name] = found
        return found

    return keep


def shown(app: App, screen: Screen, canvas: TextCanvas | None = None) -> TextCanvas:
    """Draw a screen twice, as some widths are known only after the first time; return the second."""
    drawn = canvas or TextCanvas(WIDE, TALL)
    app.go(screen)
    for _ in range(2):
        drawn.written.clear()
        drawn.pictures.clear()
        app.frame(drawn, Inputs(), 0.0)
    return drawn


def words_of(canvas: TextCanvas, app: App) -> list[str]:
    """Return what was written, what is in pictures, and what the widgets are called."""
    stamps = [p.removeprefix("stamp: ") for p in canvas.pictures if p.startswith("stamp: ")]
    return [*canvas.lines(), *stamps, *(node.name for node in app.ui.tree)]


def labels() -> list[str]:
    """Return every distinct label as `screen: words`."""
    from sim.window import samples  # noqa: F401 - registers the samples

    found: dict[str, None] = {}
    for name, draws in SAMPLES.items():
        with tempfile.TemporaryDirectory() as folder:
            app = App(Path(folder) / "window.json")
            for screen in draws(app):
                canvas = shown(app, screen)
                said = (words.strip() for words in words_of(canvas, app))
                found |= {f"{name}: {words}": None for words in said if wordy(words)}
    return list(found)


def wordy(words: str) -> bool:
    """Tell whether there is a word in it, not only numbers and signs."""
    return any(letter.isalpha() for letter in words)
