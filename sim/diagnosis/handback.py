"""A drill handed back: the hop flown with the fault in, and the drill made of what somebody brought."""

from sim.diagnosis.flown import flown
from sim.diagnosis.readings import Unscored
from sim.diagnosis.reported import Answer
from sim.reproduce.answer.drill import Made, Symptoms, Tell, Wanted, made
from sim.reproduce.answer.story import Told, told
from sim.reproduce.answer.symptoms import sentence
from sim.reproduce.causes import Cause
from sim.reproduce.words.observed import observed
from sim.session.scenario import Scenario


def shown(drill: Scenario, seed: int) -> Symptoms:
    """Return what shows when a drill's aircraft is flown unchecked, steered and with the sticks let go."""
    flights = flown(Unscored(drill, seed))
    return frozenset().union(*(observed(flight).symptoms for flight in flights))


def story_of(answer: Answer, cause: Cause) -> Told:
    """Return the story as it may be told, without what names the cause."""
    return told(answer.story, cause.faults, sentence(answer.symptoms))


def handed_back(answer: Answer, cause: Cause, tell: Tell = lambda words, share: None) -> Made:
    """Return the drill that shows what was reported, with all that was tried.

    What a recording shows may come of how it was flown as well as of a fault. So where a drill of it
    does not show that, it is enough that it shows what a sound one does not. tell : is told what is
    being flown. Raises Refusal for a cause that is no fault.
    """
    wanted = Wanted(answer.airframe, story_of(answer, cause), answer.symptoms)
    found = made(cause, wanted, shown, tell)
    if found.drill is None and answer.curves and answer.symptoms:
        other = made(cause, wanted._replace(symptoms=()), shown, tell)
        return other if other.drill is not None else found
    return found
