"""Parts shared by the screens of a drill: the picture, the sticks, the line of what is where."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sim.aircraft.fields import PLACES
from sim.bench.reading import Reading
from sim.kernel.frames import Quat, from_angles
from sim.session.view import View, Visible
from sim.units import RAD_PER_DEG
from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Canvas, Rect, wrapped
from sim.window.drill import TAPE_COLUMNS, Drill
from sim.window.layout import Cut, cells
from sim.window.names import HOLDS, PLACES_TOLD
from sim.window.pictures.balloon import balloon
from sim.window.pictures.charts import Anchor, Strip
from sim.window.pictures.graphs import nice_step
from sim.window.pictures.sticks import Hand, Panel, stick
from sim.window.scene.model import CraftPicture, Offered, RoomPicture
from sim.window.scene.view import glance_rect, in_sight, mouth_px
from sim.window.sticks.modes import MODES, on_sticks
from sim.window.theme import BODY, BODY_BOLD, NUMBER, SMALL
from sim.window.ui import Ui
from sim.window.values import Units, axis

NOTE_SHARE = 0.40  # of the picture's width; own: left of an aircraft in its middle
NOTE_HIGH = 0.5  # of its height; own: where that takes more, a note goes across below the aircraft
NOTE_LINES = 4  # own: what one reads at a glance
OUT_OF_SIGHT = "It is out of your sight."
GLANCE = "behind you: the pad"
STICK_UNITS = 162.0  # units; own: width of a stick's gate
UNSAVED = "Not saved: pause, and name another folder"
UNSAID = ("no light", "lights on, not connected")  # the pack says as much


def sheet_title(reading: Reading) -> str:
    """Return the title of a reading's sheet."""
    return reading.check.replace("-", " ").capitalize()


def where(view: View) -> str:
    """Return where the aircraft is and how it is held."""
    conduct = view.conduct
    if view.crash:
        return "lying where it fell"
    if conduct.hold == "standing" and not view.aircraft.loaded:
        return "in the air"
    return f"{HOLDS[conduct.hold]} {PLACES_TOLD[conduct.place]}"


def propellers_told(conduct: Visible) -> str:
    """Return how many propellers are on."""
    if not conduct.props_fitted:
        return "propellers off"
    bare = len(conduct.bare)
    return f"propellers ON at {len(PLACES) - bare} of 4" if bare else "propellers ON"


def state_line(view: View) -> str:
    """Return what one sees at a glance, and the minutes spent."""
    c = view.conduct
    parts = (
        where(view),
        propellers_told(c),
        f"pack {'IN' if c.pack_plugged else 'out'}",
        f"transmitter {'on' if c.transmitter_on else 'off'}",
        mode_told(view),
        *([] if view.board in UNSAID else [view.board]),
        minutes(view),
    )
    return "  ·  ".join(parts)


def mode_told(view: View) -> str:
    """Return where the mode switch stands by its lettering, and whether it is known to do nothing."""
    stands = f"mode switch at {'self-level' if view.conduct.self_level else 'rate'}"
    known = view.setup is not None and "mode-switch" in view.setup.unset
    return f"{stands}, not assigned" if known else stands


def minutes(view: View) -> str:
    """Return the minutes spent, beside those the careful need, and when the club locks up."""
    spent, careful, last = (f"{m:.0f}" for m in (view.minutes, view.careful_min, view.evening_min))
    return f"{spent} of {last} min (careful {careful})"


def fitted(conduct: Visible) -> tuple[bool, ...]:
    """Return which corners have a propeller on."""
    return tuple(conduct.props_fitted and place not in conduct.bare for place in PLACES)


