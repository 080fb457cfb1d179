"""What a person there could perceive; the truth is not in it."""

from dataclasses import dataclass, fields

from sim.aircraft.airframe import Airframe
from sim.aircraft.conduct import Conduct, Hold
from sim.aircraft.fields import Place
from sim.aircraft.setup import ControllerSetup, Setup
from sim.aircraft.site import PlaceName, Room
from sim.bench.reading import Reading
from sim.bench.rig import POSITION, Rig
from sim.kernel.frames import Quat, to_angles
from sim.kernel.surroundings import BUMPED, HARD_LANDING, STRUCK, TIPPED
from sim.keys import CheckKey
from sim.procedure.cards import Card
from sim.session.actions import Squawk
from sim.session.display import Display
from sim.session.hints import Pointer
from sim.session.perceived import (
    SEEN_TURNING_RAD_S,
    Felt,
    MotorSeen,
    PropellerSeen,
    TransmitterMeter,
)
from sim.session.scenario import Help

CRASH_WORDS = {
    STRUCK: "A propeller hit something.",
    TIPPED: "It fell over.",
    BUMPED: "It touched a wall or the ceiling.",
    HARD_LANDING: "It came down hard.",
}


def crash_words(bits: int) -> tuple[str, ...]:
    """Return what one says of a crash, whose kinds are bits."""
    return tuple(words for bit, words in CRASH_WORDS.items() if bits & bit)


@dataclass(frozen=True)
class Seen:
    """The aircraft as the eye sees it from the pilot's place (SI, world axes, heights up)."""

    north_m: float
    east_m: float
    height_m: float
    north_m_s: float
    east_m_s: float
    climb_m_s: float
    roll_rad: float
    pitch_rad: float
    heading_rad: float
    loaded: bool
    on_legs_share: float  # of the weight, as told from how far the legs spread
    rotors_turning: bool


def _indices(*paths: str) -> tuple[int, ...]:
    return tuple(POSITION[path] for path in paths)


_BODY = _indices(
    *(f"body.position_m.{axis}" for axis in "xyz"), *(f"body.velocity_m_s.{axis}" for axis in "xyz")
)
_ATTITUDE = _indices(*(f"body.attitude.{axis}" for axis in "wxyz"))
_LOADS = _indices(*(f"feet.{i}.load_n" for i in range(4)))
_SPEEDS = _indices(*(f"rotors.{i}.motor.speed_rad_s" for i in range(4)))
SPREAD_SHARE = 0.01  # of the weight; own: legs that spread less or more by so much are told apart


def look(rig: Rig) -> Seen:
    """Return what the eye sees of the aircraft now."""
    row = rig.row()
    north, east, down, north_speed, east_speed, sink = (row[i] for i in _BODY)
    angles = to_angles(Quat(*(row[i] for i in _ATTITUDE)))
    load_n = sum(row[i] for i in _LOADS)
    weight_n = rig.craft.body.mass_kg * rig.craft.body.gravity_m_s2
    return Seen(
        north_m=north,
        east_m=east,
        height_m=-down,
        north_m_s=north_speed,
        east_m_s=east_speed,
        climb_m_s=-sink,
        roll_rad=angles.x,
        pitch_rad=angles.y,
        heading_rad=angles.z,
        loaded=load_n > 0.0,
        on_legs_share=round(load_n / weight_n / SPREAD_SHARE) * SPREAD_SHARE,
        rotors_turning=max(row[i] for i in _SPEEDS) > SEEN_TURNING_RAD_S,
    )


@dataclass(frozen=True)
class Visible:
    """What one sees of people and of what they handle, from where one stands, without asking."""

    props_fitted: bool
    bare: tuple[Place, ...]
    pack_plugged: bool
    transmitter_on: bool
    goggles_on: bool
    spotter_present: bool
    person_in_ring: bool
    nose_marked: bool
    place: PlaceName
    hold: Hold
    self_level: bool


def visible(conduct: Conduct) -> Visible:
    """Return what of the conduct is in sight; habits, briefings and the log are not."""
    return Visible(**{field.name: getattr(conduct, field.name) for field in fields(Visible)})


@dataclass(frozen=True)
class View:
    """State of the drill for the person doing it.

    minutes : spent; evening_min : when the club locks up; careful_min : what careful needs.
    display : None without the pack, software or a connection; transmitter : its meter, None while off;
    felt : only while it is in the hands. doing : the check begun by hand and not yet done, doing_s : the time since.
    crash : since it was last picked up; hops : how often it has left the floor.
    setup : None where nobody could read it, without power, software or connection.
    """

    phase: str
    time_s: float
    minutes: float
    evening_min: float
    careful_min: float
    armed: bool
    alarm: bool
    shown_pack_v: float
    board: str
    cards: tuple[Card, ...]
    crash: tuple[str, ...]
    shout: str  # what the spotter calls out, nothing if all is well
    hops: int
    conduct: Visible
    room: Room
    airframe: Airframe  # the design: its sheet lies there, its size is seen
    aircraft: Seen
    setup: Setup | None
    sheet: ControllerSetup
    facts: frozenset[CheckKey]
    readings: dict[CheckKey, Reading]
    squawks: dict[str, Squawk]
    collecting: bool  # the controller collects compass readings
    collected_ut: tuple[tuple[float, float, float], ...]  # raw, thinned out
    doing: CheckKey | None
    doing_s: float
    display: Display | None
    transmitter: TransmitterMeter | None
    motors: dict[Place, MotorSeen]
    propellers: dict[Place, PropellerSeen]  # on a corner, or ready for it
    cabled: bool  # the set-up cable is in
    felt: Felt | None
    faces: tuple[str, ...]  # faces taken of a calibration under way
    helping: Help
    pointers: tuple[Pointer, ...]  # what the helper has told, fault by fault
