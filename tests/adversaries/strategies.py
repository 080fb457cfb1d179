"""Strategies that ignore the readings, or use them without thought. None may pass.

What no score can stop is left out: whoever reads the drill's file, or runs the program's own source
with the drill's seed, knows what is hidden.
"""

from collections import Counter
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np

from sim.bench.evidence import measured
from sim.bench.lines import every_measure
from sim.bench.parts import PARTS
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.procedure.preparations import PREPARATIONS
from sim.session import actions as act
from sim.session.fixes import settings
from sim.session.record import Outcome
from sim.session.scenario import load
from sim.session.session import Session
from sim.session.view import View
from sim.trainees import careful
from sim.trainees.craftwork import at, calibrate_compass, plugged, props
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import planned
from tests.adversaries.ways import (
    EVERY,
    FAMILIES,
    HABITS,
    NEEDED,
    begin,
    by_danger,
    change_everything,
    claim,
    cure,
    every_check,
    fattest,
    finish,
    hop,
    lines_outside,
    point,
    prepare,
    set_everything,
    set_off,
    stay,
)
from tests.trials import DRILLS, Evening, Strategy

SAME: FaultId = "mag-hard-iron-offset"
FEW = 8  # claims; own: more than any drill hides
MOST_DANGEROUS = [name for name in by_danger() if CATALOGUE[name].hazard >= 4]


def changes_all(hands: Hands, evening: Evening) -> None:
    """Do every check unread, change everything, say nothing."""
    begin(hands)
    change_everything(hands)
    finish(hands, evening)


def claims_all_changes_all(hands: Hands, evening: Evening) -> None:
    """Claim every cause before anything is read, then change everything."""
    claim(hands, EVERY)
    changes_all(hands, evening)


def points_all_changes_all(hands: Hands, evening: Evening) -> None:
    """Claim every cause, each on its strongest line, then change everything."""
    begin(hands)
    point(hands, evening, EVERY)
    change_everything(hands)
    finish(hands, evening)


def sure_of_all(hands: Hands, evening: Evening) -> None:
    """The same, sure of everything."""
    begin(hands)
    point(hands, evening, EVERY, confidence=4)
    change_everything(hands)
    finish(hands, evening)


def one_vague_claim_a_family(hands: Hands, evening: Evening) -> None:
    """Claim the vaguest cause of each family, then change everything."""
    begin(hands)
    point(hands, evening, [fattest(family) for family in FAMILIES])
    change_everything(hands)
    finish(hands, evening)


def vague_claims_last(hands: Hands, evening: Evening) -> None:
    """Change everything first and claim the vaguest cause of each family afterwards."""
    begin(hands)
    change_everything(hands)
    point(hands, evening, [fattest(family) for family in FAMILIES])
    finish(hands, evening)


HARMLESS: dict[FaultId, tuple[tuple[str, object], ...]] = {
    "yaw-channel-reversed": (("setup.transmitter.yaw.direction", -1),),
    "tilt-limit-wild": (("setup.controller.tilt_limit_deg", 70.0),),
    "low-volt-alarm-unset": (("setup.controller.low_cell_alarm_v", 3.0),),
    "mag-mount-rotated": (("setup.controller.compass_turn_deg", 90),),
    "idle-too-high": (("setup.controller.idle", 0.2),),
    "position-hold-indoors": (("setup.controller.position_hold", True),),
}  # faults of six families that a setting makes and another ends


def makes_harmless_faults(hands: Hands, evening: Evening) -> None:
    """Make faults in six families, claim them where they show, change everything."""
    with suppress(Refusal):
        plugged(hands)
    for values in HARMLESS.values():
        for key, value in values:
            hands.tries(act.Set.model_validate({"key": key, "value": value}))
    begin(hands)
    point(hands, evening, HARMLESS, confidence=4)
    change_everything(hands)
    finish(hands, evening)


def guesses_by_danger(hands: Hands, evening: Evening) -> None:
    """Claim and cure the most dangerous causes, never mind what was read."""
    begin(hands)
    for cause in by_danger()[:FEW]:
        point(hands, evening, [cause], confidence=2)
        cure(hands, [cause])
    finish(hands, evening)


def claims_all_then_careful(hands: Hands, evening: Evening) -> None:
    """Claim every cause first, then work with care."""
    claim(hands, EVERY)
    careful.perform(hands, evening.drill, np.random.default_rng(evening.seed))


def points_all_then_careful(hands: Hands, evening: Evening) -> None:
    """Do every check, claim every cause on its strongest line, then work with care."""
    begin(hands)
    point(hands, evening, EVERY)
    careful.perform(hands, evening.drill, np.random.default_rng(evening.seed))


