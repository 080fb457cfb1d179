"""The part of a session that watches the aircraft: takeoffs, crashes, landings and what comes of them."""

import numpy as np

from sim.aircraft.assemble import assemble
from sim.aircraft.changes import with_values
from sim.bench.rig import History, Rig
from sim.faults.catalogue import present_faults
from sim.faults.fault import Truth
from sim.kernel.clock import ticks
from sim.kernel.history import HISTORY
from sim.procedure import hazards
from sim.session.evening import Evening
from sim.session.hops import Hops
from sim.session.known import Known
from sim.session.view import Seen, look
from sim.session.watch import FlightWatch
from sim.session.wreck import wrecked

WATCH_TICKS = ticks(0.02)  # own: on the pad and in the air somebody looks up this often
TRACE_MS = 10  # ms; design: trace at 100 Hz


class Flying:
    """Follows one aircraft on the pad and in the air, and tells evening and bench what a flight does.

    planned_s : how long the hop is to last; chance : of what breaks.
    """

    def __init__(
        self,
        rig: Rig,
        evening: Evening,
        known: Known,
        planned_s: float,
        chance: np.random.Generator,
    ) -> None:
        self.phase = "bench"
        self.hops = Hops()
        self._rig, self._evening, self._known = rig, evening, known
        self._planned_s = planned_s
        self._chance = chance
        self._watch = FlightWatch()
        self._trace: list[np.ndarray] = []
        self._last_look: tuple[int, Seen] | None = None

    @property
    def armed(self) -> bool:
        """Whether the motors are armed."""
        return self._rig.value("armed") > 0.0

    @property
    def alarm(self) -> bool:
        """Whether the low-voltage alarm sounds."""
        return self._watch.alarm

    @property
    def shout(self) -> str:
        """What the spotter calls out now."""
        return self._watch.shout(self._rig, self.seen())

    def silence(self) -> None:
        """Silence the alarm, as another pack does."""
        self._watch.silence()

    @property
    def track(self) -> History:
        """The trace of the pad and of every hop."""
        return History(np.vstack(self._trace) if self._trace else np.empty((0, len(HISTORY))))

    def seen(self) -> Seen:
        """Return what the eye sees of the aircraft now."""
        if self._last_look is None or self._last_look[0] != self._rig.tick:
            self._last_look = (self._rig.tick, look(self._rig))
        return self._last_look[1]

    def truth(self) -> Truth:
        """Return what predicates look at."""
        rig, left_s = self._rig, self._planned_s
        if self._watch.takeoff_s is not None:
            left_s = max(1.0, left_s - (rig.time_s - self._watch.takeoff_s))
        whole = with_values(rig.world, {"conduct.props_fitted": True, "conduct.bare": ()})
        craft = assemble(whole, rig.target)
        return Truth(rig.world, craft, rig.tables, rig.cells(), left_s)

    def notice_change(self) -> None:
        """Work out which faults are there after a change of build, setup, site or conduct."""
        self._known.became(present_faults(self.truth()))

    def settle_phase(self) -> None:
        """Tell the pad from the bench: propellers on, standing on the pad."""
        conduct = self._rig.world.conduct
        on_pad = conduct.place == "pad" and conduct.hold == "standing" and conduct.props_fitted
        self.phase = "pad" if on_pad else "bench"
        self._rig.watch_ticks = WATCH_TICKS if on_pad else 0

    def hear(self, history: History) -> None:
        """Keep the trace of the pad and the hop, and look up after a stretch of time."""
        conduct = self._rig.world.conduct
        if conduct.place == "pad" and conduct.props_fitted:
            self._trace.append(history.each(TRACE_MS).rows)
        self.look_up()

    def look_up(self) -> None:
        """See whether it left the floor, must be cut, crashed or came down."""
        if self.phase == "pad" and self._watch.took_off(self._rig):
            self._take_off()
        self._watch.watch_alarm(self._rig)
        self._evening.log(*self._watch.unsafe(self._rig, self.seen()))
        if self._rig.value("crash") != 0.0:
            self._crash()
        if self._watch.came_down(self._rig, self.seen()):
            self._come_down()

    def _crash(self) -> None:
        """Take note of a crash at once, and of what it broke when the rotors stand still."""
        if not self.hops.crashed:
            self.hops.crashed = True
            self._evening.log("crashed")
            self._known.due_again("crash")
        still = not self.armed and not self.seen().rotors_turning
        if still and not self.hops.wrecked:
            self.hops.wrecked = True
            self._rig.change(wrecked(self._rig, self._chance))
            self.notice_change()

    def _take_off(self) -> None:
        self.phase = "hop"
        present = present_faults(self.truth())
        self.hops.began(self._watch.takeoff_s or 0.0, present)
        if self._known.written(present):
            self._evening.log("fly-known-fault")
        if self._known.unproved:
            self._evening.log("fly-unproved-fix")
        self._evening.log(*hazards.on_takeoff(self._rig.world))

    def _come_down(self) -> None:
        """End the hop: the pack is warm, and what a hop may have changed is due again."""
        ended, track = self.hops.over(self._rig), self.track
        flown = track["time_s"] >= ended.takeoff_s
        self._evening.flown(History(track.rows[flown]))
        self._known.due_again("hop")
        self.settle_phase()
        self.notice_change()
