"""What practice and watching have in common: a session's view, recordings, a clock, one worker.

Whatever takes longer than a frame is done by one worker thread, which alone touches the session
while it is busy; the window draws from the last view meanwhile.
"""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from typing import Any

import numpy as np

from sim.aircraft.fields import PLACES
from sim.bench.inputs import Slider, Turning
from sim.bench.rig import COLUMN, History
from sim.errors import DryhopError, line_of
from sim.kernel.clock import TICK_S
from sim.session.view import View
from sim.window.handling import ShownTape
from sim.window.sticks.positions import SAFE

LONGEST_FRAME_S = 0.05  # s; own: a longer frame does not make the drill run faster afterwards
KEPT_ROWS = 1200  # rows; 12 s at 100 Hz, what the strips show and a little more
TAPE_COLUMNS = (
    "time_s",
    "shown_roll_rad",
    "shown_pitch_rad",
    "shown_heading_rad",
    "height_m",
    "stick_throttle",
    "shown_pack_v",
)
SPEED_COLUMNS = tuple(COLUMN[f"speed_{place}_rad_s"] for place in PLACES)


class Drill:
    """What practice and watching have in common: a session, its view, recordings, a clock.

    `failed`: why it could not be opened; `unsaved`: why it is kept in memory only.
    """

    def __init__(self) -> None:
        self.seen: View | None = None
        self.unsaved = self.failed = ""
        self.rate = 1.0  # 1; own: share of real time
        self.paused = False
        self.sticks = SAFE
        self.stop = False  # the transmitter's stop switch
        self.turning: Turning | None = None  # how the hands turn the aircraft
        self.motor: Slider | None = None  # the motor test
        self.shown = ShownTape()
        self.tape = np.empty((0, len(TAPE_COLUMNS)))
        self.speeds_rad_s = np.zeros((1, 4))
        self.angles_rad = np.zeros(4)
        self._left_s = 0.0
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="drill")
        self._job: Future[Any] | None = None
        self._doing = ""

    @property
    def view(self) -> View:
        """Return what can be perceived, as of the last thing done."""
        assert self.seen is not None
        return self.seen

    @property
    def ready(self) -> bool:
        """Tell whether the aircraft is there."""
        return self.seen is not None

    @property
    def busy(self) -> str:
        """Return what is being done, or nothing."""
        return self._doing if self._job is not None else ""

    def begin(self, words: str, work: Callable[[], Any]) -> None:
        """Let the worker do something; only one thing at a time."""
        if self._job is not None:
            raise RuntimeError(f"still busy: {self._doing}")
        self._doing, self._job = words, self._worker.submit(work)

    def wait(self, most_s: float) -> None:
        """Wait until what is being done has been done, but no longer than a time, s."""
        wait([] if self._job is None else [self._job], most_s)

    def finished(self) -> Future[Any] | None:
        """Return the job if it has just been finished."""
        if self._job is None or not self._job.done():
            return None
        job, self._job = self._job, None
        return job

    def outcome(self, job: Future[Any]) -> Any:
        """Return what a finished job came to; None if the drill could not be opened: see `failed`."""
        try:
            return job.result()
        except (OSError, DryhopError) as error:
            if self.ready:
                raise
            self.failed = line_of(error)
            return None

    def whole_ticks(self, dt_s: float) -> int:
        """Return how many ticks go by in a frame; the rest is kept for the next."""
        self._left_s += min(dt_s, LONGEST_FRAME_S) * self.rate
        ticks = int(self._left_s / TICK_S + 1e-9)
        self._left_s -= ticks * TICK_S
        return ticks

    def hear(self, history: History, dt_s: float) -> None:
        """Keep what the strips draw and the rotors' speeds, which are heard and seen."""
        if len(history) == 0:
            return
        rows = history.rows[:, [COLUMN[name] for name in TAPE_COLUMNS]]
        self.tape = np.vstack([self.tape, rows])[-KEPT_ROWS:]
        self.speeds_rad_s = history.rows[:, SPEED_COLUMNS]
        self.angles_rad = (self.angles_rad + self.speeds_rad_s[-1] * dt_s) % (2.0 * np.pi)

    def silence(self) -> None:
        """Let the rotors stand: nothing turns while no time passes."""
        if self.speeds_rad_s.any():
            self.speeds_rad_s = np.zeros((1, 4))

    def close(self) -> None:
        """Let the worker go."""
        self._worker.shutdown(wait=True)
