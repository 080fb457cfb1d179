"""What a person there could perceive; the truth is not in it."""

from dataclasses import dataclass

from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import ControllerSetup, Setup
from sim.bench.reading import Reading
from sim.session.actions import Squawk


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
    rotors_turning: bool


@dataclass(frozen=True)
class View:
    """State of the drill for the person doing it."""

    phase: str
    time_s: float
    minutes: float
    armed: bool
    alarm: bool
    shown_pack_v: float
    crash: tuple[str, ...]
    conduct: Conduct
    aircraft: Seen
    setup: Setup
    sheet: ControllerSetup
    facts: frozenset[str]
    readings: dict[str, Reading]
    squawks: dict[str, Squawk]
