"""Checks done by hand: what is read from what a person did, by the check's own functions.

Each module has its forms in `FORMS`; `sim.bench.checklist` gives them to the checks.
"""

from sim.bench.byhand import sticks, switches, tilts
from sim.bench.recorded import Form
from sim.keys import CheckKey

FORMS: dict[CheckKey, Form] = {
    **sticks.FORMS,
    **switches.FORMS,
    **tilts.FORMS,
}
