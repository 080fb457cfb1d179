"""Facts and what voids them.

A check, once done, is a fact. A change, a re-plug or a crash voids the facts it may have made
untrue, so the checks become due again; so does a run of the motors for what is felt after it.
Each check says in its entry what voids it; here that is turned round.
"""

from sim.bench.checklist import CHECKS
from sim.keys import CheckKey


def _table() -> dict[str, frozenset[CheckKey]]:
    """Return the checks voided by each change."""
    voided: dict[str, set[CheckKey]] = {}
    for key, check in CHECKS.items():
        for change in (*check.voided_by, *(f"read:{other}" for other in check.follows)):
            voided.setdefault(change, set()).add(key)
    return {change: frozenset(keys) for change, keys in voided.items()}


VOIDED = _table()


def voided_by(change: str) -> frozenset[CheckKey]:
    """Return the checks a change voids; `read:CHECK` is a change too, for what is felt after it."""
    return VOIDED.get(change, frozenset())