def withdraws_all(hands: Hands, evening: Evening) -> None:
    """Claim every cause, take every claim back, change everything."""
    begin(hands)
    point(hands, evening, EVERY)
    for cause in EVERY:
        hands.tries(act.Withdraw(item=cause))
    change_everything(hands)
    finish(hands, evening)


def most_shared_lines(hands: Hands, evening: Evening) -> None:
    """Claim eight causes on the lines that speak for most causes, then change everything."""
    begin(hands)
    shared = sorted(measured(evening.drill.airframe).moves.items(), key=lambda row: -len(row[1]))
    for (check, measure), moves in shared[:FEW]:
        reading = hands.see().readings.get(check)
        lines = [] if reading is None else list(reading.values)
        line = next((k for k in lines if measure in every_measure({k: 0.0})), "")
        cause = moves[0].fault
        hands.tries(
            act.Squawk(
                item=cause, cause=cause, confidence=1, check=check if line else None, line=line
            )
        )
    change_everything(hands)
    finish(hands, evening)


def flies_at_once(hands: Hands, evening: Evening) -> None:
    """Fit the propellers and fly; calibrate the compass if it will not arm."""
    set_off(hands, evening)
    if hands.see().phase != "debrief":
        with suppress(Refusal):
            calibrate_compass(hands)
        set_off(hands, evening)


def hops_again_and_again(hands: Hands, evening: Evening) -> None:
    """Fly, claim every cause, change everything unread, fly again."""
    begin(hands)
    _hop_and_return(hands, evening)
    claim(hands, EVERY)
    change_everything(hands)
    finish(hands, evening)


def _hop_and_return(hands: Hands, evening: Evening) -> None:
    """Fly as the careful do, and carry it back to the bench."""
    with suppress(Refusal):
        hop(hands, evening)
        at(hands, "bench", "hands")
        props(hands, False)


class EyesShutToPeople(Hands):
    """Hands that put no goggles on, ask nobody to watch, and see nobody."""

    def do(self, action: act.Action) -> Outcome:
        """Do one thing, unless it is for people's sake."""
        if isinstance(action, act.Prepare) and action.what in ("goggles", "spotter"):
            return Outcome("Never mind.")
        if isinstance(action, act.Squawk) and action.cause in ("no-eye-protection", "no-spotter"):
            return Outcome("Never mind.")
        return super().do(action)


def careful_without_goggles(hands: Hands, evening: Evening) -> None:
    """Work with care, without goggles and spotter."""
    blind = EyesShutToPeople(hands._drives, hands.session)
    careful.perform(blind, evening.drill, np.random.default_rng(evening.seed))


def repeats_every_check(hands: Hands, evening: Evening) -> None:
    """Do every check ten times, claim what the last of them speak for first, change everything."""
    prepare(hands, HABITS)
    every_check(hands, times=10)
    first = list(dict.fromkeys(spoken[0] for _, _, spoken in lines_outside(hands, evening.drill)))
    point(hands, evening, first[:FEW], confidence=2)
    change_everything(hands)
    finish(hands, evening)


def _at_odds(view: View, hands: Hands) -> list[FaultId]:
    """Return causes whose cure would change a field of the view from what it shows."""
    told: list[FaultId] = []
    for what, (_, values) in PREPARATIONS.items():
        for path, value in values.items():
            part, _, name = path.rpartition(".")
            there = {"conduct": view.conduct, "site.room": view.room}.get(part)
            if there is not None and getattr(there, name, value) != value:
                told += [c for c in EVERY if f"prepare:{what}" in CATALOGUE[c].fixes]
    if view.setup is None:
        return list(dict.fromkeys(told))
    shown = {"setup": view.setup.model_dump()}
    for key in settings():
        at: Any = shown
        for word in key.split("."):
            at = at[word]
        said = " ".join(at) if isinstance(at, tuple) else at
        if said != planned(hands.sheet, key):
            told += [c for c in EVERY if key in CATALOGUE[c].fixes]
    return list(dict.fromkeys(told))


def reads_the_fields(hands: Hands, evening: Evening) -> None:
    """Compare the first view's fields with what they should be, and claim and cure what differs."""
    told = _at_odds(hands.see(), hands)
    begin(hands)
    point(hands, evening, told, confidence=2)
    cure(hands, told)
    finish(hands, evening)


def _hinted(hands: Hands) -> list[FaultId]:
    """Try everything that could be refused; return the causes that the refusals' words name."""
    told: list[FaultId] = []
    prepare(hands, ())
    attempts: list[act.Action] = [
        *(act.Swap.model_validate({"part": part}) for part in sorted(PARTS)),
        *(act.Prepare.model_validate({"what": what}) for what in PREPARATIONS),
        act.Arm(),
        act.Calibrate(what="level"),
        act.Calibrate(what="voltage"),
        act.FitProps(),
        act.Arm(),
        act.RemoveProps(),
    ]
    with suppress(Refusal):
        plugged(hands)
        attempts += [act.Arm()]
    for attempt in attempts:
        try:
            hands.do(attempt)
        except Refusal as refusal:
            words = str(refusal).lower()
            told += [c for c in EVERY if CATALOGUE[c].item in words]
    hands.tries(act.Disarm())
    return list(dict.fromkeys(told))


