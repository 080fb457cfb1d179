"""What the careful stand-in makes of a reading: which fault it suspects, or none.

It knows the build sheet and the trade's tolerances, not the truth.
"""

from dataclasses import replace

from sim.aircraft.airframe import BuildSheet
from sim.bench.reading import Calibrated, Reading
from sim.keys import CheckKey
from sim.trainees.judges import attitude, control, frame, legs, link, motors, people, supply
from sim.trainees.judges.finding import Finding, Judge, Look

SUBJECTS = (supply, link, attitude, control, legs, frame, motors, people)
JUDGES: dict[CheckKey | Calibrated, Judge] = {
    check: judge for subject in SUBJECTS for check, judge in subject.JUDGES.items()
}


def judged(reading: Reading, sheet: BuildSheet) -> list[Finding]:
    """Return what the careful stand-in suspects after a reading, each with the line that shows it."""
    judge = JUDGES.get(reading.check)
    findings = judge(Look(reading.values, sheet)) if judge else []
    evidence = {"check": reading.check}
    return [replace(f, squawk=f.squawk.model_copy(update=evidence)) for f in findings]
