"""What those who ignore the readings, or use them without thought, have in common."""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from typing import get_args

from sim.aircraft.fields import LINE_LENGTH
from sim.bench.evidence import Measured, measured
from sim.bench.lines import measures
from sim.bench.moves import Move
from sim.bench.parts import PARTS
from sim.bench.reading import Reading
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId, FixKey
from sim.procedure.cards import CARDS
from sim.procedure.preparations import ORDINARY, PREPARATIONS
from sim.session import actions as act
from sim.session.fixes import settings
from sim.session.scenario import Scenario
from sim.trainees import careful
from sim.trainees.craftwork import mend, plugged, props, read, settle, unplugged
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import planned
from tests.trials import Evening

HABITS = tuple(what for what in PREPARATIONS if what in ORDINARY)  # in an order to keep
ONE_STEP = ("level", "sticks", "drives", "voltage")  # calibrations done with one action
ON_BENCH = tuple(dict.fromkeys(i.check for card in CARDS[:-1] for i in card.items))
IN_ORDER = (*ON_BENCH, *(i.check for i in CARDS[-1].items if i.check not in ON_BENCH))
NEEDED: tuple[CheckKey, ...] = ("failsafe", "switches", "people-and-room")
FAMILIES = sorted({fault.family for fault in CATALOGUE.values()})
EVERY = sorted(CATALOGUE)


def prepare(hands: Hands, words: Iterable[str]) -> None:
    """Set people and room to rights."""
    for what in words:
        hands.tries(act.Prepare.model_validate({"what": what}))


def every_check(hands: Hands, times: int = 1, checks: Iterable[CheckKey] = IN_ORDER) -> None:
    """Do every check that can be done, in the order of the cards, and look at none."""
    for check in checks:
        for _ in range(times):
            with suppress(Refusal):
                read(hands, check)


def begin(hands: Hands) -> None:
    """Take the ordinary precautions and do every check of the bench, and look at none."""
    prepare(hands, HABITS)
    every_check(hands, checks=ON_BENCH)


def set_everything(hands: Hands) -> None:
    """Set every value to what the build sheet plans; what the sheet does not plan stays."""
    with suppress(Refusal):
        plugged(hands)
    for key in settings():
        with suppress(Refusal, KeyError):
            hands.do(act.Set(key=key, value=planned(hands.sheet, key)))


def change_everything(hands: Hands, preparations: Iterable[str] = tuple(PREPARATIONS)) -> None:
    """Prepare, swap, set and calibrate everything there is."""
    prepare(hands, preparations)
    with suppress(Refusal):
        unplugged(hands)
    for part in sorted(PARTS):
        hands.tries(act.Swap.model_validate({"part": part}))
    set_everything(hands)
    for what in ("compass", "faces", *ONE_STEP):
        change(hands, f"calibrate:{what}")


def change(hands: Hands, fix: str) -> None:
    """Make one change, a setting as the sheet plans it; what is refused is left."""
    with suppress(Refusal, KeyError):
        if fix.startswith("setup."):
            settle(hands, (act.Set(key=fix, value=planned(hands.sheet, fix)),))
        else:
            mend(hands, _fix(fix))


def _fix(word: str) -> FixKey:
    known: dict[str, FixKey] = {key: key for key in get_args(FixKey)}
    return known[word]


def cure(hands: Hands, causes: Iterable[FaultId]) -> None:
    """Do all that is said to help against some causes."""
    for cause in causes:
        for fix in CATALOGUE[cause].fixes:
            change(hands, fix)


def hop(hands: Hands, evening: Evening) -> None:
    """Fit the propellers, go to the pad and fly as the careful do; raises Refusal."""
    props(hands, True)
    unplugged(hands)
    hands.do(act.Carry(to="pad", hold="standing"))
    plugged(hands)
    careful.fly(hands, evening.drill)


def set_off(hands: Hands, evening: Evening) -> None:
    """Fly as the careful do, and end."""
    with suppress(Refusal):
        hop(hands, evening)
    hands.tries(act.Disarm())
    hands.tries(act.UnplugPack())
    hands.tries(act.Finish())


def finish(hands: Hands, evening: Evening) -> None:
    """Do every check once more, as a proof of whatever was changed, and fly."""
    every_check(hands)
    set_off(hands, evening)


def tables(drill: Scenario) -> Measured:
    """Return what is known of this kind of aircraft."""
    return measured(drill.airframe)


def strongest(drill: Scenario) -> dict[FaultId, Move]:
    """Return the line of the tables that shows each fault best."""
    best: dict[FaultId, Move] = {}
    for rows in tables(drill).moves.values():
        for move in rows:
            if move.fault not in best or move.power > best[move.fault].power:
                best[move.fault] = move
    return best


def line_of(move: Move, readings: dict[CheckKey, Reading]) -> str:
    """Return the first line of a reading that a move is about; empty if it was not read."""
    values = readings[move.check].values if move.check in readings else {}
    return next((key for key in values if move.measure in measures(values, key)), "")


def claim(hands: Hands, causes: Iterable[FaultId], confidence: int = 1) -> None:
    """Claim causes on nothing."""
    for cause in causes:
        hands.tries(act.Squawk(item=cause, cause=cause, confidence=confidence))


def point(hands: Hands, evening: Evening, causes: Iterable[FaultId], confidence: int = 1) -> None:
    """Claim causes, each on the line that shows it best by the tables, whatever that line says."""
    best, readings = strongest(evening.drill), hands.see().readings
    for cause in causes:
        move = best.get(cause)
        line = "" if move is None else line_of(move, readings)
        check = move.check if move is not None and line else None
        told = act.Squawk(item=cause, cause=cause, confidence=confidence, check=check, line=line)
        hands.tries(told)


def lines_outside(hands: Hands, drill: Scenario) -> Iterator[tuple[CheckKey, str, list[FaultId]]]:
    """Yield each line read that lies outside its inner edge, and what it speaks for, in order."""
    known = tables(drill)
    for check, reading in hands.see().readings.items():
        for key in reading.values:
            if spoken := known.spoken_for(check, reading.values, key):
                yield check, key, sorted(spoken)


def stay(hands: Hands, reasons: Iterable[str]) -> None:
    """Pull the plug and call the instructor, with as many reasons as there is room for."""
    hands.tries(act.UnplugPack())
    told = ""
    for reason in reasons:
        if len(told) + len(reason) + 2 <= LINE_LENGTH:
            told += f"{reason}, "
    hands.do(act.Declare(verdict="stay on the bench", reason=told))


def by_danger() -> list[FaultId]:
    """Return all causes, the most dangerous first."""
    return sorted(CATALOGUE, key=lambda name: -CATALOGUE[name].hazard)


def fattest(family: str) -> FaultId:
    """Return the vaguest cause of a family: the one whose item most others share."""
    causes = [name for name in EVERY if CATALOGUE[name].family == family]
    items = [CATALOGUE[name].item for name in causes]
    return max(causes, key=lambda name: items.count(CATALOGUE[name].item))
