"""A drill under way in the window: asks the session, lets time pass, keeps what is drawn.

Whatever takes longer than a frame is done by one worker thread, which alone touches the session
while it is busy; the window draws from the last view meanwhile.
"""

from collections import deque
from functools import partial
from pathlib import Path
from shutil import rmtree
from typing import Any

from sim.aircraft.fields import plain
from sim.bench.inputs import Inputs
from sim.bench.rig import History
from sim.errors import InputError, Refusal, line_of
from sim.kernel.clock import TICK_S
from sim.kernel.radio import Sticks
from sim.runs import (
    RUNS,
    card_of,
    elsewhere,
    kept_card,
    new_folder,
    nothing_else,
    take_up,
)
from sim.scoring.search import Search
from sim.session import actions as act
from sim.session.attempt import NAME_LENGTH, Note
from sim.session.folder import SOMEBODY, RunFolder
from sim.session.ownwords import OwnWords, asked_already, keep_words
from sim.session.record import Outcome, Record
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.window.action_words import seen
from sim.window.debriefing import Card, Debriefed, Pages, debriefed, search_of
from sim.window.drill import Drill
from sim.window.firsttaken import first_taken
from sim.window.handling import STIR_S, heard, moved
from sim.window.said import Said, said_of
from sim.window.sticks.positions import Positions

AS_HELD_S = 0.1  # s; own: the sticks have stood so for a moment before it arms
STILL_M_S = 0.05  # m/s; own: what moves more slowly lies still


def named(who: str) -> str:
    """Return whoever practises as their attempts name them."""
    return plain(who, NAME_LENGTH) or SOMEBODY


def sticks_of(positions: Positions, stop: bool) -> Sticks:
    """Return what the transmitter sends for stick positions. stop : the stop switch."""
    roll, pitch, throttle, yaw = positions.roll, positions.pitch, positions.throttle, positions.yaw
    return Sticks(roll, pitch, throttle, yaw, 1.0, 1.0, float(stop))


class _Again:
    """Does an attempt's acts again with its recorder, and logs what comes of each."""

    def __init__(self, run: RunFolder, log: list[tuple[float, Said]]) -> None:
        self._run, self._log = run, log

    def do(self, action: act.Action) -> Outcome:
        """Do an act again."""
        said = said_of(self._run.recorder.do, action)
        self._log.append((self._run.session.minutes, said))
        return Outcome(said.words, said.reading)

    def advance(self, inputs: Sticks | Inputs, seconds: float) -> History:
        """Let the same time pass."""
        return self._run.recorder.advance(inputs, seconds)


