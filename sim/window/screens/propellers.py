"""The slip for propellers: which one goes on at which corner, which face up, how tight."""

from dataclasses import replace
from typing import ClassVar, get_args

from sim.aircraft.fields import PLACES, Place
from sim.bench.fitting import SMALLER, SPARES, Face, Piece, Tightness
from sim.bench.fitting import told as corner
from sim.session import actions as act
from sim.session.perceived import PropellerSeen
from sim.session.view import View
from sim.window.action_words import piece_words
from sim.window.canvas import Rect, paragraph
from sim.window.scene.model import Offered
from sim.window.screens.slips import laid
from sim.window.screens.workplace import Workplace
from sim.window.theme import SMALL
from sim.window.ui import Ui

WORDS = (
    "Pack unplugged. The arrow on each arm shows which way its motor turns; the high edge of a blade "
    "goes first that way."
)
OWN = "the one that lies ready for it"
ROWS = 7  # four choices, the deed, and two ways to do all at once


class PropellersSlip:
    """Corner by corner; what is on stays until it is taken off."""

    act: ClassVar = "propellers"
    first: ClassVar = "corner"

    def __init__(self) -> None:
        self.place: Place = PLACES[0]
        self.piece: Piece | None = None
        self.face: Face = get_args(Face)[0]
        self.tightness: Tightness = "firm"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the choices for one corner and what can be done with it."""
        inner, back = laid(ui, desk, rect, "Propellers, corner by corner")
        u, h = ui.unit, ui.row_height
        at = inner.below(paragraph(ui.canvas, inner, WORDS, SMALL) + 8 * u)
        step = min(h + 8 * u, at.h / ROWS)
        rows = [Rect(at.x, at.y + i * step, at.w, h) for i in range(ROWS)]
        c = desk.practice.view.conduct
        on = set(PLACES) - set(c.bare) if c.props_fitted else set()
        self._choose(ui, rows, on)
        self._do(ui, desk, rows[4], self.place in on)
        if desk.practice.scenario.shows_checks:
            words = "All as they lie ready, firm (shown)"
            if ui.button("fit-all", rows[5], words, enabled=len(on) < len(PLACES)):
                desk.ask(act.FitProps())
                back = True
        if ui.button("remove-all", rows[6], "Take all off", enabled=bool(on)):
            desk.ask(act.RemoveProps())
            back = True
        if back:
            desk.close_slip(ui)

    def in_hand(self, view: View) -> Offered | None:
        """Return the propeller chosen for a bare corner as it is held over it.

        None if there is none, or both hands hold the aircraft.
        """
        c = view.conduct
        on = set(PLACES) - set(c.bare) if c.props_fitted else set()
        piece = self.piece or self.place
        if c.hold == "hands" or self.place in on or piece in on:
            return None
        corner, up = PLACES.index(self.place), self.face == "marks-up"
        if piece in PLACES:
            lay_at = PLACES.index(piece)
            return Offered(corner, replace(view.propellers[piece], marks_up=up), lay_at)
        span = SMALLER if piece.startswith("smaller") else 1.0
        right = piece.endswith("right-hand")
        return Offered(corner, PropellerSeen(right, up, span, False), None)

    def _choose(self, ui: Ui, rows: list[Rect], on: set[Place]) -> None:
        """Draw the four choices; another corner begins with the propeller that lies ready for it."""
        corners = {f"{corner(p)}: {'one is on' if p in on else 'bare'}": p for p in PLACES}
        shown = next(words for words, place in corners.items() if place == self.place)
        place = corners[ui.choice("corner", rows[0], "Corner", tuple(corners), shown)]
        if place != self.place:
            self.place, self.piece = place, None
        pieces = piece_choices(self.place)
        taken = next(
            words for words, piece in pieces.items() if piece == (self.piece or self.place)
        )
        self.piece = pieces[ui.choice("piece", rows[1], "Propeller", tuple(pieces), taken)]
        faces: dict[str, Face] = {told(face): face for face in get_args(Face)}
        self.face = faces[ui.choice("face", rows[2], "Face", tuple(faces), told(self.face))]
        ways: dict[str, Tightness] = {told(way): way for way in get_args(Tightness)}
        now = told(self.tightness)
        self.tightness = ways[ui.choice("tightness", rows[3], "How tight", tuple(ways), now)]

    def _do(self, ui: Ui, desk: Workplace, row: Rect, on: bool) -> None:
        """Draw the one deed there is for the corner."""
        if on:
            if ui.button("one", row, f"Take the one at the {corner(self.place)} off"):
                desk.ask(act.RemoveProp(place=self.place))
        elif ui.button("one", row, f"Fit it at the {corner(self.place)}"):
            chosen = act.FitProp(
                place=self.place,
                piece=self.piece or self.place,
                face=self.face,
                tightness=self.tightness,
            )
            desk.ask(chosen)


def told(word: str) -> str:
    """Return a word of an action as one says it."""
    return word.replace("-", " ")


def piece_choices(place: Place) -> dict[str, Piece]:
    """Return what can be put on at a corner, in words: its own, those of the others, the shelf's."""
    others = [other for other in PLACES if other != place]
    own: dict[str, Piece] = {OWN: place}
    return own | {piece_words(piece): piece for piece in (*others, *SPARES)}
