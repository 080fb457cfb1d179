"""Records made by hand, so that a rule of marking can be tested without flying."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from sim.aircraft.conduct import Conduct
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.bench.rig import COLUMN, History
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.procedure.hazards import HAZARDS
from sim.session import actions as act
from sim.session.record import Event, Logged, Record
from sim.session.scenario import Scenario
from tests.scoring.tables import PLAIN, STANDING_M, answers, own, values

TAKEOFF_S = 100.0
READY = Conduct(goggles_on=True, spotter_present=True)


@pytest.fixture(scope="session")
def track() -> Callable[..., History]:
    """Return a 100 Hz hop held off the middle by fixed amounts for `hold_s`, up from 100 s."""

    def made(
        hold_s: float = 30.0, away_m: float = 0.0, height_m: float = 0.0, heading_deg: float = 0.0
    ) -> History:
        rows = np.zeros((round(hold_s / 0.01) + 200, 41))
        rows[:, COLUMN["time_s"]] = TAKEOFF_S + 0.01 * np.arange(len(rows))
        held = slice(100, len(rows) - 100)
        rows[held, COLUMN["north_m"]] = 0.6 * away_m
        rows[held, COLUMN["east_m"]] = -0.8 * away_m
        rows[held, COLUMN["height_m"]] = 1.0 + height_m  # m; the plan's own hover height
        rows[held, COLUMN["heading_rad"]] = np.radians(heading_deg)
        return History(rows)

    return made


@pytest.fixture(scope="session")
def squawk() -> Callable[..., act.Squawk]:
    """Return a claim about a cause, quite sure unless told; the item is only a word.

    It points at the cause's own line, of the first check that reveals it, unless told.
    """

    def made(
        cause: FaultId,
        item: str = "anything",
        confidence: int = 3,
        line: str | None = None,
        check: CheckKey | None = None,
    ) -> act.Squawk:
        return act.Squawk(
            item=item,
            cause=cause,
            confidence=confidence,
            check=check or CATALOGUE[cause].revealed_by[0],
            line=own(cause) if line is None else line,
        )

    return made


@pytest.fixture(scope="session")
def record(track) -> Callable[..., Record]:
    """Return a record from steps (action, faults present after it), ten seconds apart.

    A step may be the word "takeoff". What is read are the lines of `tables`, `high` with a fault.
    Everything is read first, and answered, unless told otherwise. Everything else is a faultless
    run unless `changes` says so.
    """

    def made(
        start: set[FaultId],
        *steps: object,
        hazards: str = "",
        looked_first: bool = True,
        answered: bool = True,
        high: float = PLAIN,
        conduct: Conduct = READY,
        **changes: Any,
    ) -> Record:
        tick, takeoff = 0, None
        present: frozenset[FaultId] = frozenset(start)
        events: list[Event] = []

        def add(phase: str, action: act.Action, refused: str | None = None) -> None:
            reading = None
            if isinstance(action, act.Read) and refused is None:
                reading = Reading(action.check, values(action.check, present, high))
            did = isinstance(action, act.Set | act.Swap | act.Calibrate) and refused is None
            what = (tick, phase, action, refused, reading, present, conduct, did)
            events.append(Event(*what))

        for check in CHECKS if looked_first else ():
            add("bench", act.Read(check=check))
        for answer in answers(present) if looked_first and answered else ():
            add("bench", answer)
        at_takeoff: frozenset[FaultId] = frozenset()
        for step in [*steps, *([] if "takeoff" in steps else ["takeoff"])]:
            tick += 10_000
            if step == "takeoff":
                takeoff, at_takeoff = tick * 0.001, present
                continue
            action, *after = step if isinstance(step, tuple) else (step,)
            present = frozenset(after[0]) if after else present
            phase = "bench" if takeoff is None else "hop"
            add(phase, action, after[1] if len(after) > 1 else None)
        logged = tuple(
            Logged(h.id, 1.0, h.critical) for h in HAZARDS.values() if h.id in hazards.split()
        )
        scenario = Scenario(title="Made by hand", purpose="Marking", origin="invented")
        made = Record(
            scenario=scenario,
            seed=0,
            hidden=frozenset(),
            present_at_start=frozenset(start),
            events=tuple(events),
            hazards=logged,
            takeoff_s=takeoff,
            present_at_takeoff=at_takeoff,
            present_now=present,
            track=track(),
            touchdown_m_s=0.2,
            crash=(),
            declared="clear",
            reason="",
            finished=True,
            minutes=30.0,
            locked_up=False,
            pad_north_m=0.0,
            pad_east_m=0.0,
            standing_m=STANDING_M,
        )
        return replace(made, **changes)

    return made
