"""What the logbook gives away: CSV, JSON, and statements of the Experience API (IEEE 9274.1.1)."""

import csv
import io
import json
from collections.abc import Iterable
from typing import Any
from unicodedata import normalize
from uuid import NAMESPACE_URL, uuid5

from sim.errors import legible
from sim.logbook.book import Attempt

XAPI = "2.0.0"  # version of the statements; IEEE 9274.1.1-2023
VERBS = {
    True: ("http://adlnet.gov/expapi/verbs/passed", "passed"),
    False: ("http://adlnet.gov/expapi/verbs/failed", "failed"),
}  # identifiers of the common vocabulary of the Experience API, from memory
ACTIVITY = "http://adlnet.gov/expapi/activities/simulation"  # likewise, from memory
HOME = "urn:dryhop"  # whose names the trainees' are
FORMULA = "=+-@|%"  # what a spreadsheet may take for a formula's beginning, wide or after blanks; from memory
POINTS = 100.0  # points; a whole scorecard


def row(attempt: Attempt) -> dict[str, Any]:
    """Return an attempt as plain data; names are plain lines already, a folder's may not be."""
    return {
        **attempt._asdict(),
        "folder": legible(str(attempt.folder)),
        "ended": attempt.ended.isoformat(),
    }


def as_json(attempts: Iterable[Attempt]) -> str:
    """Return attempts as a JSON list, one a line."""
    return _listed(map(row, attempts))


def _listed(found: Iterable[dict[str, Any]]) -> str:
    return "[\n" + ",\n".join(json.dumps(one, ensure_ascii=False) for one in found) + "\n]\n"


def as_csv(attempts: Iterable[Attempt]) -> str:
    """Return attempts as CSV (RFC 4180), a head line first.

    A field that a spreadsheet would take for a formula begins with an apostrophe.
    """
    out = io.StringIO()
    lines = csv.writer(out)
    lines.writerow(Attempt._fields)
    for one in attempts:
        lines.writerow([_no_formula(value) for value in row(one).values()])
    return out.getvalue()


def _no_formula(value: Any) -> Any:
    begins = normalize("NFKC", value).lstrip()[:1] if isinstance(value, str) else ""
    return f"'{value}" if begins in FORMULA and begins else value


def statement(attempt: Attempt) -> dict[str, Any]:
    """Return an attempt as one statement: who passed or failed which drill, with which marks."""
    verb, word = VERBS[attempt.cleared]
    return {
        "id": str(uuid5(NAMESPACE_URL, f"{HOME}:{attempt.trainee}:{attempt.digest}")),
        "version": XAPI,
        "timestamp": attempt.ended.isoformat(),
        "actor": {
            "objectType": "Agent",
            "account": {"homePage": HOME, "name": attempt.trainee},
        },
        "verb": {"id": verb, "display": {"en": word}},
        "object": {
            "objectType": "Activity",
            "id": f"{HOME}:drill:{attempt.drill}",
            "definition": {"type": ACTIVITY, "name": {"en": attempt.title}},
        },
        "result": {
            "score": {
                "scaled": round(attempt.points / POINTS, 4),
                "raw": attempt.points,
                "min": 0,
                "max": POINTS,
            },
            "success": attempt.cleared,
            "completion": True,
            "duration": f"PT{round(60.0 * attempt.minutes, 3)}S",
        },
        "context": {"platform": f"dryhop {attempt.dryhop}"},
    }


def as_xapi(attempts: Iterable[Attempt]) -> str:
    """Return attempts as a JSON list of statements, one a line."""
    return _listed(map(statement, attempts))


FORMATS = {"csv": as_csv, "json": as_json, "xapi": as_xapi}
