"""Strategies at drills: one try, many tries on two processes, and a table of what came of them.

A strategy gets hands and an evening, no more than a person at the bench has: the drill it sees is
stripped of its hidden faults and of what the parts bin lacks.

    python -m tests.trials adversaries              every strategy at every drill, one seed
    python -m tests.trials honest --seeds 5 --only late --drills twins
"""

import argparse
import multiprocessing
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import pytest
from _pytest.mark.structures import ParameterSet

from sim.bench.evidence import measured
from sim.errors import Refusal
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import CLEARED, scorecard
from sim.session.attempt import Note
from sim.session.folder import RunFolder
from sim.session.record import Record
from sim.session.scenario import Scenario, load
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.standins import give_up

DRILLS = (
    "twins",  # a channel and a stabiliser's sense turned round
    "second-hand",  # gains
    "good-numbers",  # two of the power
    "club-loaner",  # compass
    "mirror-work",  # a motor and a propeller
    "open-day",  # people alone
    "rainy-sunday",  # a motor
    "market-day",  # two drawn by chance
)
PROCESSES = 2
IN_A_FOLDER = "folder"  # strategies with this word in their name are run in a run folder


@dataclass(frozen=True)
class Evening:
    """What a strategy may know: the drill as it is announced, a seed of its own, its run folder."""

    drill: Scenario
    name: str
    seed: int
    folder: Path | None = None


Strategy = Callable[[Hands, Evening], None]


@dataclass(frozen=True)
class Trial:
    """One strategy of a suite at one drill."""

    suite: str
    strategy: str
    drill: str
    seed: int


@dataclass(frozen=True)
class Made:
    """What came of a trial."""

    trial: Trial
    verdict: str
    points: float
    wise: bool
    sound: bool
    ladder: float
    conduct: float
    hop: float
    minutes: float
    false_squawks: tuple[str, ...]
    hazards: tuple[str, ...]
    unearned: tuple[str, ...]  # hidden faults that lack a rung, and which
    crash: str = ""

    @property
    def cleared(self) -> bool:
        """Tell whether the verdict is cleared to hop."""
        return self.verdict == CLEARED


def sampled(names: Iterable[str]) -> list[ParameterSet]:
    """Return every third name, and the others marked slow: a sample has to be quick."""
    return [pytest.param(n, marks=[pytest.mark.slow] * (i % 3 > 0)) for i, n in enumerate(names)]


def strategies(suite: str) -> dict[str, Strategy]:
    """Return the strategies of a suite by name."""
    found: dict[str, Strategy] = import_module(f"tests.{suite}.strategies").STRATEGIES
    return found


def announced(scenario: Scenario) -> Scenario:
    """Return a drill as a trainee knows it: nothing of what is hidden, nothing of the parts bin."""
    return scenario.model_copy(update={"faults": (), "draw": None, "lacking": ()})


def _performed(strategy: Strategy, hands: Hands, evening: Evening) -> None:
    try:
        strategy(hands, evening)
    except Refusal as refusal:
        give_up(hands, str(refusal))


def record_of(trial: Trial, scenario: Scenario | None = None) -> Record:
    """Return the record of a trial; where something is refused for good, it is given up in order."""
    strategy = strategies(trial.suite)[trial.strategy]
    drill = load(trial.drill) if scenario is None else scenario
    if IN_A_FOLDER not in trial.strategy:
        session = Session(drill, trial.seed)
        evening = Evening(announced(drill), trial.drill, trial.seed)
        _performed(strategy, Hands(session, session), evening)
        return session.record()
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "attempt"
        note = Note(trainee="Somebody", by="person", scenario=trial.drill, seed=trial.seed)
        with RunFolder.begin(folder, drill, note) as run:
            evening = Evening(announced(drill), trial.drill, trial.seed, folder)
            _performed(strategy, Hands(run.recorder, run.session), evening)
            return run.session.record()


