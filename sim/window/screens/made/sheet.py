"""The sheet on which a drill is made: what is hidden is ticked, and beside it stands what comes of it."""

from collections.abc import Callable
from itertools import chain
from pathlib import Path

from sim.aircraft.fields import plain
from sim.aircraft.library import TRAINER
from sim.aircraft.textfile import numbered
from sim.errors import DryhopError, line_of
from sim.faults.catalogue import CATALOGUE
from sim.logbook.ahead import WORDS as FAMILY_WORDS
from sim.maker.file import name_for, write
from sim.maker.form import HELP_TOLD, Form, choices
from sim.maker.rating import Rated, told
from sim.paths import own_drills
from sim.session.scenario import RUNGS
from sim.session.severities import AT_EDGE
from sim.window.action_words import cause_words
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.screens.made.notes import beside
from sim.window.screens.paper import (
    Column,
    Roll,
    answer_place,
    foot,
    leading_out,
    lower,
    tick,
    two_sheets,
)
from sim.window.ui import LONGEST, Ui

LABEL_SHARE = 0.42  # of a row; own: the question, before its answer
TITLE, BESIDE = "A drill of your own", "What comes of it"
WORDS = (
    "Tick what is hidden, say how bad it is and on which aircraft. Title and story are read "
    "before the drill: they must give nothing away."
)
BY_NAME, DRAWN, SOUND = "by name", "drawn by chance", "nothing: it is sound"
WAYS = (BY_NAME, DRAWN, SOUND)
FAMILIES: dict[str, str] = {
    FAMILY_WORDS[f.family]: f.family for f in CATALOGUE.values()
}  # in the catalogue's order
SEVERITIES = {
    "middling, 0.5": "0.5", "strong, 0.7": "0.7", "at its worst, 1": "1",
    "doubtful, 0.15": "0.15", "slight, 0.3": "0.3",
    "0.15 to 0.5": "0.15-0.5", "0.3 to 0.7": "0.3-0.7", "0.5 to 0.9": "0.5-0.9",
    "at the person's edge": AT_EDGE,
}  # fmt: skip
FIELDS = {"title": "made-title", "story": "made-story"}
NEEDED, RULE, MEASURED = "as it needs", "by what is in it", "measured"
MINUTES = (MEASURED, "60", "75", "90", "105", "120", "150")
HELPING = {"as the rung says": "", **{told: key for key, told in HELP_TOLD.items()}}
Rehearse = Callable[["MadeSheet"], None]
Practise = Callable[[Path], None]


