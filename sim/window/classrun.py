"""A run done again for a class: it stands still before each decision until the class has voted."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Literal, NamedTuple

from sim.diagnosis.offers import worth_doing
from sim.runs import worked_out
from sim.window.debriefing import debriefed, search_of
from sim.window.said import Said
from sim.window.showing import Showing
from sim.window.votes import Decision, decisions

Phase = Literal["vote", "told", "over"]
HOP_RATE = 2.0  # 1; own: a hop of a minute is seen in half of one


class Stand(NamedTuple):
    """Where a class stands: the decision in hand, the phase, and what was done since the one before."""

    n: int
    phase: Phase
    said: tuple[Said, ...] = ()


class ClassRun(Showing):
    """A run for a class.

    `phase`: votes are taken, or it is told what was done, or there is nothing more to decide; `said`:
    what was done since the last vote, or in answer to this one.
    """

    def __init__(self, folder: Path, title: str) -> None:
        self.decisions: list[Decision] = []
        self.stand = Stand(0, "vote")
        super().__init__(folder, title, until=0)

    def _open(self) -> None:
        record, card = worked_out(self.folder)
        search = search_of(record)
        self.told, self.card = debriefed(record, card, search), card
        self.known = record.scenario.tables
        self.decisions = decisions(record.events, worth_doing(search.case, search.by))
        self._fetch()
        self.stand = self._before(0)
        self.seen = self.session.view()

    @property
    def n(self) -> int:
        """Return the number of the decision in hand."""
        return self.stand.n

    @property
    def phase(self) -> Phase:
        """Return the phase."""
        return self.stand.phase

    @property
    def decision(self) -> Decision:
        """Return the decision in hand."""
        return self.decisions[self.n]

    def _said_till(self, last: int) -> tuple[Said, ...]:
        """Do every step up to one at once; return what came of the acts among them."""
        before = len(self.log)
        self._through(last)
        return tuple(said for _, said in self.log[before:])

    def _before(self, n: int) -> Stand:
        """Do everything up to a decision; to the end, if there is none left."""
        if n < len(self.decisions):
            return Stand(n, "vote", self._said_till(self.acts[self.decisions[n].act] - 1))
        return Stand(n, "over", self._said_till(len(self.steps) - 1))

    def _after(self) -> Stand:
        return Stand(self.n, "told", self._said_till(self.acts[self.decision.through]))

    def _quickly(self, work: Callable[[], Stand]) -> Stand:
        stand = work()
        self.seen = self.session.view()
        return stand

    def show_done(self) -> None:
        """Show what was done, once the hands are counted."""
        if self.phase == "vote" and self.ready and not self.busy:
            self.begin("What was done", partial(self._quickly, self._after))

    def go_on(self) -> None:
        """Go on to the next decision."""
        if self.phase == "told" and self.ready and not self.busy:
            work = partial(self._before, self.n + 1)
            self.begin("On to the next decision", partial(self._quickly, work))

    def step(self, dt_s: float) -> None:
        """Let a hop be seen once it is told that it was armed; else time stands still."""
        if self.ready and self._in_a_hop():
            self.rate = HOP_RATE
            super().step(dt_s)
            return
        self.rate = 1.0
        job = self.finished()
        if job is not None:
            came = self.outcome(job)
            if isinstance(came, Stand):
                self.stand = came
            elif isinstance(came, Said):
                self._heard(came)
        self.silence()

    def _in_a_hop(self) -> bool:
        """Tell whether a hop is to be seen now: it was armed, and the next decision is not reached."""
        if self.phase != "told" or not self.view.armed:
            return False
        following = self.decisions[self.n + 1 :]
        return not following or self.at < self.acts[following[0].act]
