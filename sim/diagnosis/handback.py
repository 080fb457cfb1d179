"""A drill handed back: the hop flown with the fault in, and the drill made of what somebody brought."""

import numpy as np

from sim.aircraft.changes import differing
from sim.diagnosis.flown import flown
from sim.diagnosis.readings import Unscored, drill
from sim.diagnosis.reported import Answer
from sim.faults.catalogue import CATALOGUE
from sim.faults.severity import put_in
from sim.reproduce.answer.drill import Made, Symptoms, Tell, Wanted, made
from sim.reproduce.answer.story import Told, told
from sim.reproduce.answer.symptoms import sentence
from sim.reproduce.causes import Cause
from sim.reproduce.recorded.places import place_of
from sim.reproduce.words.observed import observed
from sim.session.scenario import Scenario

TRIES = 48  # variations looked at; own: enough to meet each of four corners


def shown(hidden: Scenario, seed: int) -> Symptoms:
    """Return what shows when a drill's aircraft is flown unchecked, steered and with the sticks let go."""
    flights = flown(Unscored(hidden, seed))
    return frozenset().union(*(observed(flight).symptoms for flight in flights))


def placed(cause: Cause, airframe: str) -> Cause:
    """Return a cause with a variation that puts it where it says, where it names none itself.

    As it is where no variation does, or there is no place.
    """
    if cause.variation is not None or cause.place is None:
        return cause
    world = drill(None, 0.0, airframe).designed()
    for variation in range(TRIES):
        made = world
        rng = np.random.default_rng(variation)
        for fault in cause.faults:
            made = put_in(CATALOGUE[fault], made, cause.severity[1], rng)
        if place_of(differing(world, made)) == cause.place:
            return cause._replace(variation=variation)
    return cause


def story_of(answer: Answer, cause: Cause) -> Told:
    """Return the story as it may be told, without what names the cause."""
    return told(answer.story, cause.faults, sentence(answer.symptoms))


def handed_back(answer: Answer, cause: Cause, tell: Tell = lambda words, share: None) -> Made:
    """Return the drill that shows what was reported, with all that was tried.

    What a recording shows may come of how it was flown as well as of a fault. So where a drill of it
    does not show that, it is enough that it shows what a sound one does not. tell : is told what is
    being flown. Raises Refusal for a cause that is no fault.
    """
    cause = placed(cause, answer.airframe)
    wanted = Wanted(answer.airframe, story_of(answer, cause), answer.symptoms)
    found = made(cause, wanted, shown, tell)
    if found.drill is None and answer.curves and answer.symptoms:
        other = made(cause, wanted._replace(symptoms=()), shown, tell)
        return other if other.drill is not None else found
    return found
