"""What keys and pointer did since the last frame; filled by the pixel back end or by a test."""

from dataclasses import dataclass, field

from sim.window.canvas import Point

OUTSIDE: Point = (-1.0, -1.0)  # px; own: a pointer that is nowhere


@dataclass(frozen=True)
class Stroke:
    """One key struck: its name in lower case, what it types, and the modifiers."""

    key: str
    text: str = ""
    shift: bool = False
    ctrl: bool = False
    again: bool = False  # sent anew because the key stayed down

    @property
    def name(self) -> str:
        """Return the name a binding uses: `ctrl+s`, `shift+tab`, `p`."""
        shift = "shift+" if self.shift and len(self.key) > 1 else ""
        return ("ctrl+" if self.ctrl else "") + shift + self.key


@dataclass
class Inputs:
    """Strokes since the last frame, keys held, and the pointer (px)."""

    strokes: list[Stroke] = field(default_factory=list)
    held: frozenset[str] = frozenset()
    pointer: Point = OUTSIDE
    pressed: bool = False
    down: bool = False
    released: bool = False
    wheel: float = 0.0

    def write(self, draft: str, longest: int) -> tuple[str, str | None]:
        """Take strokes into a draft of so many letters; return it, and all of it if Enter came."""
        kept, done = [], None
        for stroke in self.strokes:
            if done is None and stroke.key == "return":
                done = draft
            elif done is None and stroke.key == "backspace":
                draft = draft[:-1]
            elif done is None and stroke.text and not stroke.ctrl and len(draft) < longest:
                draft += stroke.text
            else:
                kept.append(stroke)
        self.strokes = kept
        return draft, done

    def take(self, name: str, fresh: bool = False) -> bool:
        """Tell whether a key was struck, and use the stroke up. fresh : not one sent anew."""
        for i, stroke in enumerate(self.strokes):
            if stroke.name == name and not (fresh and stroke.again):
                del self.strokes[i]
                return True
        return False
