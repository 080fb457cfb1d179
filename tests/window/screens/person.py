"""A person with nothing but keys in front of one screen."""

from sim.window.app import App
from sim.window.canvas import TextCanvas
from sim.window.inputs import Inputs, Stroke

FRAME_S = 0.02
MOST = 400  # strokes; no screen has more things on it


class KeyPerson:
    """Strikes keys; every stroke is a frame of its own."""

    def __init__(self, app: App, width: int = 1280, height: int = 720) -> None:
        self.app = app
        self.size = width, height
        self.canvas = TextCanvas(width, height, scale=width / 1280)
        self.frame()

    def frame(self, strokes=(), held=(), seconds=FRAME_S, **more) -> None:
        self.canvas = TextCanvas(*self.size, scale=self.size[0] / 1280)
        inputs = Inputs(strokes=list(strokes), held=frozenset(held), **more)
        self.app.frame(self.canvas, inputs, seconds)

    def strike(self, *keys: str) -> None:
        for key in keys:
            shift = key == "shift+tab"
            text = key if len(key) == 1 else ""
            self.frame([Stroke("tab" if shift else key, text, shift)])

    def types(self, words: str) -> None:
        for letter in words:
            self.frame([Stroke("space" if letter == " " else letter.lower(), letter)])

    def to(self, id_: str) -> None:
        """Go to something by Tab; fail if it is not reached."""
        for _ in range(MOST):
            if self.app.ui.focus == id_:
                self.frame()
                return
            self.strike("tab")
        raise AssertionError(f"{id_} was not reached: {[n.id for n in self.app.ui.tree]}")

    def press(self, id_: str) -> None:
        self.to(id_)
        self.strike("return")

    @property
    def said(self) -> str:
        return "\n".join(self.canvas.lines())
