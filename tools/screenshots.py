"""Draw the pictures of the README: `python -m tools.screenshots [FOLDER]`, usually `docs`.

They come from the sample states that `tools/labels.py` and the tests draw, so they are the same every
time. Look at them before they are committed. Pillow writes the WebP files.
"""

import os
import sys
from pathlib import Path

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"

import pygame
from PIL import Image

from sim.window.app import App, Screen
from sim.window.inputs import Inputs
from sim.window.pixels.canvas import PixelCanvas
from sim.window.pixels.scene import ScenePainter
from tools.samples import SAMPLES

ROOT = Path(__file__).resolve().parent.parent
SIZE = (1280, 720)  # px; design
QUALITY = 82  # of 100; own: letters stay clean
STATES = {"bench": 3, "hop": 1}  # name of the sample and of the file: which of its states


def drawn(app: App, screen: Screen) -> pygame.Surface:
    """Return a screen's picture; drawn twice, as some widths are known only after the first time."""
    surface = pygame.Surface(SIZE)
    canvas = PixelCanvas(surface, 1.0)
    app.go(screen)
    for _ in range(2):
        app.frame(canvas, Inputs(), 0.0)
    return surface


def main(folder: Path) -> None:
    """Draw and write every picture."""
    painter = ScenePainter()

    def paint(target, craft, room):
        painter.prepare(target.get_size(), craft, room)
        painter.paint(target, craft, room)

    folder.mkdir(exist_ok=True)
    for name, wanted in STATES.items():
        app = App(folder / "no-settings.json")
        app.paint = paint
        for state, screen in enumerate(SAMPLES[name](app)):
            if state == wanted:
                pixels = pygame.image.tobytes(drawn(app, screen), "RGB")
                path = folder / f"{name}.webp"
                Image.frombytes("RGB", SIZE, pixels).save(path, quality=QUALITY, method=6)
                print(f"{path}: {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs")