def tried(trial: Trial) -> Made:
    """Make a trial and score it."""
    record = record_of(trial)
    tables = measured(record.scenario.airframe)
    card = scorecard(record, trial.strategy, trial.drill, shipped(), tables)
    rungs = [r for r in card["faults"] if r["id"] in record.hidden]
    lacks = {
        r["id"]: [k for k in ("noticed", "named", "cleared", "proved") if not r[k]] for r in rungs
    }
    return Made(
        trial=trial,
        verdict=card["verdict"],
        points=card["points"],
        wise=card["wise_refusal"],
        sound=card["sound_decision"],
        ladder=card["parts"]["ladder"],
        conduct=card["parts"]["conduct"],
        hop=card["parts"]["hop"],
        minutes=record.minutes,
        false_squawks=tuple(str(f["cause"]) for f in card["false_squawks"]),
        hazards=tuple(h["id"] for h in card["hazards"]),
        unearned=tuple(f"{name}: no {', '.join(k)}" for name, k in lacks.items() if k),
        crash=", ".join(record.crash),
    )


def trials(
    suite: str, names: Iterable[str], drills: Iterable[str], seeds: Iterable[int]
) -> list[Trial]:
    """Return the trials of some strategies at some drills with some seeds."""
    return [Trial(suite, n, d, s) for n in names for d in drills for s in seeds]


class Tries:
    """Trials on two processes. Use as a context."""

    def __init__(self) -> None:
        context = multiprocessing.get_context("spawn")  # fork and threads do not go together
        self._pool = ProcessPoolExecutor(max_workers=PROCESSES, mp_context=context)

    def __enter__(self) -> "Tries":
        return self

    def __exit__(self, *_: object) -> None:
        self._pool.shutdown(cancel_futures=True)

    def all(self, wanted: Sequence[Trial]) -> Iterator[Made]:
        """Yield what comes of each trial, in order."""
        yield from self._pool.map(tried, wanted)


def table(made: Sequence[Made]) -> str:
    """Return points by strategy: mean, least, most, cleared, and what each try came to."""
    rows = [f"{'strategy':44} tries cleared  mean  least   most"]
    for name in dict.fromkeys(m.trial.strategy for m in made):
        mine = [m for m in made if m.trial.strategy == name]
        points = [m.points for m in mine]
        cleared = sum(m.cleared for m in mine)
        mean = sum(points) / len(points)
        rows.append(
            f"{name:44} {len(mine):5} {cleared:7} {mean:5.1f} {min(points):6.1f} {max(points):6.1f}"
        )
    return "\n".join(rows)


def told(made: Made) -> str:
    """Return one try in a line or two."""
    word = "cleared" if made.cleared else "wise" if made.wise else "sound" if made.sound else "stay"
    return (
        f"  {made.points:6.1f} {word:8} {made.trial.strategy} | {made.trial.drill} "
        f"seed {made.trial.seed} | ladder {made.ladder:.2f} conduct {made.conduct:.2f} "
        f"hop {made.hop:.2f} {made.minutes:.0f} min | {'; '.join(made.unearned)}"
        f" | {len(made.false_squawks)} wrong: {', '.join(made.false_squawks[:4])}"
        f" | {', '.join(made.hazards)} {made.crash}"
    )


def failing(made: Sequence[Made], short: Callable[[Made], bool]) -> str:
    """Return the message of a failed test: the table, and each try that fell short."""
    return "\n".join(["", table(made), *(told(one) for one in made if short(one))])


def main() -> None:
    """Print the table of a suite."""
    parser = argparse.ArgumentParser(description="Points of each strategy of a suite")
    parser.add_argument("suite", choices=["adversaries", "honest"])
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--first-seed", type=int, default=0)
    parser.add_argument("--only", nargs="+", default=[""], help="part of a strategy's name")
    parser.add_argument("--drills", nargs="+", default=None)
    parser.add_argument("--verbose", action="store_true", help="tell each try")
    asked = parser.parse_args()
    names = [n for n in strategies(asked.suite) if any(part in n for part in asked.only)]
    seeds = range(asked.first_seed, asked.first_seed + asked.seeds)
    made = []
    with Tries() as tries:
        for one in tries.all(trials(asked.suite, names, asked.drills or DRILLS, seeds)):
            made.append(one)
            if asked.verbose:
                print(told(one), flush=True)
    print(table(made))


if __name__ == "__main__":
    main()