def craft_of(drill: Drill, view: View, drawn: Quat | None) -> CraftPicture:
    """Return the aircraft as the eye sees it; `drawn` is a pose on its way."""
    seen, conduct = view.aircraft, view.conduct
    attitude = drawn or from_angles(seen.roll_rad, seen.pitch_rad, seen.heading_rad)
    fl, fr, rr, rl = (float(x) for x in drill.speeds_rad_s[-1])
    a, b, c, d = (float(x) for x in drill.angles_rad)
    front_left, front_right, rear_right, rear_left = (view.propellers[place] for place in PLACES)
    on = fitted(conduct)
    return CraftPicture(
        airframe=view.airframe,
        position_m=(seen.north_m, seen.east_m, -seen.height_m),
        attitude=(attitude[0], attitude[1], attitude[2], attitude[3]),
        rotor_speed_rad_s=(fl, fr, rr, rl),
        rotor_angle_rad=(a, b, c, d),
        fitted=(on[0], on[1], on[2], on[3]),
        propellers=(front_left, front_right, rear_right, rear_left),
        pack_plugged=conduct.pack_plugged,
        cabled=view.cabled,
        nose_marked=conduct.nose_marked,
        hold=conduct.hold,
        powered=view.board != "no light",
        armed=view.armed,
        broken=bool(view.crash),
    )


def room_of(view: View, mark_m: tuple[float, float, float] | None = None) -> RoomPicture:
    """Return people and things in the picture. mark_m : where the stick beside the pad has its tape."""
    c = view.conduct
    near = c.place != "pad" or c.hold == "hands"
    return RoomPicture(
        view="bench" if near else "pad",
        place=c.place,
        spotter=c.spotter_present,
        goggles=c.goggles_on,
        person_in_ring=c.person_in_ring,
        barrier=not c.person_in_ring,
        room=view.room,
        mark_m=mark_m,
    )


def picture_of(
    canvas: Canvas,
    app: App,
    drill: Drill,
    rect: Rect,
    drawn: Quat | None,
    mark_m: tuple[float, float, float] | None = None,
    offered: Offered | None = None,
) -> None:
    """Draw what the eye sees. mark_m : as for `room_of`; offered : a propeller in the hand."""
    view = drill.view
    craft, room = craft_of(drill, view, drawn), room_of(view, mark_m)
    if offered is not None:
        craft = replace(craft, offered=offered)
    canvas.picture(rect, f"garage: {room.view}", lambda target: app.paint(target, craft, room))
    size = round(rect.w), round(rect.h)
    if room.view == "bench":
        _caption(canvas, rect, size)


def _caption(canvas: Canvas, rect: Rect, size: tuple[int, int]) -> None:
    """Write under the glance at the pad what it is, where the picture is high enough."""
    x, y, w, h = glance_rect(size)
    lines = wrapped(canvas, GLANCE, SMALL, w)
    step = canvas.measure(GLANCE, SMALL)[1]
    strip_ = Rect(rect.x + x - 3, rect.y + y + h, w + 6, step * len(lines) + 3)
    if strip_.bottom > rect.bottom:
        return
    canvas.fill(strip_, theme.PAPER)
    for i, line in enumerate(lines):
        at = strip_.centre[0], strip_.y + i * step
        canvas.text(at, line, SMALL.on(theme.INK), "middle")


def shown_sticks(app: App, drill: Drill) -> Panel:
    """Return the transmitter as it lies in the hands."""
    mode = app.settings.stick_mode
    left, right = on_sticks(drill.sticks, mode)
    names = MODES[mode]
    conduct, meter = drill.view.conduct, drill.view.transmitter
    return Panel(
        left=Hand(*left, names.left_x, names.left_y),
        right=Hand(*right, names.right_x, names.right_y),
        mode="level" if conduct.self_level else "rate",
        forward=conduct.self_level,
        stopped=drill.stop,
        lit=conduct.transmitter_on,
        meter=f"{meter.pack_v:.1f} V" if meter is not None else "",
    )


