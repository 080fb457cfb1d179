"""Parts shared by the screens of a drill: the picture, the sticks, the line of what is where."""

from sim.aircraft.conduct import Conduct
from sim.kernel.frames import Quat, from_angles
from sim.session.view import View
from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Canvas, Rect
from sim.window.input.modes import MODES, on_sticks
from sim.window.pictures.sticks import TransmitterPicture
from sim.window.practice import Drill
from sim.window.scene.model import CraftPicture, RoomPicture

HOLDS = {"standing": "on its legs", "hands": "in your hands", "clamp": "in the clamp"}
PLACES = {
    "bench": "at the bench",
    "pad": "on the pad",
    "open_floor": "on the open floor",
    "steel_cupboard": "by the steel cupboard",
}


def where(conduct: Conduct) -> str:
    """Return where the aircraft is and how it is held."""
    return f"{HOLDS[conduct.hold]} {PLACES[conduct.place]}"


def state_line(view: View) -> str:
    """Return what one sees at a glance, and the minutes spent."""
    c = view.conduct
    parts = (
        where(c),
        f"propellers {'ON' if c.props_fitted else 'off'}",
        f"pack {'IN' if c.pack_plugged else 'out'}",
        f"transmitter {'on' if c.transmitter_on else 'off'}",
        f"switch {'self-level' if c.self_level else 'rate'}",
        view.board,
        f"{view.minutes:.0f} min",
    )
    return "  ·  ".join(parts)


def craft_of(drill: Drill, view: View, drawn: Quat | None) -> CraftPicture:
    """Return the aircraft as the eye sees it; `drawn` is a pose on its way."""
    seen, conduct = view.aircraft, view.conduct
    attitude = drawn or from_angles(seen.roll_rad, seen.pitch_rad, seen.heading_rad)
    fl, fr, rr, rl = (float(x) for x in drill.speeds_rad_s[-1])
    a, b, c, d = (float(x) for x in drill.angles_rad)
    return CraftPicture(
        position_m=(seen.north_m, seen.east_m, -seen.height_m),
        attitude=(attitude[0], attitude[1], attitude[2], attitude[3]),
        rotor_speed_rad_s=(fl, fr, rr, rl),
        rotor_angle_rad=(a, b, c, d),
        props_fitted=conduct.props_fitted,
        pack_plugged=conduct.pack_plugged,
        nose_marked=conduct.nose_marked,
        hold=conduct.hold,
        powered=view.board != "no light",
        armed=view.armed,
        broken=bool(view.crash),
    )


def room_of(view: View) -> RoomPicture:
    """Return people and things in the picture."""
    c = view.conduct
    near = c.place != "pad" or c.hold == "hands"
    return RoomPicture(
        view="bench" if near else "pad",
        place=c.place,
        spotter=c.spotter_present,
        goggles=c.goggles_on,
        person_in_ring=c.person_in_ring,
        barrier=not c.person_in_ring,
        site=view.site,
    )


def picture_of(canvas: Canvas, app: App, drill: Drill, rect: Rect, drawn: Quat | None) -> None:
    """Draw what the eye sees."""
    view = drill.view
    craft, room = craft_of(drill, view, drawn), room_of(view)
    canvas.fill(rect, theme.BENCH_LIGHT)
    canvas.picture(rect, f"garage: {room.view}", lambda target: app.paint(target, craft, room))


def shown_sticks(app: App, drill: Drill) -> TransmitterPicture:
    """Return the transmitter as it lies in the hands."""
    mode = app.settings.stick_mode
    left, right = on_sticks(drill.sticks, mode)
    conduct = drill.view.conduct
    return TransmitterPicture(
        left=left,
        right=right,
        words=MODES[mode],
        self_level=conduct.self_level,
        on=conduct.transmitter_on,
        armed=drill.view.armed,
    )
