"""What the careful stand-in makes of a reading: which fault it suspects, or none.

It knows the build sheet and what is measured of such aircraft, not the truth. Whether a line is off
is a matter of the measured limits; what explains it, and what comes first, is the judges'.
"""

from dataclasses import replace

from sim.aircraft.airframe import Airframe
from sim.bench.evidence import Measured
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.trainees.judges import attitude, control, frame, legs, link, motors, people, supply
from sim.trainees.judges.finding import Finding, Judge, Look

SUBJECTS = (supply, link, attitude, control, legs, frame, motors, people)
JUDGES: dict[CheckKey, Judge] = {
    check: judge for subject in SUBJECTS for check, judge in subject.JUDGES.items()
}
DOUBTFUL = 2  # confidence; own: inside the outer edge it is a fault about as often as not


def judged(reading: Reading, airframe: Airframe, measured: Measured) -> list[Finding]:
    """Return what the careful stand-in suspects after a reading, each with the line that shows it."""
    for check, judge in JUDGES.items():
        if check == reading.check:
            look = Look(check, reading.values, airframe, measured)
            return [weighed(finding, look) for finding in judge(look)]
    return []


def weighed(finding: Finding, look: Look) -> Finding:
    """Return a finding with its evidence, no surer than that allows."""
    claim = finding.squawk
    line = look.pointed(claim.cause, claim.line)
    plain = look.plain(claim.cause, line)
    sure = claim.confidence if plain else min(claim.confidence, DOUBTFUL)
    evidence = {"check": look.check, "line": line, "confidence": sure}
    return replace(finding, squawk=claim.model_copy(update=evidence), plain=plain)
