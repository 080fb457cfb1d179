"""The stand-ins by name, and a run of one of them into a folder."""

from dataclasses import dataclass
from pathlib import Path
from zlib import crc32

import numpy as np

from sim.aircraft.fields import LINE_LENGTH
from sim.errors import Refusal
from sim.session import actions as act
from sim.session.attempt import Note
from sim.session.folder import RunFolder
from sim.session.record import Record
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.trainees import afterwards, between, careful, others
from sim.trainees.byhand import OwnHands
from sim.trainees.driver import Hands


def by_hand(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Do the whole drill as the careful do, each check by hand that can be."""
    careful.perform(hands.own(OwnHands), scenario, rng)


STAND_INS: dict[str, between.Performs] = {
    "careful": careful.perform,
    "by-hand": by_hand,
    "hasty": others.hasty,
    "hunch": others.hunch,
    "clicker": others.clicker,
    "oracle": others.oracle,
    "by-feel": afterwards.perform,
    **between.STAND_INS,
}


@dataclass(frozen=True)
class Attempt:
    """One run of a stand-in at a drill."""

    scenario: Scenario
    stand_in: str
    seed: int

    def rng(self) -> np.random.Generator:
        """Return the stand-in's own chance, apart from the aircraft's."""
        return np.random.default_rng([self.seed, crc32(self.stand_in.encode())])

    def perform(self, hands: Hands) -> None:
        """Do the drill; where something is refused for good, give it up in good order."""
        try:
            STAND_INS[self.stand_in](hands, self.scenario, self.rng())
        except Refusal as refusal:
            give_up(hands, str(refusal))


def give_up(hands: Hands, reason: str) -> None:
    """End the drill on the bench; after the hop there is only the debrief left."""
    hands.tries(act.Disarm())
    hands.tries(act.UnplugPack())
    if hands.tries(act.Declare(verdict="stay on the bench", reason=reason[:LINE_LENGTH])) is None:
        hands.tries(act.Finish())


def rehearsed(attempt: Attempt) -> Record:
    """Return the record of an attempt that leaves nothing on disk."""
    session = Session(attempt.scenario, attempt.seed)
    attempt.perform(Hands(session, session))
    return session.record()


def rehearsed_into(attempt: Attempt, folder: Path, note: Note) -> Record:
    """Return the record of an attempt whose scenario, journal and trace are kept in a folder.

    The same attempt left unfinished there is taken up: done anew, and each line of its journal
    must come again. Raises InputError if the folder holds any other run.
    """
    with RunFolder.begin_or_reopen(folder, attempt.scenario, note) as run:
        attempt.perform(Hands(run.recorder, run.session))
        return run.finish()
