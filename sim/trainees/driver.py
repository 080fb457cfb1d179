"""How a stand-in acts: the same two calls a person's window makes, and a look."""

from typing import TypeVar

from sim.aircraft.airframe import Airframe, BuildSheet
from sim.bench.evidence import Measured
from sim.bench.inputs import Inputs
from sim.bench.reading import Reading
from sim.errors import Refusal
from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.session.actions import Action
from sim.session.journal import Drives
from sim.session.record import Outcome
from sim.session.session import Session
from sim.session.view import View
from sim.trainees.judgement import judged
from sim.trainees.judges.finding import Finding

H = TypeVar("H", bound="Hands")


class Hands:
    """The hands and eyes of a stand-in."""

    def __init__(self, drives: Drives, session: Session) -> None:
        self._drives = drives
        self._session = session

    def see(self) -> View:
        """Return what can be perceived."""
        return self._session.view()

    def do(self, action: Action) -> Outcome:
        """Do one thing; raises Refusal."""
        return self._drives.do(action)

    def tries(self, action: Action) -> Outcome | None:
        """Do one thing; return None if it is refused."""
        try:
            return self._drives.do(action)
        except Refusal:
            return None

    def fly(self, inputs: Sticks | Inputs, seconds: float) -> None:
        """Keep the hands as they are for a time."""
        self._drives.advance(inputs, seconds)

    def pose(self, roll_deg: float = 0.0, pitch_deg: float = 0.0) -> None:
        """Hold the aircraft in the hands so, nose to the north."""
        self.do(act.Turn(roll_deg=roll_deg, pitch_deg=pitch_deg))

    def turn_about_each_axis(self, turns: int) -> None:
        """Turn the aircraft in the hands so often about each of its axes, so that every side is seen."""
        for axis in ("pitch_deg", "roll_deg", "heading_deg"):
            for quarter in range(1, 4 * turns + 1):
                self.do(act.Turn.model_validate({axis: 90.0 * quarter}))
        self.pose()

    @property
    def airframe(self) -> Airframe:
        """The aircraft as designed, whose plans lie on the bench."""
        return self._session.rig.world.airframe

    @property
    def sheet(self) -> BuildSheet:
        """Its build sheet."""
        return self.airframe.sheet

    @property
    def measured(self) -> Measured:
        """What is measured of sound and faulty aircraft of this kind, which a practitioner knows."""
        return self._session.scenario.tables

    def suspects(self, reading: Reading) -> list[Finding]:
        """Return what a careful eye makes of a reading."""
        return judged(reading, self.airframe, self.measured)

    def own(self, kind: "type[H]") -> "H":
        """Return hands of another kind at the same aircraft."""
        return kind(self._drives, self._session)

    @property
    def session(self) -> Session:
        """The session itself; only the all-knowing stand-in may look at its truth."""
        return self._session
