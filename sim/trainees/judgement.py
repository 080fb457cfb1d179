"""What the careful stand-in makes of a reading: which fault it suspects, or none.

It knows the build sheet and the trade's tolerances, not the truth.
"""

from sim.aircraft.airframe import BuildSheet
from sim.bench.reading import Reading
from sim.trainees.judges import attitude, control, first, frame, legs, link, motors, people, supply
from sim.trainees.judges.finding import Finding, Judge

JUDGES: dict[str, Judge] = {
    **first.JUDGES,
    **supply.JUDGES,
    **link.JUDGES,
    **attitude.JUDGES,
    **control.JUDGES,
    **legs.JUDGES,
    **frame.JUDGES,
    **motors.JUDGES,
    **people.JUDGES,
}


def judged(reading: Reading, sheet: BuildSheet) -> list[Finding]:
    """Return what the careful stand-in suspects after a reading."""
    judge = JUDGES.get(reading.check)
    return judge(reading.values, sheet) if judge else []