def reads_refusals(hands: Hands, evening: Evening) -> None:
    """Try everything, and claim and cure whatever a refusal's words name."""
    told = _hinted(hands)
    begin(hands)
    point(hands, evening, told, confidence=2)
    cure(hands, told)
    finish(hands, evening)


def _not_to_be_had(hands: Hands) -> list[FaultId]:
    """Return the causes whose cure is not to be had tonight, by asking for every part and thing."""
    gone: list[str] = []
    for fix in [f"swap:{p}" for p in sorted(PARTS)] + [f"prepare:{w}" for w in PREPARATIONS]:
        do, _, what = fix.partition(":")
        words = {"do": do, ("part" if do == "swap" else "what"): what}
        try:
            hands.do(act.ACTION.validate_python(words))
        except Refusal as refusal:
            gone += [fix] * ("not_tonight" in refusal.reasons)
    return [c for c in EVERY if set(CATALOGUE[c].fixes) & set(gone)]


def asks_for_every_part(hands: Hands, evening: Evening) -> None:
    """Take what the parts bin lacks for what is broken, and stay; fly if it lacks nothing."""
    begin(hands)
    told = _not_to_be_had(hands)
    point(hands, evening, told, confidence=2)
    if told:
        stay(hands, told)
    finish(hands, evening)


def _by_list(hands: Hands, evening: Evening, causes: list[FaultId]) -> None:
    begin(hands)
    point(hands, evening, causes, confidence=2)
    cure(hands, causes)
    finish(hands, evening)


def first_of_each_list(hands: Hands, evening: Evening) -> None:
    """Claim and cure the first cause of each family, in the order of the catalogue."""
    firsts = {fault.family: name for name, fault in reversed(CATALOGUE.items())}
    _by_list(hands, evening, list(firsts.values()))


def first_by_alphabet(hands: Hands, evening: Evening) -> None:
    """Claim and cure the first eight causes of the alphabet."""
    _by_list(hands, evening, EVERY[:FEW])


def last_by_alphabet(hands: Hands, evening: Evening) -> None:
    """Claim and cure the last eight causes of the alphabet."""
    _by_list(hands, evening, EVERY[-FEW:])


def always_the_same_guess(hands: Hands, evening: Evening) -> None:
    """Be certain of one cause, which one of the drills does hide; cure it and prove it."""
    begin(hands)
    point(hands, evening, [SAME], confidence=4)
    cure(hands, [SAME])
    finish(hands, evening)


def same_guess_and_calls(hands: Hands, evening: Evening) -> None:
    """Do every check unread, be certain of one cause, and call the instructor because of it."""
    begin(hands)
    point(hands, evening, [SAME], confidence=4)
    stay(hands, [SAME])


def claims_some_and_calls(hands: Hands, evening: Evening) -> None:
    """The same with a cause of each family, none of them certain."""
    begin(hands)
    point(hands, evening, [fattest(family) for family in FAMILIES], confidence=1)
    stay(hands, ["something may be wrong"])


def named_in(folder: Path | None) -> list[FaultId]:
    """Return the causes whose names stand in the names or the contents of files below a folder."""
    files = sorted(folder.rglob("*")) if folder is not None else []
    text = "".join(
        path.name + (path.read_text("utf-8", "replace") if path.is_file() else "") for path in files
    )
    return [cause for cause in EVERY if cause in text]


def reads_the_run_folder(hands: Hands, evening: Evening) -> None:
    """Claim and cure every cause that the run folder names before anything is claimed."""
    told = named_in(evening.folder)
    _by_list(hands, evening, told)


def claims_whatever_is_outside(hands: Hands, evening: Evening) -> None:
    """Claim, for each line outside its inner edge, the first cause it speaks for; change all."""
    begin(hands)
    for check, line, spoken in list(lines_outside(hands, evening.drill)):
        told = act.Squawk(
            item=f"{check} {line}", cause=spoken[0], confidence=1, check=check, line=line
        )
        hands.tries(told)
    change_everything(hands)
    finish(hands, evening)


def all_that_is_spoken_for(hands: Hands, evening: Evening) -> None:
    """Claim every cause that any line outside its inner edge speaks for, and cure them all."""
    begin(hands)
    rows = list(lines_outside(hands, evening.drill))
    grounds: dict[FaultId, tuple[CheckKey, str]] = {}
    for check, line, spoken in rows:
        for cause in spoken:
            grounds.setdefault(cause, (check, line))
    for cause, (check, line) in grounds.items():
        hands.tries(act.Squawk(item=cause, cause=cause, confidence=1, check=check, line=line))
    cure(hands, grounds)
    finish(hands, evening)


