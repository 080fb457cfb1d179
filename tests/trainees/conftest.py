"""Aircraft flown with their fault left in, each drill and seed once a test run."""

from collections.abc import Callable
from functools import cache

import pytest

from sim.session import actions as act
from sim.session.scenario import load
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.hop import hop
from sim.trainees.others import to_the_pad


@pytest.fixture(scope="session")
def on_pad() -> Callable[..., tuple[Session, Hands]]:
    """Return a session armed on the pad and its hands; nothing was checked or cured."""

    def made(drill: str, seed: int) -> tuple[Session, Hands]:
        session = Session(load(drill), seed)
        hands = Hands(session, session)
        to_the_pad(hands)
        hands.do(act.Arm())
        return session, hands

    return made


@pytest.fixture(scope="session")
def flown(on_pad) -> Callable[..., Session]:
    """Return a session after the planned hop by the pilot model."""

    @cache
    def made(drill: str, seed: int) -> Session:
        session, hands = on_pad(drill, seed)
        plan = session.scenario.hop
        hop(hands, plan.height_m, plan.hover_s, hands.sheet.hover_throttle)
        return session

    return made
