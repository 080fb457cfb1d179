"""The evening's clock and log: the minutes spent and the hazards that arose."""

from sim.bench.rig import History, Rig
from sim.bench.warming import Warming
from sim.keys import HazardKey
from sim.procedure.hazards import HAZARDS
from sim.session.record import Logged


class Evening:
    """Counts the minutes of one aircraft's evening, in which its pack takes on the room's warmth."""

    def __init__(self, rig: Rig) -> None:
        self.minutes = 0.0  # spent
        self.hazards: list[Logged] = []
        self._rig = rig
        self._warming = Warming()
        self._followed_min = 0.0  # up to when the pack's warmth has been followed

    def follow(self) -> None:
        """Let the minutes spent of late pass for the pack."""
        self._warming.after(self._rig, self.minutes - self._followed_min)
        self._followed_min = self.minutes

    def flown(self, flown: History) -> None:
        """Warm the pack by what a hop drew from it."""
        self._warming.flown(self._rig, flown)

    def log(self, *found: HazardKey) -> None:
        """Write down hazards as they arise, each once."""
        for hazard in found:
            if hazard not in {h.id for h in self.hazards}:
                critical = HAZARDS[hazard].critical
                self.hazards.append(Logged(hazard, self._rig.time_s, critical, self.minutes))
