"""What scoring needs to know of a run: the truth beside what was done and read."""

from dataclasses import dataclass

from sim.aircraft.conduct import Conduct
from sim.bench.reading import Reading
from sim.bench.rig import History
from sim.keys import CheckKey, FaultId, HazardKey
from sim.session.actions import Action
from sim.session.hints import Hinted
from sim.session.scenario import Scenario


@dataclass(frozen=True)
class Outcome:
    """What an action led to: words, and a reading if it was a check."""

    words: str
    reading: Reading | None = None


@dataclass(frozen=True)
class Event:
    """One action, when, how it ended, and which faults and what conduct there were afterwards.

    changed : aircraft, setup or site is another than before; minutes : by the clock of the evening,
    when it was over; facts : the checks that were done and still held then.
    """

    tick: int
    phase: str
    action: Action
    refused: str | None
    reading: Reading | None
    present: frozenset[FaultId]
    conduct: Conduct
    changed: bool = False
    minutes: float = 0.0
    facts: frozenset[CheckKey] = frozenset()


@dataclass(frozen=True)
class Logged:
    """A hazard and when it arose; minutes : by the clock of the evening, which the trainee sees."""

    id: HazardKey
    time_s: float
    critical: bool
    minutes: float = 0.0


@dataclass(frozen=True)
class Hop:
    """One hop, from the floor to rotors that stand still.

    present : the faults it took off with; over_s : None while it lasts; touchdown_m_s : its hardest.
    """

    takeoff_s: float
    present: frozenset[FaultId]
    over_s: float | None = None
    touchdown_m_s: float = 0.0
    crash: tuple[str, ...] = ()


@dataclass(frozen=True)
class Record:
    """A whole run. `takeoff_s` is None if the aircraft never left the floor.

    hidden : the faults the drill put in; `present_at_start` has what these trip as well.
    takeoff_s, present_at_takeoff, touchdown_m_s, crash : of the first hop; hops : each of them.
    locked_up : the evening was over before the drill was; standing_m : height of the CG on its legs.
    """

    scenario: Scenario
    seed: int
    hidden: frozenset[FaultId]
    present_at_start: frozenset[FaultId]
    events: tuple[Event, ...]
    hazards: tuple[Logged, ...]
    takeoff_s: float | None
    present_at_takeoff: frozenset[FaultId]
    present_now: frozenset[FaultId]
    track: History
    touchdown_m_s: float
    crash: tuple[str, ...]
    declared: str | None
    reason: str
    finished: bool
    minutes: float
    locked_up: bool
    pad_north_m: float
    pad_east_m: float
    standing_m: float
    hops: tuple[Hop, ...] = ()
    hints: tuple[Hinted, ...] = ()