class Practice(Drill):
    """One person's attempt. `folder`: run folder to fill; `left`: it holds the attempt so far.

    `also`: what else is made of it when it is over.
    Without a folder a new one is filled where runs usually lie. What the disk does not take goes to
    the next best place, and `news` says so once; if no place takes it, the attempt goes on in memory
    and `unsaved` says why.
    """

    def __init__(
        self,
        scenario: Scenario,
        name: str,
        seed: int,
        trainee: str,
        folder: Path | None = None,
        left: bool = False,
        also: Pages = nothing_else,
    ) -> None:
        super().__init__()
        self.also = also
        self.scenario, self.name, self.seed = scenario, name, seed
        self.trainee = named(trainee)
        self.folder = folder or Path()
        self.news = ""
        self.card: dict[str, Any] | None = None
        self.words: OwnWords | None = None  # the trainee's own
        self.told: Debriefed | None = None  # beside the scorecard
        self.log: list[tuple[float, Said]] = []
        self._waiting: deque[act.Action] = deque()
        self._run: RunFolder | None = None
        self._search: Search | None = None
        self._stir_s = 0.0
        if left:
            self.begin("Everything is put back as it was", self._go_on)
        else:
            self.begin("The aircraft is laid on the bench", lambda: self._begin(folder))

    def _begin(self, folder: Path | None) -> None:
        note = Note(
            trainee=self.trainee, by="person", scenario=plain(self.name, 200), seed=self.seed
        )
        places = [partial(new_folder, self.name, below) for below in (RUNS, *elsewhere())]
        if folder is not None:
            places[0] = partial(Path, folder)
        run, error = first_taken(places, lambda place: RunFolder.begin(place, self.scenario, note))
        if error is not None:
            self.news = f"{line_of(error)}. The drill is kept in {run.folder}."
        self._open(run)

    def _go_on(self) -> None:
        self._open(take_up(self.folder, lambda run: _Again(run, self.log)))

    def _open(self, run: RunFolder) -> None:
        self._run, self.folder = run, run.folder
        self.seen = run.session.view()
        self._keep(run)

    # --- what is kept ----------------------------------------------------------------------------

    def _keep(self, run: RunFolder) -> None:
        """Force what was done to the disk; at the end of the drill, score it. Else go elsewhere."""
        over = run.session.phase == "debrief"
        if self.unsaved and not over:
            return
        try:
            self._write(run)
        except OSError as error:
            self._rescue(run, line_of(error))
        if over and self.card is None:
            record = run.session.record()
            self.card = card_of(record, run.note.trainee, run.note.scenario)
        if self.card is not None and self.told is None:
            record = run.session.record()
            self.told = debriefed(record, self.card, self._searched(record))

    def _write(self, run: RunFolder) -> None:
        if run.session.phase == "debrief":
            record = run.finish()
            if self.words is not None:
                keep_words(run.folder, self.words)
            self.card = kept_card(record, run.note, run.folder, self._paged)
            return
        run.sync()
        if run.trouble is not None:
            raise run.trouble

    def _searched(self, record: Record) -> Search:
        """Return how the search of the drill went, which sheet and page both tell; worked out once."""
        if self._search is None:
            self._search = search_of(record)
        return self._search

    def _paged(self, record: Record, card: Card, folder: Path) -> None:
        self.also(record, card, folder, self._searched(record))

    def _rescue(self, run: RunFolder, why: str) -> None:
        for below in elsewhere():
            try:
                self.save(below)
            except (OSError, InputError):
                continue
            self.news = f"{why}. From here on the drill is kept in {run.folder}."
            return
        self.unsaved = why

    def save(self, below: Path) -> None:
        """Go on in a new folder below another, with all there was so far.

        Raises OSError or InputError if that can't be filled; then nothing has changed.
        """
        assert self._run is not None
        folder = new_folder(self.name, below)
        try:
            self._run.move(folder)
            self._write(self._run)
        except (OSError, InputError):
            rmtree(folder, ignore_errors=True)  # else it would lie there as an attempt of its own
            raise
        self.folder, self.unsaved = folder, ""

    @property
    def asks_words(self) -> bool:
        """Tell whether the trainee's own words are still to be asked."""
        return self.words is None and (bool(self.unsaved) or not asked_already(self.folder))

    def say(self, words: OwnWords) -> None:
        """Keep the trainee's own words with the run, and make anew what is made of it."""
        self.words = words
        if self.unsaved:
            return  # they go where the drill is saved
        try:
            keep_words(self.folder, words)
        except (OSError, Refusal) as error:
            self.news = line_of(error)
            return
        self.begin("The debrief is written", self._made_anew)

    def _made_anew(self) -> None:
        assert self.card is not None
        try:
            self._paged(self.session.record(), self.card, self.folder)
        except OSError as error:
            self.news = line_of(error)

    @property
    def session(self) -> Session:
        """Return the session; the drill must have been opened."""
        assert self._run is not None
        return self._run.session

    @property
    def last(self) -> Said | None:
        """Return what came of the last thing done."""
        return self.log[-1][1] if self.log else None

    @property
    def flows(self) -> bool:
        """Tell whether time passes by itself: it moves, a check is done by hand, or hands stir."""
        if self.seen is None:
            return False
        return self.moves or self.seen.doing is not None or self._stir_s > 0.0

    @property
    def flying(self) -> bool:
        """Tell whether this is the pilot's time: it moves, or may, where it flies from."""
        return self.moves and self.seen is not None and self.seen.phase != "bench"

    @property
    def moves(self) -> bool:
        """Tell whether it is armed, its motors still turn, or it falls."""
        if self.seen is None:
            return False
        seen = self.seen.aircraft
        moving = abs(seen.climb_m_s) + abs(seen.north_m_s) + abs(seen.east_m_s) > STILL_M_S
        falls = moving and not seen.loaded and self.seen.conduct.hold == "standing"
        return self.seen.armed or seen.rotors_turning or falls

    def ask(self, action: act.Action) -> bool:
        """Do something now, or after what is being done; tell whether it will be done."""
        if not self.ready or self.card is not None:
            return False
        if self.busy:
            if isinstance(action, act.Disarm):
                self._waiting.clear()  # a cut comes before whatever else was asked
            self._waiting.append(action)
            return True
        self.begin(seen(action), lambda: self._do(action))
        return True

    def _do(self, action: act.Action) -> Said:
        assert self._run is not None
        if isinstance(action, act.Arm) and self.view.conduct.pack_plugged:
            self._run.recorder.advance(sticks_of(self.sticks, self.stop), AS_HELD_S)
        said = said_of(self._run.recorder.do, action)
        self.seen = self._run.session.view()
        self._keep(self._run)
        return said

    def poll(self) -> Said | None:
        """Return what came of the last thing asked, once."""
        job = self.finished()
        if job is None:
            return None
        said = self.outcome(job)
        if self._waiting and self.card is None:
            self.ask(self._waiting.popleft())
        if isinstance(said, Said):
            self.log.append((self.view.minutes, said))
            return said
        return None

    def _stir(self, dt_s: float) -> None:
        """Notice whether the hands do anything that shows."""
        by_stick = moved(self.sticks) and heard(self.view)
        busy = self.turning is not None or self.motor is not None or by_stick
        self._stir_s = STIR_S if busy else max(0.0, self._stir_s - dt_s * self.rate)

    def step(self, dt_s: float) -> None:
        """Let a frame's time pass, if it passes."""
        if self.ready and not self.busy and not self.paused:
            self._stir(dt_s)
        if self.busy or self.paused or self.card is not None or not self.flows:
            self.silence()
            return
        if not (ticks := self.whole_ticks(dt_s)):
            return
        assert self._run is not None
        inputs = Inputs(sticks_of(self.sticks, self.stop), self.turning, self.motor)
        try:
            history = self._run.recorder.advance(inputs, ticks * TICK_S)
        except Refusal as refusal:
            self.turning = self.motor = None
            self.news = str(refusal)
            return
        self.hear(history, dt_s * self.rate)
        self.seen = self._run.session.view()
        self.shown.take(self.seen)

    def close(self) -> None:
        """Leave the drill; what was journalled stays."""
        super().close()
        if self._run is not None:
            self._run.close()
