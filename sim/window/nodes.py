"""What stands on the window: nodes for tests and speech, and the seen part of a long list."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from sim.window.canvas import Rect

Role = Literal["button", "row", "field", "slider", "choice", "tab", "picture", "link"]


@dataclass(frozen=True)
class Node:
    """What stands on the window, for tests and speech."""

    id: str
    role: Role
    name: str
    value: str
    rect: Rect
    focused: bool
    enabled: bool


@dataclass(frozen=True)
class Scroll:
    """The part of a list that is seen."""

    rect: Rect
    top: int
    room: int
    rows: int
    height: float

    def __iter__(self) -> Iterator[tuple[int, Rect]]:
        """Yield (index, rectangle) of the rows seen."""
        for i in range(self.top, min(self.rows, self.top + self.room)):
            y = self.rect.y + (i - self.top) * self.height
            yield i, Rect(self.rect.x, y, self.rect.w - 8, self.height)