class MadeSheet:
    """The questions. `back` is shown when it is left; `rehearse` has it rated; `practise` begins it."""

    def __init__(self, back: Screen, rehearse: Rehearse, practise: Practise, title: str) -> None:
        self.back, self.rehearse, self.practise = back, rehearse, practise
        self.first_title = title
        self._left, self._right = Roll(), Roll()
        crafts, sites = (
            choices(key) for key in ("airframe", "site")
        )  # from the disk: not each frame
        self._crafts = {TRAINER: "", **{name: name for name in crafts if name != TRAINER}}
        self._sites = {NEEDED: "", **{name: name for name in sites}}
        self.fill({})

    def fill(self, texts: dict[str, str], family: str = "", marked: str = "made-title") -> None:
        """Write answers into the sheet. family : the one whose faults are seen; marked : in hand."""
        self.form = Form({"title": self.first_title} | texts)
        self.way = DRAWN if texts.get("families") else BY_NAME
        self.family = family or next(iter(FAMILIES))
        self.rated: Rated | None = None
        self.file: Path | None = None
        self.said, self.trouble = "", False
        self._next, self._fresh = marked, True

    def tell(self, words: str, trouble: bool = False) -> None:
        """Write something below the sheets."""
        self.said, self.trouble = words, trouble

    def rehearsed(self, found: Rated) -> None:
        """Take what came of the rehearsal."""
        self.rated, self._next = found, "keep-file" if found.passable else "severity"
        self._right.top = 0.0
        self.tell(
            "Rehearsed." if found.passable else "Nobody came to a good end: change something."
        )

    # --- the frame -----------------------------------------------------------------------------

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the questions and what comes of them; do what was asked."""
        if self._fresh:  # what was being written in these lines belongs to a sheet before
            for key, id_ in FIELDS.items():
                ui.draft(id_, self.form.text(key))
            self._fresh = False
        if self._next:
            ui.focus, self._next = self._next, ""
        notice = self.said or app.notice
        left, right, low = two_sheets(ui, area, notice, TITLE, BESIDE)
        rest = self._ways(ui, app, left)
        self._left.show(ui, "made-roll", rest, TITLE, lambda r: self._questions(ui, r), read=False)
        lines = told(self.rated) if self.rated is not None else []
        self._right.show(
            ui, "comes-roll", right, BESIDE, lambda r: beside(ui.canvas, r, self.form, lines)
        )
        lower(ui, low, notice, leading_out(ui), caution=self.trouble or not self.said)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw the lower buttons; return what is left above them."""
        good = self.form.drill is not None and not self.form.away
        kept = self.rated is not None and self.rated.passable
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back", True),
                ("work-out", "Rehearse it", good and self.rated is None),
                ("keep-file", "Keep it", kept and self.file is None),
                ("practise", "Practise this", kept),
                ("blank", "Blank sheet", set(self.form.texts) != {"title"}),
            ),
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "work-out":
            self.rehearse(self)
        elif pressed == "keep-file":
            self._keep()
        elif pressed == "practise":
            if self.file is None:
                self._keep()
            if self.file is not None:
                self.practise(self.file)
        elif pressed == "blank":
            self.fill({})
        return above

    def _keep(self) -> None:
        """Write the drill's file among one's own, under a name that is free."""
        if self.form.drill is None or self.rated is None:
            return
        drill = self.form.drill.model_copy(update={"careful_min": self.rated.careful_min})
        try:
            self.file = write(drill, told(self.rated), free(own_drills(), name_for(drill.title)))
        except (DryhopError, OSError) as error:
            self.tell(f"It could not be kept: {line_of(error)}", trouble=True)
        else:
            self.tell(f"Kept: {self.file}")
            self._next = "practise"

    # --- the questions -------------------------------------------------------------------------

    def _write(self, key: str, text: str) -> None:
        if text != self.form.text(key):
            self.form.write(key, text)
            self.rated, self.file, self.said = None, None, ""

    def _questions(self, ui: Ui, sheet: Rect) -> float:
        rows = Column(ui.canvas, sheet)
        rows.small(WORDS, 6)
        self._field(ui, rows, "title", "Title", "one that says nothing of what is wrong")
        self._field(ui, rows, "story", "What is told beforehand", "may stay empty")
        self._hidden(ui, rows)
        self._choice(ui, rows, "severity", "How bad", SEVERITIES)
        self._choice(ui, rows, "airframe", "Aircraft", self._crafts)
        self._choice(ui, rows, "site", "Site", self._sites)
        rungs = {f"{n} {words}": str(n) for n, words in enumerate(RUNGS, 1)}
        self._choice(ui, rows, "rung", "Rung of the ladder", {RULE: "", **rungs})
        self._choice(ui, rows, "help", "Help", HELPING)
        self._choice(
            ui,
            rows,
            "minutes",
            "Minutes the careful need",
            {m: m.replace(MEASURED, "") for m in MINUTES},
        )
        rows.gap(6)
        rows.strong("To be proved before, one of each:", 3)
        self._ticks(ui, rows, "needs", FAMILIES)
        return rows.used

    def _field(self, ui: Ui, rows: Column, key: str, words: str, hint: str) -> None:
        place = answer_place(ui, rows, words, LABEL_SHARE, 6, below=True)
        text = self.form.text(key)
        done = ui.field(FIELDS[key], place, text, hint, words)
        now = done if done is not None else ui.node(FIELDS[key]).value
        self._write(key, plain(now, LONGEST))
        if done is not None:
            self._next = FIELDS["story"] if key == "title" else "hidden"

    def _choice(self, ui: Ui, rows: Column, key: str, words: str, texts: dict[str, str]) -> None:
        """Draw a choice of one of several answers, the first of which needs no writing."""
        place = answer_place(ui, rows, words, LABEL_SHARE, 6)
        options = tuple(texts)
        now = next(
            (said for said, text in texts.items() if text == self.form.text(key)), options[0]
        )
        picked = ui.choice(key, place, words, options, now)
        if picked != now:
            self._write(key, texts[picked] if picked != options[0] else "")

    def _hidden(self, ui: Ui, rows: Column) -> None:
        """Draw what is hidden: faults of a family to tick, or families to draw from."""
        way = ui.choice(
            "hidden",
            answer_place(ui, rows, "What is hidden", LABEL_SHARE, 6),
            "What is hidden",
            WAYS,
            self.way,
        )
        if way != self.way:
            self.way = way
            for key in ("faults", "families", "count"):
                self._write(key, "")
        if way == BY_NAME:
            place = answer_place(ui, rows, "Faults of", LABEL_SHARE, 6)
            self.family = ui.choice("family", place, "Faults of", tuple(FAMILIES), self.family)
            shown = [name for name, f in CATALOGUE.items() if f.family == FAMILIES[self.family]]
            self._ticks(ui, rows, "faults", {cause_words(name): name for name in shown})
        elif way == DRAWN:
            self._ticks(ui, rows, "families", FAMILIES)
            rows.gap(6)
            self._choice(ui, rows, "count", "How many", {n: n for n in ("1", "2", "3", "4")})
        rows.gap(6)

    def _ticks(self, ui: Ui, rows: Column, key: str, names: dict[str, str]) -> None:
        """Draw names to tick, one a line."""
        ticked = self.form.ticked(key)
        for words, name in names.items():
            there = name in ticked
            if tick(ui, rows, f"{key}.{name}", words, there):
                left = [one for one in ticked if one != name] if there else [*ticked, name]
                self._write(key, ", ".join(left))


def free(folder: Path, name: str) -> Path:
    """Return a place in a folder under a name, with a number behind it if something lies there."""
    path = folder / name
    places = chain([path], numbered(folder, path.stem, path.suffix))
    return next(place for place in places if not place.exists())
