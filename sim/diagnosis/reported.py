"""The whole answer to what somebody brought: causes, what decided, and the check to do next."""

from dataclasses import dataclass

from sim.diagnosis.nextcheck import NextCheck, next_checks
from sim.diagnosis.table import Table
from sim.reproduce.answer.curves import Curve, deciding, moments
from sim.reproduce.answer.ranking import as_document, ranked
from sim.reproduce.causes import Causes


@dataclass(frozen=True)
class Answer:
    """What is made of a recording, a report, or both.

    airframe : that flew; curves : every channel compared, for a recording; checks : worth doing
    next, the best first; blind : what could not be told of it, in sentences; story, symptoms : of
    the report or read off the recording, the plainest first; seconds : it took.
    """

    causes: Causes
    airframe: str
    curves: tuple[Curve, ...]
    checks: tuple[NextCheck, ...]
    blind: tuple[str, ...]
    story: str
    symptoms: tuple[str, ...]
    seconds: float

    @property
    def deciding(self) -> list[Curve]:
        """The channels that decided, the most telling first."""
        return deciding(self.curves)


def checks_for(causes: Causes, table: Table) -> tuple[NextCheck, ...]:
    """Return the checks worth doing next; none where nothing fits, as nothing is known then."""
    return tuple(next_checks(table, causes)) if causes.fits else ()


def document(answer: Answer) -> dict[str, object]:
    """Return an answer as JSON has it."""
    checks = [
        {
            "check": one.check,
            "gain_bits": round(one.gain_bits, 4),
            "minutes": one.minutes,
            "needs": list(one.needs),
            "caution": one.caution,
            "propellers_on": one.propellers_on,
            "outcomes": [
                {"line": o.line, "chance": round(o.chance, 4), "then": list(o.causes[0][0])}
                for o in one.outcomes
            ],
        }
        for one in answer.checks
    ]
    telling = answer.deciding
    return {
        "ranking": [as_document(one) for one in ranked(answer.causes)],
        "fit": answer.causes.fit,
        "next_checks": checks,
        "decided": [{"channel": c.words, "nats": round(c.decided_nats, 2)} for c in telling],
        "moments": [moment._asdict() for moment in moments(telling)],
        "not_told": list(answer.blind),
        "symptoms": list(answer.symptoms),
        "seconds": round(answer.seconds, 2),
    }
