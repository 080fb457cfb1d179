"""Where an instructor signs a club check-out: a line on the debrief, once."""

from datetime import UTC, datetime
from pathlib import Path

from sim.errors import DryhopError, line_of
from sim.session.signed import Signature, sign, signature_of, wants_signature
from sim.window.app import App
from sim.window.screens.paper import Column
from sim.window.theme import BODY
from sim.window.ui import Ui

ASKED = "A check-out counts once an instructor who was there has signed. Their name is kept with the run."
FIELD = "instructor"


class Signing:
    """The line for one run. `folder`: where it lies; None if it is not saved, and not signed then."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self._look()

    def _look(self) -> None:
        self.by: Signature | None = None if self.folder is None else signature_of(self.folder)
        self.wanted = self.folder is not None and wants_signature(self.folder)

    def show(self, ui: Ui, app: App, column: Column) -> None:
        """Draw who signed, or the line to sign on, if this is a check-out."""
        if self.by is not None:
            column.strong("Signed by the instructor", 2)
            day = f"{self.by.at_utc.astimezone():%Y-%m-%d}"
            column.write(f"{self.by.instructor}, {day}", BODY, 8)
        elif self.wanted:
            column.strong("The instructor signs", 2)
            column.small(ASKED, 4)
            name = ui.field(
                FIELD, column.top(ui.row_height, 8), "", "name", "The instructor's name"
            )
            if name:
                self._sign(app, name)

    def _sign(self, app: App, name: str) -> None:
        assert self.folder is not None
        try:
            sign(self.folder, name, datetime.now(UTC))
        except (DryhopError, OSError) as error:
            app.notice = line_of(error)
        self._look()
