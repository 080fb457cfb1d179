"""The catalogues as plain data."""

from typing import Any

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE


def faults_data() -> list[dict[str, Any]]:
    """Return the fault catalogue as plain data."""
    return [
        {
            "id": f.id,
            "family": f.family,
            "item": f.item,
            "hazard": f.hazard,
            "revealed_by": list(f.revealed_by),
            "proved_by": list(f.proved_by),
            "fixes": list(f.fixes),
            "opens": f.opens,
            "in_the_air": f.in_the_air,
            "lucky": f.lucky,
            "explanation": f.explanation,
            "caution": f.caution,
        }
        for f in CATALOGUE.values()
    ]


def checks_data() -> list[dict[str, Any]]:
    """Return the checks as plain data."""
    return [
        {
            "key": c.key,
            "code": c.code,
            "title": c.title,
            "minutes": c.minutes,
            "needs": list(c.needs),
            "asks": c.asks,
            "caution": c.caution,
            "hurts": c.hurts,
            "by_hand": c.by_hand is not None,
        }
        for c in CHECKS.values()
    ]
