"""Where the focus is, frame by frame, and what was pressed; on which all widgets stand.

Each frame leaves a tree of nodes (id, role, name, value, rectangle, focused), which tests query and
which could feed a speaking program. Tab and the arrow keys move the focus, Enter presses.
"""

from sim.window import theme
from sim.window.canvas import Canvas, Rect
from sim.window.inputs import Inputs
from sim.window.keys import BY_NAME, KeyMap
from sim.window.nodes import Node, Role
from sim.window.sticks.mapping import DeviceMapping
from sim.window.theme import KEY

ROW_UNITS = 26.0  # units; own: height of a row at 100 % text


class Focus:
    """The focus of one window; `begin` and `end` each frame."""

    def __init__(self, keys: KeyMap) -> None:
        self.keys = keys
        self.focus: str | None = None
        self.tree: list[Node] = []
        self._order: list[str] = []
        self._scroll: dict[str, float] = {}
        self._lists: dict[str, int] = {}
        self._marks: dict[str, int] = {}
        self._drafts: dict[str, str] = {}
        self._held: str | None = None
        self._gone: str | None = None
        self._moved = False
        self._flying = False
        self._holding: set[str] = set()
        self._left: str | None = None  # the field just left, from which Tab goes on
        self._lettered: set[str] = set()  # keys whose caps stand on the window
        self._caps: set[str] = set()  # those of last frame
        self.typing = False
        self.device: DeviceMapping | None = None  # the pad in use, where it is known
        self.by_pad = True  # whether its sticks move the focus; False where they fly or are tried
        self.pressed = self.clicked = False  # the widget just drawn; clicked: by the pointer
        self.canvas: Canvas
        self.inputs = Inputs()

    # --- the frame -----------------------------------------------------------------------------

    def begin(self, canvas: Canvas, inputs: Inputs) -> None:
        """Start a frame: move the focus by last frame's order."""
        self.canvas, self.inputs = canvas, inputs
        self._order = [n.id for n in self.tree if n.enabled]
        self._moved, self.by_pad = False, True
        if inputs.take("tab"):
            self._step(1)
        if inputs.take("shift+tab"):
            self._step(-1)
        if not self.typing and not self._flying and self.focus not in self._holding:
            if inputs.take("down"):
                self._step(1, inside=True)
            if inputs.take("up"):
                self._step(-1, inside=True)
        fields = {n.id for n in self.tree if n.role == "field"}
        self.typing = self.focus in fields  # so that no act before the field takes its letters
        if self.focus is not None:
            self._left = None
        self.tree = []
        self._holding = set()
        self._caps, self._lettered = self._lettered, set()

    def leave(self) -> None:
        """Take the focus off a field; Tab and the arrows go on from there."""
        self._left, self.focus, self.typing = self.focus, None, False

    def flight(self, on: bool) -> None:
        """Leave the arrow keys to the sticks while flying."""
        self._flying = on

    def end(self) -> None:
        """End a frame: a focus that is gone goes to nothing."""
        if self.focus is None or self.focus in {n.id for n in self.tree}:
            self._gone = None
        elif self._gone == self.focus:
            self.focus = self._gone = None
        else:
            self._gone = self.focus  # it may have been set for what comes in the next frame
        if self.inputs.released:
            self._held = None

    def _step(self, by: int, inside: bool = False) -> None:
        """Move the focus on: within a list row by row (`inside`), else past the list."""
        self._moved = True
        here = self.focus or self._left or ""
        prefix, _, number = here.rpartition(":")
        rows = self._lists.get(prefix, 0)
        if inside and number.isdigit() and 0 <= int(number) + by < rows:
            self.focus = f"{prefix}:{int(number) + by}"
            return
        order = [o for o in self._order if o == here or not rows or o.rpartition(":")[0] != prefix]
        if not order:
            return
        at = order.index(here) + by if here in order else (0 if by > 0 else -1)
        self.focus = order[at % len(order)]

    @property
    def unit(self) -> float:
        """Return the length of one unit, px."""
        return self.canvas.scale

    @property
    def row_height(self) -> float:
        """Return the height of a row, px, which grows with the text."""
        return ROW_UNITS * self.unit * self.canvas.text_scale

    def marked(self, id_: str) -> int:
        """Return the row of a list that the focus was on last."""
        return self._marks.get(id_, 0)

    def node(self, name: str) -> Node:
        """Return a node of this frame by id; KeyError if it is not there."""
        for node in self.tree:
            if node.id == name:
                return node
        raise KeyError(name)

    # --- presses -------------------------------------------------------------------------------

    def _touch(
        self, id_: str, role: Role, name: str, rect: Rect, value: str = "", enabled: bool = True
    ) -> bool:
        """Put a node into the tree; tell whether it was pressed by pointer or Enter."""
        inputs = self.inputs
        over = enabled and rect.holds(inputs.pointer)
        if over and inputs.pressed:
            self.focus = self._held = id_
        self.clicked = pressed = over and inputs.released and self._held == id_
        if enabled and self.focus == id_ and role != "field" and inputs.take("return"):
            pressed = True
        self.pressed = pressed
        self.tree.append(Node(id_, role, name, value, rect, self.focus == id_, enabled))
        return pressed

    def ring(self, id_: str, rect: Rect) -> None:
        """Draw the ring round what the keys act on: light outside dark, seen on any ground."""
        if self.focus == id_:
            u = self.unit
            self.canvas.frame(rect.inset(-3 * u), theme.CHALK, 1.5 * u, 6 * u)
            self.canvas.frame(rect.inset(-1.5 * u), theme.FOCUS, 2.5 * u, 5 * u)

    def struck(self, name: str) -> bool:
        """Tell whether an act's key was struck; while text is typed no act is.

        A key held down strikes once, so that it doesn't run over into the next screen; only the
        acts that are always there strike on, as the cut must never be missed.
        """
        fresh = BY_NAME[name].when != "always"
        return not self.typing and self.inputs.take(self.keys.key(name), fresh)

    def keycap(
        self, right: float, middle: float, cap: str, dark: bool = False, live: bool = True
    ) -> float:
        """Draw a key cap ending at `right`, px; return where it begins.

        live : the key does it now.
        """
        if not cap:
            return right
        w, h = self.canvas.measure(cap, KEY)
        pad = 4 * self.unit
        rect = Rect(right - w - 2 * pad, middle - h / 2 - pad / 4, w + 2 * pad, h + pad / 2)
        ground, ink, edge = (
            (theme.BENCH_LIGHT, theme.CHALK, theme.CHALK_SOFT)
            if dark
            else (theme.PAPER_SHADE, theme.INK, theme.INK_SOFT)
        )
        self.canvas.fill(rect, ground, 3 * self.unit)
        self.canvas.frame(rect, edge if live else ground, 1, 3 * self.unit)
        dim = theme.CHALK_SOFT if dark else theme.INK_SOFT
        self.canvas.text((rect.x + pad, middle - h / 2), cap, KEY.on(ink if live else dim))
        return rect.x - pad
