"""The desk as its pages, its slips, the hand and the flight see it."""

from collections.abc import Callable
from typing import ClassVar, Protocol

from sim.bench.reading import Reading
from sim.session import actions as act
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.evidence import Picked
from sim.window.practice import Practice
from sim.window.said import Said
from sim.window.ui import Ui
from sim.window.values import Units

Pauses = Callable[[App, Screen], None]  # shows the pause; the screen given is where it goes back to


class Workplace(Screen, Protocol):
    """Where a drill is worked at. page : act of the page that lies open."""

    app: App
    practice: Practice
    later: str
    pause: Pauses
    units: Units
    page: str

    @property
    def reading(self) -> Reading | None:
        """Return the reading that lies on top."""
        ...

    def ask(self, action: act.Action) -> bool:
        """Ask for something to be done; tell whether it was begun."""
        ...

    def hear(self, said: Said) -> None:
        """Take in what came back."""
        ...

    def lay(self, reading: Reading) -> None:
        """Lay a reading's sheet on top."""
        ...

    def rest_on(self, ui: Ui, picked: Picked) -> None:
        """Rest a squawk on a line: the one in hand, or a new one."""
        ...

    def open_slip(self, ui: Ui, slip: "Slip") -> None:
        """Lay a slip over the folder."""
        ...

    def close_slip(self, ui: Ui) -> None:
        """Take the slip away and go back to the page below it."""
        ...


class Page(Protocol):
    """A page of the folder. `act`: opens it; `words`: on its divider; `first`: where the focus begins."""

    act: ClassVar[str]
    words: ClassVar[str]
    first: ClassVar[str]

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the page and do what was asked on it."""
        ...


class Slip(Protocol):
    """A slip over the folder until it is done with. `act`: lays it down; `first`: as of a page."""

    act: ClassVar[str]
    first: ClassVar[str]

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw it and do what was asked."""
        ...