def speaks_most_often(hands: Hands, evening: Evening) -> None:
    """Claim and cure the eight causes that most lines outside speak for."""
    begin(hands)
    votes = Counter(c for _, _, spoken in lines_outside(hands, evening.drill) for c in spoken)
    told = [cause for cause, _ in votes.most_common(FEW)]
    point(hands, evening, told, confidence=2)
    cure(hands, told)
    finish(hands, evening)


class MixedUp(Hands):
    """Hands that write another cause than the one that is meant."""

    def __init__(self, hands: Hands, rng: np.random.Generator) -> None:
        super().__init__(hands._drives, hands.session)
        self._other = dict(zip(EVERY, np.roll(rng.permutation(EVERY), 1).tolist(), strict=True))

    def do(self, action: act.Action) -> Outcome:
        """Do one thing; a claim names another cause."""
        if isinstance(action, act.Squawk):
            action = action.model_copy(update={"cause": self._other[action.cause]})
        return super().do(action)


def careful_with_claims_shuffled(hands: Hands, evening: Evening) -> None:
    """Work with care, and write down causes drawn by lot."""
    rng = np.random.default_rng(evening.seed)
    careful.perform(MixedUp(hands, rng), evening.drill, rng)


def copies_the_evening_before(hands: Hands, evening: Evening) -> None:
    """Claim and cure what a careful trainee wrote down at the drill before this one."""
    before = load(DRILLS[DRILLS.index(evening.name) - 1])
    session = Session(before, evening.seed + 1)
    with suppress(Refusal):
        careful.perform(Hands(session, session), before, np.random.default_rng(evening.seed))
    sheet = [e.action for e in session.record().events if isinstance(e.action, act.Squawk)]
    begin(hands)
    for squawk in sheet:
        hands.tries(squawk)
    cure(hands, [squawk.cause for squawk in sheet])
    finish(hands, evening)


def good_manners_only(hands: Hands, evening: Evening) -> None:
    """Take the ordinary precautions, try what stops the motors, fly nicely."""
    prepare(hands, HABITS)
    every_check(hands, checks=NEEDED)
    set_off(hands, evening)
    if hands.see().phase != "debrief":
        with suppress(Refusal):
            calibrate_compass(hands)
        set_off(hands, evening)


def every_check_unread(hands: Hands, evening: Evening) -> None:
    """Take the ordinary precautions, do every check unread, and fly."""
    prepare(hands, HABITS)
    finish(hands, evening)


def every_precaution(hands: Hands, evening: Evening) -> None:
    """Prepare all there is to prepare, do every check unread, and fly."""
    prepare(hands, PREPARATIONS)
    finish(hands, evening)


def all_set_to_the_sheet(hands: Hands, evening: Evening) -> None:
    """Set every value to the sheet, do every check unread, and fly."""
    prepare(hands, HABITS)
    set_everything(hands)
    finish(hands, evening)


def calls_the_instructor_at_once(hands: Hands, evening: Evening) -> None:
    """Stay at once, and give every dangerous cause as the reason."""
    stay(hands, MOST_DANGEROUS)


def claims_danger_and_calls(hands: Hands, evening: Evening) -> None:
    """Do every check, claim every dangerous cause on its strongest line, and stay."""
    begin(hands)
    point(hands, evening, MOST_DANGEROUS)
    stay(hands, MOST_DANGEROUS)


def always_stays(hands: Hands, evening: Evening) -> None:
    """Do every check, say nothing, and stay."""
    begin(hands)
    stay(hands, ["something may be wrong"])


STRATEGIES: dict[str, Strategy] = {
    way.__name__.replace("_", " "): way
    for way in (
        changes_all,
        claims_all_changes_all,
        points_all_changes_all,
        sure_of_all,
        one_vague_claim_a_family,
        vague_claims_last,
        makes_harmless_faults,
        guesses_by_danger,
        claims_all_then_careful,
        points_all_then_careful,
        withdraws_all,
        most_shared_lines,
        flies_at_once,
        hops_again_and_again,
        careful_without_goggles,
        repeats_every_check,
        reads_the_fields,
        reads_refusals,
        asks_for_every_part,
        first_of_each_list,
        first_by_alphabet,
        last_by_alphabet,
        always_the_same_guess,
        same_guess_and_calls,
        claims_some_and_calls,
        reads_the_run_folder,
        claims_whatever_is_outside,
        all_that_is_spoken_for,
        speaks_most_often,
        careful_with_claims_shuffled,
        copies_the_evening_before,
        good_manners_only,
        every_check_unread,
        every_precaution,
        all_set_to_the_sheet,
        calls_the_instructor_at_once,
        claims_danger_and_calls,
        always_stays,
    )
}