def draw_state(canvas: Canvas, scene: Rect, drill: Drill) -> None:
    """Stick the line of what is where, and whether it is armed, on the picture."""
    u = canvas.scale
    view = drill.view
    words = ("armed  ·  " if view.armed else "") + state_line(view)
    style = SMALL.on(theme.INK)
    room = scene.w - 40 * u
    if room_of(view).view == "bench":
        room = glance_rect((round(scene.w), round(scene.h)))[0] - 34 * u
    lines = wrapped(canvas, words, style, room)
    step = canvas.measure("x", style)[1]
    w = max(canvas.measure(line, style)[0] for line in lines)
    strip_ = Rect(scene.x + 10 * u, scene.y + 10 * u, w + 20 * u, step * len(lines) + 8 * u)
    canvas.fill(strip_, theme.CAUTION if view.armed else theme.TAPE, 2 * u)
    for i, line in enumerate(lines):
        canvas.text((strip_.x + 10 * u, strip_.y + 4 * u + i * step), line, style)
    below = strip_.bottom + 6 * u
    if drill.unsaved:
        below = _banner(canvas, scene, below, UNSAVED, theme.CAUTION, theme.INK)
    for words in view.crash:
        below = _banner(canvas, scene, below, words, theme.WARNING, theme.PAPER)
    if not _in_sight(scene, drill):
        below = _banner(canvas, scene, below, OUT_OF_SIGHT, theme.CAUTION, theme.INK)
    if view.shout:
        _shout(canvas, scene, drill, below)
    if drill.rate != 1.0 or drill.paused:
        words = "PAUSED" if drill.paused else f"clock × {drill.rate:g}"
        w, h = canvas.measure(words, NUMBER)
        at_bench = room_of(view).view == "bench"  # there the glance at the pad has the corner
        left, top = (
            (strip_.x, below) if at_bench else (scene.right - w - 30 * u, strip_.bottom + 8 * u)
        )
        box = Rect(left, top, w + 20 * u, h + 8 * u)
        canvas.fill(box, theme.PAPER, 2 * u)
        canvas.text((box.x + 10 * u, box.y + 4 * u), words, NUMBER)


def _in_sight(scene: Rect, drill: Drill) -> bool:
    """Tell whether an aircraft in the air is in the picture; on the ground it is."""
    view = drill.view
    room = room_of(view)
    if room.view == "bench" or view.aircraft.loaded:
        return True
    return in_sight(craft_of(drill, view, None), room, (round(scene.w), round(scene.h)))


def _shout(canvas: Canvas, scene: Rect, drill: Drill, below: float) -> None:
    """Stick what the spotter calls out on the picture, below what is there."""
    view = drill.view
    size = round(scene.w), round(scene.h)
    x, y = mouth_px(craft_of(drill, view, None), room_of(view), size)
    rest = Rect(scene.x, below, scene.w, scene.bottom - below)
    balloon(canvas, rest, (scene.x + x, scene.y + y), view.shout)


def _banner(
    canvas: Canvas, scene: Rect, y: float, words: str, ground: theme.Colour, ink: theme.Colour
) -> float:
    """Stick a line of warning on the picture; return where the next may stand."""
    u = canvas.scale
    words = f"!  {words}"
    w, h = canvas.measure(words, BODY_BOLD)
    banner = Rect(scene.x + 10 * u, y, w + 20 * u, h + 8 * u)
    canvas.fill(banner, ground, 2 * u)
    canvas.text((banner.x + 10 * u, y + 4 * u), words, BODY_BOLD.on(ink))
    return banner.bottom + 4 * u


LARGE_TEXT = 1.4  # 1; own: from this text scale on, words need more width than height
SPAN_S = 10.0  # s; own: how far back the recordings go
DEG_PER_RAD = 1.0 / RAD_PER_DEG  # deg/rad
ANGLES_DEG = (10.0, 20.0, 40.0, 90.0, 360.0)  # deg; own: widths of paper
# name, unit, column, what is drawn per SI unit, widths of paper (own), where it lies
STRIPS: tuple[tuple[str, str, str, float, tuple[float, ...], Anchor], ...] = (
    ("roll", "°", "shown_roll_rad", DEG_PER_RAD, ANGLES_DEG, "zero"),
    ("pitch", "°", "shown_pitch_rad", DEG_PER_RAD, ANGLES_DEG, "zero"),
    ("heading", "°", "shown_heading_rad", DEG_PER_RAD, (20.0, 60.0, 180.0, 720.0), "floating"),
    ("height", "m", "height_m", 1.0, (1.0, 2.0, 5.0, 10.0), "foot"),
    ("throttle", "%", "stick_throttle", 100.0, (100.0,), "foot"),
    ("pack", "V", "shown_pack_v", 1.0, (1.0, 2.0, 4.0, 30.0), "floating"),
)


