"""Changes that nothing called for: they cured nothing, and no reading spoke for them."""

from collections.abc import Iterator

from sim.aircraft.blank import TOLD_BY, Blank
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId, FixKey
from sim.procedure.preparations import ORDINARY
from sim.scoring.case import Case
from sim.session.actions import Answer, Calibrate, Prepare, Set, Squawk, Swap, Withdraw
from sim.session.fixes import fix_of
from sim.session.record import Event


def parts_used(case: Case) -> int:
    """Return how many parts came out of the bin."""
    return sum(isinstance(e.action, Swap) for e in case.events)


def changes(events: tuple[Event, ...], blank: tuple[Blank, ...]) -> Iterator[tuple[int, FixKey]]:
    """Yield each change that may be needless.

    Not among them: a setting set to what it is, the first calibration of each kind, what a blank
    board has to be told first, and the ordinary precautions of the cards.
    """
    calibrated: set[FixKey] = set()
    untold = {fix for fix, what in TOLD_BY.items() if what in blank}
    for i, event in enumerate(events):
        fix = fix_of(event.action)
        if fix is None:
            continue
        match event.action:
            case Set() if event.changed:
                if fix not in untold:
                    yield i, fix
                untold.discard(fix)
            case Swap():
                yield i, fix
            case Prepare(what=what) if what not in ORDINARY:
                yield i, fix
            case Calibrate():
                if fix in calibrated:
                    yield i, fix
                calibrated.add(fix)


def called_for(case: Case) -> list[frozenset[FixKey]]:
    """Return which changes the readings up to each event call for.

    The last reading of each check counts: a line outside its outer edge calls for every fix of what
    it speaks for.
    """
    by_check: dict[str, frozenset[FixKey]] = {}
    found = []
    for at in range(len(case.events)):
        if at in case.readings:
            check, values = case.readings[at]
            spoken = {
                cause
                for line in values
                for cause in case.measured.spoken_for(check, values, line, "outer")
            }
            by_check[check] = frozenset(fix for c in spoken for fix in CATALOGUE[c].fixes)
        found.append(frozenset().union(*by_check.values()))
    return found


def _runs_of_settings(case: Case) -> Iterator[list[int]]:
    """Yield the settings made at once, one after the other, talk aside."""
    run: list[int] = []
    for i, event in enumerate(case.events):
        if isinstance(event.action, Set):
            run.append(i)
        elif not isinstance(event.action, Squawk | Withdraw | Answer):
            yield run
            run = []
    yield run


def needless(case: Case, noticed: frozenset[FaultId]) -> list[FixKey]:
    """Return the changes that were needless, in order.

    A change is not if it is a fix of a fault there (or of a deviation that is none yet), if a fault
    went with it, or if a reading called for it. Settings made at once are one act: if a fault that
    was noticed went with them, none of them was needless.
    """
    one_act = {
        i
        for run in _runs_of_settings(case)
        if run and noticed & (case.present_before[run[0]] - case.present_before[run[-1] + 1])
        for i in run
    }
    wanted = called_for(case)
    found = []
    for i, fix in changes(case.events, case.record.scenario.blank):
        there, after = case.present_before[i], case.present_before[i + 1]
        belongs = any(fix in CATALOGUE[f].fixes for f in there | case.deviations)
        if not (belongs or there - after or i in one_act or fix in wanted[i]):
            found.append(fix)
    return found
