"""Stand-ins between good and bad: they work as the careful do but for one habit each."""

from collections.abc import Callable
from dataclasses import replace
from math import isfinite

import numpy as np

from sim.bench.lines import measures
from sim.bench.moves import Move
from sim.bench.reading import Reading
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey
from sim.session.actions import Squawk
from sim.session.scenario import Scenario
from sim.trainees.careful import Careful
from sim.trainees.craftwork import claim, cure, read
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import Finding

Performs = Callable[[Hands, Scenario, np.random.Generator], None]

CHANCES = (0.25, 0.5, 0.75)  # 1; own: quarters, so that their points can be told apart
MISREAD = 0.5  # of the inner band's half width; own: about what sound aircraft scatter by


class Partial(Careful):
    """Does each check with a chance, decided when it is first met."""

    def __init__(self, hands: Hands, rng: np.random.Generator, chance: float) -> None:
        super().__init__(hands, rng)
        self._chance = chance
        self._wanted: dict[CheckKey, bool] = {}

    def wants(self, check: CheckKey) -> bool:
        """Tell whether this check is one of those it does."""
        if check not in self._wanted:
            self._wanted[check] = bool(self.rng.random() < self._chance)
        return self._wanted[check]


class Noisy(Careful):
    """Misreads every value that sound aircraft differ in."""

    def suspects(self, check: CheckKey, reading: Reading) -> list[Finding]:
        """Judge what it believes to have read."""
        values = {line: self._misread(check, reading, line) for line in reading.values}
        return super().suspects(check, replace(reading, values=values))

    def _misread(self, check: CheckKey, reading: Reading, line: str) -> float:
        itself = next(iter(measures(reading.values, line)))
        band = self.hands.measured.bands.get((check, itself))
        half = 0.5 * (band.high_inner - band.low_inner) if band else 0.0
        error = MISREAD * half * float(self.rng.standard_normal()) if isfinite(half) else 0.0
        return reading.values[line] + error


class Late(Careful):
    """Finds and cures first, and writes it down afterwards."""

    def deals(self, findings: list[Finding]) -> None:
        """Cure what was found, then write it down."""
        for finding in findings:
            cure(self.hands, finding)
        for finding in findings:
            claim(self.hands, finding)


class Cautious(Careful):
    """Refuses at doubt: where a line that could mean a fault is outside its inner edge twice."""

    def accepts(self, check: CheckKey, reading: Reading) -> bool:
        """Look again if a line is doubtful; if it stays so, say why and stay on the bench."""
        doubtful = self._doubtful(check, reading)
        if not doubtful:
            return True
        again = self._doubtful(check, read(self.hands, check))
        line = next((line for line in doubtful if line in again), None)
        if line is None:
            return True
        self.hands.do(again[line])
        self.reason = f"{check}: {line} is doubtful, read twice; it may be {again[line].cause}"
        return False

    def _doubtful(self, check: CheckKey, reading: Reading) -> dict[str, Squawk]:
        """Return the doubtful lines, each with the faintest claim of the cause it speaks for most."""
        found = {}
        for line in reading.values:
            causes = self.hands.measured.spoken_for(check, reading.values, line)
            for move in self._moves(check, reading, line):
                if move.fault in causes:
                    item = CATALOGUE[move.fault].item
                    found[line] = Squawk(
                        item=item, cause=move.fault, confidence=1, check=check, line=line
                    )
                    break
        return found

    def _moves(self, check: CheckKey, reading: Reading, line: str) -> list[Move]:
        """Return what moves a line, the most powerful first."""
        moves = self.hands.measured.moves
        every = [m for name in measures(reading.values, line) for m in moves.get((check, name), ())]
        return sorted(every, key=lambda move: -move.power)


def _performing(worker: type[Careful]) -> Performs:
    def perform(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
        worker(hands, rng).performs(scenario)

    return perform


def _doing(share: float) -> Performs:
    def perform(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
        Partial(hands, rng, share).performs(scenario)

    return perform


STAND_INS: dict[str, Performs] = {
    **{f"partial-{chance:.0%}".removesuffix("%"): _doing(chance) for chance in CHANCES},
    "noisy": _performing(Noisy),
    "late": _performing(Late),
    "cautious": _performing(Cautious),
}
