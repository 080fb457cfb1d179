"""Armed: the pilot's view, the sticks, the recordings, and the hop's card."""

from sim.bench.checklist import CHECKS
from sim.keys import CheckKey
from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Canvas, Rect, paragraph
from sim.window.hopsteps import HopSteps
from sim.window.keys import BY_NAME
from sim.window.layout import Cut, centred
from sim.window.padwords import either, flying
from sim.window.pictures import paper, pencil
from sim.window.pictures.display import draw_slip
from sim.window.practice import Practice
from sim.window.screens.heightmark import height_mark
from sim.window.screens.keys import Keys
from sim.window.screens.panels import (
    Recordings,
    clock_keys,
    draw_state,
    instruments,
    note,
    picture_of,
)
from sim.window.screens.workplace import Workplace
from sim.window.sticks.mapping import DeviceMapping
from sim.window.theme import BODY, BODY_BOLD, HEAD, NUMBER, SMALL, TITLE
from sim.window.ui import Ui
from sim.window.values import M_PER_FT

PAPER_UNITS = 345.0  # units; own: width of the hop's card
LOWER_UNITS = 194.0  # units; own: height of sticks and recordings

KEPT = ("finish", "pack")  # acts of the bench that may be asked for before the rotors stand
CRASHED = (
    "It has crashed. Cut, stay where you are until nothing turns, then unplug the pack; nobody goes "
    "near before that. End the drill for the debrief."
)


