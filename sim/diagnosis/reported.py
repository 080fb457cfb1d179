"""The whole answer to what somebody brought: causes, what decided, and the check to do next."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from sim.aircraft import library
from sim.diagnosis.nextcheck import NextCheck, next_checks
from sim.diagnosis.table import Table
from sim.diagnosis.table import shipped as detection
from sim.errors import Refusal
from sim.reproduce.answer.blind import blind
from sim.reproduce.answer.compared import curves
from sim.reproduce.answer.curves import Curve, deciding, moments
from sim.reproduce.answer.ranking import as_document, ranked, silent_told
from sim.reproduce.answer.seen import symptoms_of
from sim.reproduce.answer.symptoms import sentence
from sim.reproduce.causes import Causes, hidden_of, together
from sim.reproduce.recorded.finding import weighed
from sim.reproduce.recorded.summing import causes_of
from sim.reproduce.recording import Recording
from sim.reproduce.words import table as symptoms
from sim.reproduce.words.observed import CUT
from sim.reproduce.words.report import LET_GO, Report
from sim.reproduce.words.weighing import causes

LISTENING = "Weighing the words against simulated hops"
FORCING = "Taking aircraft with every fault through the recording"
COMPARING = "Comparing what explains it"
Tell = Callable[[str, float], None]
"""Is told what is being done and how far it is, 0..1."""


class Brought(NamedTuple):
    """What somebody brings: a recording, a report, or both, and which airframe flew."""

    airframe: str
    recording: Recording | None = None
    report: Report | None = None


@dataclass(frozen=True)
class Answer:
    """What is made of a recording, a report, or both.

    airframe : that flew; curves : every channel compared, for a recording; checks : worth doing
    next, the best first; blind : what could not be told of it, in sentences; story, symptoms : of
    the report or read off the recording, the plainest first.
    """

    causes: Causes
    airframe: str
    curves: tuple[Curve, ...]
    checks: tuple[NextCheck, ...]
    blind: tuple[str, ...]
    story: str
    symptoms: tuple[str, ...]

    @property
    def deciding(self) -> list[Curve]:
        """The channels that decided, the most telling first."""
        return deciding(self.curves)


def checks_for(causes: Causes, table: Table) -> tuple[NextCheck, ...]:
    """Return the checks worth doing next; none where nothing fits, as nothing is known then."""
    return tuple(next_checks(table, causes)) if causes.fits else ()


def said(report: Report) -> tuple[str, ...]:
    """Return the symptoms of a report, in its own order."""
    words: list[str] = [*(report.moved or ()), *(report.heard or ())]
    words += [word for word in report.sticks or () if word != LET_GO]
    return (*words, *((CUT,) if report.pilot == "cut" else ()))


def answered(brought: Brought, tell: Tell = lambda words, share: None) -> Answer:
    """Return the answer to what was brought. tell : what is being done, and how far it is.

    Raises Refusal if nothing was brought, InputError for an airframe that can't be read.
    """
    sources: list[Causes] = []
    found: tuple[Curve, ...] = ()
    unseen: tuple[str, ...] = ()
    story = ""
    shown: tuple[str, ...] = ()
    if brought.report is not None:
        tell(LISTENING, 0.0)
        sources.append(causes(brought.report, symptoms.shipped(), detection().called))
        story, shown = brought.report.story, said(brought.report)
    if brought.recording is not None:
        airframe = library.airframe(brought.airframe)
        flown = weighed(brought.recording, airframe, lambda share: tell(FORCING, share))
        tell(COMPARING, 1.0)
        sources.append(causes_of(flown))
        found = curves(flown, sources[-1])
        unseen = (*blind(flown.flight), *silent_told(sources[-1]))
        read = symptoms_of(flown.flight, airframe)
        story, shown = story or sentence(read), shown or read
    if not sources:
        raise Refusal("Bring a recording or a report.", "value")
    both = sources[0] if len(sources) == 1 else together(*sources)
    checks = checks_for(both, detection())
    return Answer(both, brought.airframe, found, checks, unseen, story, shown)


def document(answer: Answer, seconds: float) -> dict[str, object]:
    """Return an answer as JSON has it. seconds : it took."""
    telling = answer.deciding
    return {
        "ranking": [as_document(one) for one in ranked(answer.causes)],
        "fit": answer.causes.fit,
        "unseen_up_to": {f: round(upto, 2) for f, upto in sorted(hidden_of(answer.causes).items())},
        "next_checks": [_check(one) for one in answer.checks],
        "decided": [{"channel": c.words, "nats": round(c.decided_nats, 2)} for c in telling],
        "moments": [moment._asdict() for moment in moments(telling)],
        "not_told": list(answer.blind),
        "symptoms": list(answer.symptoms),
        "seconds": round(seconds, 3),
    }


def _check(one: NextCheck) -> dict[str, object]:
    outcomes = [
        {"line": o.line, "chance": round(o.chance, 4), "then": list(o.causes[0][0])}
        for o in one.outcomes
    ]
    return {
        "check": one.check,
        "gain_bits": round(one.gain_bits, 4),
        "minutes": one.minutes,
        "needs": list(one.needs),
        "caution": one.caution,
        "propellers_on": one.propellers_on,
        "outcomes": outcomes,
    }
