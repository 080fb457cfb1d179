"""What stands on a sheet while a drill is not saved: why, and where it can be saved instead."""

from pathlib import Path

from sim.errors import DryhopError, line_of
from sim.runs import elsewhere
from sim.window.app import App
from sim.window.practice import Practice
from sim.window.screens.paper import Column, act_width, written
from sim.window.theme import BODY
from sim.window.ui import Ui

UNSAVED = "This drill is not saved"
WORDS = "Save it there"


class Saving:
    """Lets somebody name a folder that takes the drill, and saves it there."""

    def __init__(self, practice: Practice) -> None:
        self.practice = practice
        self.where = str(elsewhere()[0])

    def show(self, ui: Ui, app: App, column: Column) -> None:
        """Draw it below what is on the sheet so far, if there is need of it."""
        if not self.practice.unsaved:
            return
        column.strong(UNSAVED, 2)
        column.write(
            f"{self.practice.unsaved}. It goes on in memory. Name a folder for it:", BODY, 4
        )
        line = column.top(ui.row_height, 6)
        named = written(ui, "save-to", line, self.where, "a folder", "Folder to save it in")
        self.where = named or self.where
        strip = column.top(ui.row_height, 10)
        strip = strip._replace(w=min(strip.w, act_width(ui, "save-drill", WORDS)))
        if ui.act("save-drill", strip, WORDS, not self.practice.busy):
            app.notice = self._save()

    def _save(self) -> str:
        try:
            self.practice.save(Path(self.where).expanduser())
        except (OSError, DryhopError) as error:
            return f"{line_of(error)}."
        except RuntimeError:  # a home folder nobody has
            return f"{self.where}: no such folder."
        return f"Saved in {self.practice.folder}."
