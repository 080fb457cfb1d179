"""The stand-in that works by hand: careful, but every check with a form by hand is worked at."""

from sim.errors import Refusal
from sim.keys import CheckKey
from sim.session import actions as act
from sim.session.actions import Action
from sim.session.record import Outcome
from sim.trainees.byhand import motors, switches, throttled, tilts, turned, walked
from sim.trainees.byhand.hold import pose
from sim.trainees.byhand.routine import Routine
from sim.trainees.driver import Hands

ROUTINES: dict[CheckKey, Routine] = {
    **switches.ROUTINES,
    **tilts.ROUTINES,
    **turned.ROUTINES,
    **motors.ROUTINES,
    **throttled.ROUTINES,
    **walked.ROUTINES,
}
TRIES = 2  # own: whoever saw nothing at first does it once more


class OwnHands(Hands):
    """Hands that begin a check, do what it is about and read it, where others take it as one act."""

    def do(self, action: Action) -> Outcome:
        """Do one thing; raises Refusal."""
        if isinstance(action, act.Read) and action.check in ROUTINES:
            return self._worked(action.check)
        return super().do(action)

    def pose(self, roll_deg: float = 0.0, pitch_deg: float = 0.0) -> None:
        """Turn the aircraft by eye until it is held so, nose to the north."""
        pose(self, roll_deg, pitch_deg)

    def turn_about_each_axis(self, turns: int) -> None:
        """Turn the aircraft about each of its axes without a stop."""
        turned.compass_turns(self, turns)

    def _worked(self, check: CheckKey) -> Outcome:
        """Do a check by hand; what refuses to arm leaves the check and says why."""
        for left in reversed(range(TRIES)):
            super().do(act.Begin(check=check))
            ROUTINES[check](self)
            try:
                return super().do(act.Done())
            except Refusal:
                if not left:
                    raise
        raise AssertionError  # the last try returns or raises
