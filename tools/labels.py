"""Print every label of the window, from the code that draws it: `python -m tools.labels`."""

import tempfile
from pathlib import Path

from sim.window.app import App, Screen
from sim.window.canvas import TextCanvas
from sim.window.inputs import Inputs
from sim.window.theme import Type
from tools.samples import SAMPLES

WIDE, TALL = 1280, 60_000  # px; own: so tall that nothing scrolls
NARROW = 0.01  # 1; own: letters so narrow that nothing wraps and nothing is cut


class Unbroken(TextCanvas):
    """A text back end on which every sentence stays in one line."""

    def measure(self, words: str, style: Type) -> tuple[float, float]:
        """Return next to no width, and the usual height."""
        w, h = super().measure(words, style)
        return NARROW * w, h


def shown(app: App, screen: Screen, canvas: TextCanvas | None = None) -> TextCanvas:
    """Draw a screen twice, as some widths are known only after the first time; return the second."""
    drawn = canvas or Unbroken(WIDE, TALL)
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
    found: dict[str, None] = {}
    for name, draws in SAMPLES.items():
        with tempfile.TemporaryDirectory() as folder:
            app = App(Path(folder) / "window.json")
            for screen in draws(app):
                canvas = shown(app, screen)
                said = [w.replace(folder, "…").strip() for w in words_of(canvas, app)]
                found |= {f"{name}: {words}": None for words in said if wordy(words)}
    return list(found)


def wordy(words: str) -> bool:
    """Tell whether there is a word in it, not only numbers, signs or one letter of a key."""
    return len(words) > 1 and any(letter.isalpha() for letter in words)


if __name__ == "__main__":
    print("\n".join(labels()))
