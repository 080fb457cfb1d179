"""A check done by hand, on the desk: begun, worked at, done; or shown once where the drill offers it."""

from sim.bench.checklist import CHECKS
from sim.keys import CheckKey
from sim.session import actions as act
from sim.session.scenario import Scenario
from sim.session.view import View
from sim.window import theme
from sim.window.canvas import Rect, wrapped
from sim.window.keys import KeyMap
from sim.window.layout import Cut
from sim.window.screens.paper import act_width
from sim.window.screens.workplace import Workplace
from sim.window.theme import BODY_BOLD
from sim.window.ui import Ui


def next_step(check: CheckKey, view: View) -> act.Action:
    """Return what a press on a check does: begin it by hand, be done with it, or read it."""
    if view.doing == check:
        return act.Done()
    if CHECKS[check].by_hand is not None:
        return act.Begin(check=check)
    return act.Read(check=check)


def step_words(check: CheckKey, view: View) -> str:
    """Return that on a button."""
    if view.doing == check:
        return "Done: read what was seen"
    minutes = f"{CHECKS[check].minutes:g} min"
    if CHECKS[check].by_hand is not None:
        return f"Begin by hand (about {minutes})"
    return f"Do it ({minutes})"


def may_show(check: CheckKey, scenario: Scenario) -> bool:
    """Tell whether a check that is done by hand may be had shown once."""
    return scenario.shows_checks and CHECKS[check].by_hand is not None


def show_me(ui: Ui, desk: Workplace, check: CheckKey, rect: Rect | None = None) -> None:
    """Let a check be shown once, by the act's key or its button; nothing where the drill has none."""
    if not may_show(check, desk.practice.scenario):
        return
    name = "show-me"
    if ui.struck(name) if rect is None else ui.act(name, rect, "Show me once", short="Show me"):
        desk.ask(act.Read(check=check))


def strip_height(ui: Ui) -> float:
    """Return how high the strip of the check in hand is, px."""
    return ui.row_height + 8 * ui.unit


def strip(ui: Ui, desk: Workplace, rect: Rect) -> None:
    """Draw the strip of the check in hand, with what ends it."""
    canvas, u, view = ui.canvas, ui.unit, desk.practice.view
    if view.doing is None:
        return
    canvas.fill(rect, theme.TAPE)
    parts = Cut(rect, u, 8, 4)
    done = parts.right(act_width(ui, "done", "Done"), 10)
    if ui.act("done", done, "Done", not view.armed):
        desk.ask(act.Done())
    long = f"By hand: {view.doing.replace('-', ' ')}, {view.doing_s:.0f} s"
    short = f"{view.doing_s:.0f} s"
    words = long if len(wrapped(canvas, long, BODY_BOLD, parts.rest.w)) == 1 else short
    h = canvas.measure("x", BODY_BOLD)[1]
    canvas.text((parts.rest.x, rect.centre[1] - h / 2), words, BODY_BOLD)


def sticks_hint(keys: KeyMap) -> str:
    """Return which keys move the sticks, and how the hands go over to the aircraft."""

    def told(*names: str) -> str:
        return " ".join(keys.key(name).capitalize() for name in names)

    return (
        f"At the sticks: {told('stick-up', 'stick-down')} throttle, {told('yaw-left', 'yaw-right')} "
        f"yaw, {told('roll-left', 'roll-right')} roll, {told('nose-down', 'nose-up')} pitch, "
        f"{told('firm')} whole travel. {told('hands-on')} held: hands on the aircraft. "
        f"{told('sticks')} puts them down."
    )
