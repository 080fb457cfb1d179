"""A recorded run done again, at a pace one can follow or at once up to any act of it."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from sim.bench.reading import Reading
from sim.kernel.frames import Quat, from_angles
from sim.runs import card_of
from sim.session import actions as act
from sim.session.attempt import noted
from sim.session.journal import Step, begun
from sim.session.session import Session
from sim.units import RAD_PER_DEG
from sim.window.action_words import logged
from sim.window.debriefing import Debriefed, debriefed
from sim.window.drill import Drill
from sim.window.said import Said, said_of
from sim.window.sticks.positions import Positions

DWELL_S = {"read": 2.2, "squawk": 2.5, "swap": 2.0, "set": 2.0, "declare": 2.0, "turn": 0.5}
USUAL_DWELL_S = 1.0  # s; own: long enough to read a line


class Showing(Drill):
    """A journal done again at a pace one can follow.

    `until`: the number of an act, after which it opens and holds; what comes before is done at once.
    `card`, `told`: scorecard and debrief of what has been shown, once all has been.
    """

    def __init__(
        self,
        folder: Path,
        title: str,
        find: Callable[[], Path] | None = None,
        until: int | None = None,
    ) -> None:
        self.folder = folder
        self.title = title
        self.until = until
        self.far = 0.0  # 0..1; how far it has come on the way to where it opens
        self.steps: list[Step] = []
        self.acts: list[int] = []  # places of the acts among the steps
        self.card: dict[str, Any] | None = None
        self.told: Debriefed | None = None
        self.at = 0
        self.log: list[tuple[float, Said]] = []
        self.reading: Reading | None = None
        self.pose: Quat | None = None
        self._find = find
        self._session: Session | None = None
        self._dwell_s = 0.0
        super().__init__()
        self.begin("The run is fetched", self._open)

    def _open(self) -> None:
        self._fetch()
        if self.until is not None:
            self._through(self.acts[min(self.until, len(self.acts) - 1)] if self.acts else -1)
            self.paused = True
        self.seen = self.session.view()

    def _fetch(self) -> None:
        """Fetch the run, and lay the aircraft out as it was at its beginning."""
        if self._find is not None:
            self.folder = self._find()
        self._session, self.steps = begun(self.folder)
        self.acts = [i for i, step in enumerate(self.steps) if step.action is not None]

    def _through(self, last: int) -> None:
        """Do every step up to one at once."""
        first = self.at
        while self.at <= last:
            step = self.steps[self.at]
            if step.action is not None:
                self._heard(said_of(self.session.do, step.action))
            else:
                self._let(step)
            self.far = (self.at - first) / (last + 1 - first)
        if self.at == len(self.steps) - 1 and self.steps[-1].trace is not None:
            self.at += 1  # the line that ends a journal is no more to be waited for

    def _on_to_next(self) -> None:
        self._through(next((i for i in self.acts if i >= self.at), len(self.steps) - 1))
        self.seen = self.session.view()

    def next_act(self) -> None:
        """Do everything up to the next act and it as well, then hold."""
        if self.ready and not self.busy and not self.over:
            self.paused = True
            self.begin("On to the next act", self._on_to_next)

    @property
    def over(self) -> bool:
        """Tell whether the last step has been done."""
        return self.ready and self.at >= len(self.steps)

    def _mark(self) -> None:
        """Work out what the run came to."""
        note, record = noted(self.folder), self.session.record()
        trainee, drill = (note.trainee, note.scenario) if note else ("unknown", self.title)
        card = card_of(record, trainee, drill)
        self.told, self.card = debriefed(record, card), card

    @property
    def session(self) -> Session:
        """Return the session; the run must have been fetched."""
        assert self._session is not None
        return self._session

    def step(self, dt_s: float) -> None:
        """Go on by a frame: dwell on an act, or let the sticks' time pass."""
        job = self.finished()
        if job is not None:
            said = self.outcome(job)
            if isinstance(said, Said):
                self._heard(said)
        if self.over and not self.busy and self.card is None:
            self.begin("The debrief is written", self._mark)
        if self.busy or self.paused or self.over or not self.ready:
            if self.paused or self.over:
                self.silence()
            return
        self._dwell_s -= dt_s * self.rate
        if self._dwell_s > 0.0:
            return
        self._flow(dt_s)

    def _flow(self, dt_s: float) -> None:
        moved_s = 0.0
        while self.at < len(self.steps) and moved_s < dt_s * self.rate:
            step = self.steps[self.at]
            if step.action is not None:
                action = step.action
                self.silence()
                self.begin(logged(action), partial(self._do, action))
                return
            moved_s += self._let(step)
        self.seen = self.session.view()
        self._dwell_s += moved_s

    def _let(self, step: Step) -> float:
        """Let the time of a step pass that is no act; return it, s."""
        self.at += 1
        if step.inputs is None:
            return 0.0
        s = step.inputs.sticks
        self.sticks = Positions(s.roll, s.pitch, s.throttle, s.yaw)
        self.hear(self.session.advance(step.inputs, step.seconds), step.seconds)
        return step.seconds

    def _do(self, action: act.Action) -> Said:
        said = said_of(self.session.do, action)
        self.seen = self.session.view()
        return said

    def _heard(self, said: Said) -> None:
        self.at += 1
        self.log.append((self.session.minutes, said))
        if said.reading is not None:
            self.reading = said.reading
        action = said.action
        if isinstance(action, act.Turn):
            angles = (action.roll_deg, action.pitch_deg, action.heading_deg)
            self.pose = from_angles(*(a * RAD_PER_DEG for a in angles))
        elif isinstance(action, act.Carry):
            self.pose = None
        self._dwell_s = DWELL_S.get(action.do, USUAL_DWELL_S)
