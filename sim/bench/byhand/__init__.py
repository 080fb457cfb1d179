"""Checks done by hand: what is read from what a person did, by the check's own functions.

Each module has its forms in `FORMS`; `sim.bench.checklist` gives them to the checks.
"""

from sim.bench.byhand import (
    legs,
    motors,
    sticks,
    stood,
    switches,
    throttled,
    tilts,
    turned,
    walked,
)
from sim.bench.recorded import Form, Scene
from sim.keys import CheckKey

FORMS: dict[CheckKey, Form] = {
    **sticks.FORMS,
    **switches.FORMS,
    **tilts.FORMS,
    **turned.FORMS,
    **stood.FORMS,
    **motors.FORMS,
    **throttled.FORMS,
    **legs.FORMS,
    **walked.FORMS,
}
SCENES: dict[CheckKey, Scene] = {**walked.SCENES}