class Flight:
    """The screen while the motors are armed or still turning."""

    def __init__(self, desk: Workplace) -> None:
        self.desk = desk
        self.practice: Practice = desk.practice
        self.strips = Recordings(desk.units)
        self.steps = HopSteps(self.practice.scenario.hop)
        self.kept = ""  # what was asked for while the rotors ran down
        self._device: DeviceMapping | None = None

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw a frame; sticks and time are moved by the loop."""
        practice, self._device = self.practice, app.device
        said = practice.poll()
        if said is not None:
            self.desk.hear(said)
        ui.flight(not practice.paused)
        ui.by_pad = practice.paused
        clock_keys(ui, practice)
        if not practice.paused:
            self.steps.see(practice.view, dt_s * practice.rate)
        app.at_sticks = not practice.paused
        if not practice.busy and (not practice.flying or practice.card is not None):
            ui.flight(False)
            app.at_sticks = False
            self.desk.later = self.kept
            app.go(self.desk)
        if not practice.view.armed:
            self.kept = next((name for name in KEPT if ui.struck(name)), self.kept)
        canvas, u = ui.canvas, ui.unit
        canvas.fill(area, theme.BENCH)
        paper_w = PAPER_UNITS * u * (1.0 + 0.5 * (canvas.text_scale - 1.0))
        lower_h = LOWER_UNITS * u * (1.0 + 0.5 * (canvas.text_scale - 1.0))
        parts = Cut(area, u)
        card, lower, scene = parts.right(paper_w), parts.bottom(lower_h), parts.rest
        mark_m = height_mark(practice.view, self.steps)
        picture_of(canvas, app, practice, scene, None, mark_m)
        display = practice.view.display
        if display is not None and practice.view.armed and not practice.view.crash:
            draw_slip(canvas, scene, display)
        draw_state(canvas, scene, practice)
        if practice.view.crash:
            note(canvas, scene, CRASHED, True)
        elif not practice.view.armed:
            after = f" Then: {BY_NAME[self.kept].words.lower()}." if self.kept else ""
            note(canvas, scene, f"Disarmed: the rotors run down.{after}", False)
        instruments(canvas, app, practice, self.strips, lower.inset(8 * u))
        paper.sheet(canvas, card)
        self._card(ui, card.inset(18 * u))
        if practice.paused:
            self._paused(ui, app, scene)
        elif ui.struck("pause"):
            practice.paused = True
            ui.flight(False)
            self.desk.pause(app, self)
        elif ui.struck("keys"):
            practice.paused = True
            ui.flight(False)
            app.go(Keys(self))

    def _paused(self, ui: Ui, app: App, scene: Rect) -> None:
        """Say why the clock stands; one press lets it go on."""
        u = ui.unit
        box = centred(scene, 440 * u, 140 * u)
        paper.sheet(ui.canvas, box)
        parts = Cut(box, u, 14)
        low = parts.bottom(ui.row_height)
        words = app.notice or "The clock is stopped."
        paragraph(ui.canvas, parts.rest, words, BODY_BOLD, 3)
        ui.focus = ui.focus or "go-on"
        if ui.act("go-on", low.column(0, 2, 8 * u), "Go on"):
            self.practice.paused, app.notice = False, ""
        if ui.act("pause", low.column(1, 2, 8 * u), "More"):
            ui.flight(False)
            self.desk.pause(app, self)

    def _check(self, ui: Ui, rect: Rect, doing: CheckKey) -> None:
        """Say which check is open here, what to do for it, and how it is read afterwards."""
        canvas, u, check = ui.canvas, ui.unit, CHECKS[doing]
        spent = f"By hand, {self.practice.view.doing_s:.0f} s"
        canvas.text((rect.x, rect.y), spent, TITLE)
        at = rect.below(canvas.measure("x", TITLE)[1] + 6 * u)
        cut = either(ui.keys.cap("cut"), self._device, "arm")
        done = either(ui.keys.cap("done"), self._device, "check")
        after = f"Throttle down, {cut} disarms; then, back at the desk, {done} says done."
        told = (f"{check.title}.", check.caution, after)
        for words in told:
            if words:
                at = at.below(paragraph(canvas, at, words, BODY_BOLD) + 8 * u)
        self._keys(ui, self._alarm(canvas, at))

    def _card(self, ui: Ui, rect: Rect) -> None:
        doing = self.practice.view.doing
        if doing is not None:
            self._check(ui, rect, doing)
            return
        canvas, u = ui.canvas, ui.unit
        hop = self.practice.scenario.hop
        canvas.text((rect.x, rect.y), "The hop", TITLE)
        at = rect.below(canvas.measure("x", TITLE)[1] + 6 * u)
        imperial = self.desk.units == "imperial"
        height = f"{hop.height_m / M_PER_FT:.1f} ft" if imperial else f"{hop.height_m:g} m"
        plan = (
            f"Lift to {height} over the pad: the tape on the stick beside it.",
            "Nudge one axis at a time: forward, right, nose round.",
            f"Hold it still for {hop.hover_s:.0f} s.",
            "Set it down gently, disarm, unplug.",
        )
        steps = self.steps
        for n, (line, done) in enumerate(zip(plan, steps.done, strict=True), start=1):
            canvas.text((at.x, at.y), f"{n}", NUMBER)
            used = paragraph(canvas, Rect(at.x + 22 * u, at.y, at.w - 22 * u, at.h), line, BODY)
            if done:
                box = 13 * u * canvas.text_scale
                pencil.tick(canvas, Rect(at.x - 2 * u, at.y + 2 * u, box, box))
            at = at.below(used + 5 * u)
        counts = (
            f"In the air {steps.air_s:.0f} s",
            f"Still {steps.still_s:.0f} of {hop.hover_s:.0f} s",
        )
        for count in counts:
            canvas.text((at.x, at.y), count, BODY_BOLD)
            at = at.below(canvas.measure("x", BODY_BOLD)[1] + 2 * u)
        at = at.below(6 * u)
        far = "five feet" if imperial else "a metre and a half"
        warn = f"Cut at once if it leans hard, drifts past {far}, rings, or anybody steps in."
        at = at.below(paragraph(canvas, at, warn, BODY_BOLD.on(theme.WARNING)) + 8 * u)
        at = self._alarm(canvas, at)
        self._keys(ui, at)

    def _alarm(self, canvas: Canvas, rect: Rect) -> Rect:
        u = canvas.scale
        if self.practice.view.alarm:
            h = canvas.measure("x", BODY_BOLD)[1] + 10 * u
            canvas.fill(rect.top(h), theme.CAUTION, 3 * u)
            words = "The pack is low: set it down."
            canvas.text((rect.x + 8 * u, rect.y + 5 * u), words, BODY_BOLD.on(theme.INK))
            rect = rect.below(h + 6 * u)
        return rect

    def _keys(self, ui: Ui, rect: Rect) -> None:
        canvas, u = ui.canvas, ui.unit
        step = canvas.measure("x", BODY)[1] + 5 * u
        canvas.text((rect.x, rect.y), "Keys", HEAD)
        rect = rect.below(canvas.measure("x", HEAD)[1] + 4 * u)
        room = int(rect.h // step)  # with large text the less pressing ones are on the keys sheet
        for i, (words, caps) in enumerate(flying(ui.keys, self._device)[:room]):
            y = rect.y + i * step
            style = BODY_BOLD if i == 0 else SMALL.on(theme.INK)
            canvas.text((rect.x, y), words, style)
            right = rect.right
            for cap in reversed(caps):
                right = ui.keycap(right, y + step / 2 - 3 * u, cap)
