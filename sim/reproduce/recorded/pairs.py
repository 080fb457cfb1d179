"""Two faults at once: each of the likeliest with every other one put in beside it, and flown.

A first look, in which what two faults do is added, chooses the ways; of those that lift or lower a rotor together
it is far off, so the chosen ones are taken through the recording as an aircraft that has both.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from math import log
from typing import Any, NamedTuple

import numpy as np
from pydantic import ValidationError

from sim.aircraft.changes import differing, with_values
from sim.aircraft.world import World
from sim.keys import FaultId
from sim.reproduce.causes import stated_alike
from sim.reproduce.recorded.evidence import Fit, Look, fit
from sim.reproduce.recorded.hypotheses import Hypothesis
from sim.reproduce.recorded.weigher import ROUNDS, Weigher
from sim.reproduce.recording import Values

BASES = 3  # own: likeliest faults to each of which a second one is put
WAYS, FLOWN = 2, 64  # own: of each second fault so many ways, and so many in all, are flown
PARTNERS = 8  # own: second faults fitted with each first one
Flying = Callable[[Sequence[Hypothesis]], Values]


class Pair(NamedTuple):
    """Two ways at once: their numbers, the likelier first, their evidence, averaged over all ways, and fit."""

    first: int
    second: int
    log_evidence: float
    fit: Fit


def _added(sound: Any, first: Any, second: Any) -> Any:
    """Return what two changes of one value come to: numbers add up, of anything else the second counts."""
    if isinstance(sound, tuple) and isinstance(first, tuple) and isinstance(second, tuple):
        return tuple(_added(*three) for three in zip(sound, first, second, strict=True))
    if all(isinstance(x, float) for x in (sound, first, second)):
        return first + second - sound
    return second if second != sound else first


def both(sound: World, first: World, second: World) -> World | None:
    """Return an aircraft with what two others have; None if there can be none."""
    ours, theirs = differing(sound, first), differing(sound, second)
    values = {key: new for key, (_, new) in theirs.items()}
    for key in ours.keys() & theirs.keys():
        values[key] = _added(ours[key][0], ours[key][1], theirs[key][1])
    try:
        return with_values(first, values)
    except (ValidationError, KeyError):
        return None


def do_the_same(first: FaultId, second: FaultId) -> bool:
    """Tell whether two faults do the same to a flight: both at once are one that is worse."""
    return second == first or stated_alike((first,), (second,))


class _Base:
    """A first fault, to which others are put."""

    def __init__(self, weigher: Weigher, number: int, fits: dict[int, Fit]) -> None:
        self.weigher, self.number, self.start = weigher, number, fits[number]
        self.hypothesis = weigher.every[number]
        self.residual, self.sigmas, self.worse = weigher.parts(number)
        self.look = Look(weigher.columns, weigher.noise, self.start)
        self.flown: dict[int, Values] = {}
        self.looks = {i: self.looked(i) for i in fits}

    def left(self, second: int) -> tuple[Values, Values, Values | None]:
        """Return (residual, sigmas, column of severity) of a second fault beside this one."""
        residual, sigmas, worse = self.weigher.parts(second)
        if second in self.flown:
            return self.weigher.recorded - self.flown[second], sigmas, worse
        return (
            residual + self.residual - (self.weigher.recorded - self.weigher.sound),
            sigmas,
            worse,
        )

    def looked(self, second: int) -> float:
        """Return the evidence of a second fault beside this one, as it first looks."""
        return self.look.fit(*self.left(second)).log_evidence

    def beside(self) -> dict[int, float]:
        """Return what speaks for each second fault beside this one, nats, as it first looks."""
        alone = self.look.fit(self.residual, self.sigmas, self.worse).log_evidence
        return {i: evidence - alone for i, evidence in self.looks.items()}

    def likeliest(self, some: Iterable[int], ways: int) -> list[int]:
        """Return second faults, likeliest first, so many ways of each."""
        of: Counter[FaultId] = Counter()
        chosen = []
        for i in sorted(some, key=lambda k: -self.looks[k]):
            fault = self.weigher.every[i].fault
            if of[fault] < ways and not do_the_same(self.hypothesis.fault, fault):
                of[fault] += 1
                chosen.append(i)
        return chosen

    def fly(self, sound: World, some: Sequence[int], flying: Flying) -> None:
        """Take an aircraft with both through the recording, for each second fault that can stand beside."""
        first = self.hypothesis
        made: dict[int, Hypothesis] = {}
        for i in some:
            second = self.weigher.every[i]
            if first.world is not None and second.world is not None:
                world = both(sound, first.world, second.world)
                if world is not None:
                    made[i] = second._replace(world=world)
        if made:
            self.flown |= dict(zip(made, flying(list(made.values())), strict=True))
            self.looks |= {i: self.looked(i) for i in made}

    def joined(self, second: int) -> Fit:
        """Return the fit of both."""
        weigher, count = self.weigher, len(self.weigher.sigmas)
        residual, wide, beside = self.left(second)
        added = [x for x in (self.worse, beside) if x is not None]
        columns = np.column_stack([weigher.columns, *added]) if added else weigher.columns
        sigmas = np.concatenate(
            [np.maximum(self.sigmas[:count], wide[:count]), np.ones(len(added))]
        )
        found = []
        for delta in (self.start.delta, weigher.none.delta, np.zeros(count)):
            start = np.concatenate([delta[:count], np.zeros(len(added))])
            begin = self.start._replace(delta=start)
            found.append(fit(residual, columns, sigmas, weigher.noise, begin, ROUNDS))
        return max(found, key=lambda fitted: fitted.log_evidence)


class Paired(NamedTuple):
    """The likeliest pairs, and what speaks for each second way beside each first fault, nats, as it first looks."""

    pairs: list[Pair]
    beside: dict[FaultId, dict[int, float]]


def paired(
    weigher: Weigher, fits: dict[int, Fit], firsts: Sequence[int], sound: World, flying: Flying
) -> Paired:
    """Return the likeliest pairs: the likeliest faults, each with what explains most of the rest.

    firsts : ways of different faults, likeliest first; sound : the aircraft as designed; flying : takes
    hypotheses through the recording.
    """
    ways = Counter(weigher.every[i].fault for i in fits)
    found: list[Pair] = []
    beside: dict[FaultId, dict[int, float]] = {}
    for number in firsts[:BASES]:
        base = _Base(weigher, number, fits)
        some = base.likeliest(fits, WAYS)[:FLOWN]
        base.fly(sound, some, flying)
        beside[base.hypothesis.fault] = base.beside()
        for second in base.likeliest(some, 1)[:PARTNERS]:
            width = log(ways[base.hypothesis.fault]) + log(ways[weigher.every[second].fault])
            joined = base.joined(second)
            found.append(Pair(number, second, joined.log_evidence - width, joined))
    return Paired(found, beside)