class Recordings:
    """The six strips of a run, which keep their ranges from frame to frame."""

    def __init__(self, units: Units = "metric") -> None:
        _, length, per_m, _ = axis("height_m", units)
        self._strips = [
            Strip(
                name,
                length if unit == "m" else unit,
                tuple(nice_step(w * per_m, 1) for w in widths) if unit == "m" else widths,
                anchor,
            )
            for name, unit, _, _, widths, anchor in STRIPS
        ]
        self._factors = [per_m if unit == "m" else factor for _, unit, _, factor, _, _ in STRIPS]

    def show(self, canvas: Canvas, drill: Drill, rect: Rect) -> None:
        """Draw the strips: two rows of three, or with large text three of two."""
        columns = 3 if canvas.text_scale < LARGE_TEXT else 2
        gap = 8 * canvas.scale
        tape = drill.tape[::2]
        places = cells(rect, len(self._strips), columns, gap, gap)
        for i, (strip, factor, cell) in enumerate(
            zip(self._strips, self._factors, places, strict=True)
        ):
            values = tape[:, TAPE_COLUMNS.index(STRIPS[i][2])]
            if STRIPS[i][1] == "°":
                values = np.unwrap(values)  # half a turn is no jump
            values = values * factor
            strip.draw(canvas, cell, tape[:, 0], values, SPAN_S, i)


def instruments(canvas: Canvas, app: App, drill: Drill, strips: Recordings, rect: Rect) -> None:
    """Draw both sticks with the recordings between them."""
    u = canvas.scale
    w = min(STICK_UNITS * u, rect.w * 0.2)
    panel = shown_sticks(app, drill)
    parts = Cut(rect, u)
    stick(canvas, parts.left(w, 10), panel.left)
    stick(canvas, parts.right(w, 10), panel.right)
    strips.show(canvas, drill, parts.rest)


def note(canvas: Canvas, rect: Rect, words: str, refused: bool) -> None:
    """Stick what was said on the lower edge of the picture; a refusal has a caution's ground."""
    u = canvas.scale
    style = BODY.on(theme.INK)
    most, whole = rect.w - 24 * u, canvas.measure(words, style)[0] + 40 * u
    beside, step = NOTE_SHARE * rect.w, canvas.measure("x", style)[1]
    room = min(NOTE_LINES, int((NOTE_HIGH * rect.h - 22 * u) // step))
    if len(wrapped(canvas, words, style, beside - 34 * u)) <= room:
        most = beside  # the aircraft in the middle stays in sight
    width = min(most, whole)
    lines = wrapped(canvas, words, style, width - 34 * u)[:NOTE_LINES]
    box = Rect(rect.x + 12 * u, 0, width, step * len(lines) + 12 * u)
    box = box._replace(y=rect.bottom - box.h - 10 * u)
    canvas.fill(box, theme.CAUTION if refused else theme.PAPER, 3 * u)
    canvas.text((box.x + 8 * u, box.y + 6 * u), "!" if refused else "·", theme.BODY_BOLD)
    for i, line in enumerate(lines):
        canvas.text((box.x + 24 * u, box.y + 6 * u + i * step), line, style)


CLOCKS = (0.25, 0.5, 1.0)  # 1; paces of the clock, shares of real time


def clock_keys(ui: Ui, drill: Drill) -> None:
    """Let the clock go slower or faster."""
    at = CLOCKS.index(drill.rate) if drill.rate in CLOCKS else len(CLOCKS) - 1
    if ui.struck("slower"):
        drill.rate = CLOCKS[max(0, at - 1)]
    if ui.struck("faster"):
        drill.rate = CLOCKS[min(len(CLOCKS) - 1, at + 1)]


def directions(
    collected_ut: Sequence[tuple[float, float, float]],
) -> list[tuple[float, float, float]]:
    """Return which way each raw compass reading lies from the middle of them all."""
    if len(collected_ut) < 2:
        return []
    rows = np.array(collected_ut)
    away = rows - (rows.min(axis=0) + rows.max(axis=0)) / 2.0
    sizes = np.linalg.norm(away, axis=1, keepdims=True)
    return [(x, y, z) for x, y, z in (away / np.maximum(sizes, 1e-9)).tolist()]
