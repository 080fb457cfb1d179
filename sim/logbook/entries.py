"""A finished run folder as an entry of the logbook."""

import hashlib
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from sim.aircraft.fields import Line
from sim.errors import InputError, Problem
from sim.faults.fault import Family
from sim.keys import FaultId, HazardKey
from sim.logbook.standing import Topic, Trial
from sim.runs import score
from sim.scoring.scorecard import CLEARED
from sim.session.attempt import SCORECARD, Note, noted
from sim.session.beside import digest_of
from sim.session.envelope import kept_in
from sim.session.folder import is_finished
from sim.session.journal import JOURNAL, Differs, drill_of
from sim.session.scenario import HELPED, HINT_STEPS, SHOWN, Scenario

MAX_BYTES = 1_000_000  # bytes; own: many times the longest scorecard


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="ignore", allow_inf_nan=False)


class Fault(_Part):
    """What became of one fault before takeoff."""

    id: FaultId
    family: Family
    present_at_start: bool
    noticed: bool
    named: float = Field(ge=0, le=1)
    cleared: bool
    proved: bool


class Hazard(_Part):
    """One unsafe act, and when."""

    id: HazardKey
    minutes: float
    critical: bool


class Hint(_Part):
    """One hint given: on which fault, which step; none where nothing was left to tell."""

    fault: FaultId | None
    step: int = Field(ge=0, le=HINT_STEPS)


class Versions(_Part):
    """What wrote the scorecard."""

    dryhop: Line


class Card(_Part):
    """What the logbook takes of a scorecard."""

    verdict: Line
    points: float
    minutes: float
    faults: tuple[Fault, ...]
    false_squawks: tuple[dict[str, Any], ...]
    hazards: tuple[Hazard, ...]
    hints: tuple[Hint, ...] = ()
    versions: Versions

    def topics(self) -> dict[Topic, bool]:
        """Return each topic of the attempt, and whether all of it was proved before takeoff."""
        found: dict[Topic, bool] = {}
        hidden = [fault for fault in self.faults if fault.present_at_start]
        for fault in hidden:
            found[fault.family] = found.get(fault.family, True) and fault.proved
        if not hidden:
            found["sound"] = self.verdict == CLEARED and not self.false_squawks
        return found


class Entry(BaseModel):
    """An attempt as the logbook keeps it."""

    model_config = ConfigDict(frozen=True, arbitrary_types_allowed=True)

    note: Note
    drill: Scenario
    card: Card
    folder: Path
    ended: datetime
    digest: str
    files: dict[str, str]

    @property
    def cleared(self) -> bool:
        """Whether the verdict is that it may hop."""
        return self.card.verdict == CLEARED

    @property
    def rung(self) -> int:
        """The rung reached: that of the drill, or a lower one where the helper told more than it does.

        Whoever asked for a hint was helped, and whoever was told what it means had it shown.
        """
        told = self.drill.helping == "shown" or any(h.step == HINT_STEPS for h in self.card.hints)
        most = SHOWN if told else HELPED if self.card.hints else self.drill.rung
        return min(self.drill.rung, most)

    @property
    def trials(self) -> tuple[Trial, ...]:
        """What the attempt tells of each topic."""
        topics = self.card.topics().items()
        return tuple(Trial(topic, self.rung, right, self.ended) for topic, right in topics)


def card_in(folder: Path, anew: bool) -> Card:
    """Return the scorecard of a run folder: as it lies there, or worked out anew from the journal."""
    text = None
    if not anew:
        with (folder / SCORECARD).open("rb") as file:
            text = file.read(MAX_BYTES)
    try:
        return (
            Card.model_validate(score(folder)) if text is None else Card.model_validate_json(text)
        )
    except ValidationError:
        if not anew:
            return card_in(folder, anew=True)
        raise


def entry_of(folder: Path, anew: bool = False) -> Entry:
    """Return the entry of a finished run folder; InputError, Differs or OSError if it gives none.

    anew : do not trust the scorecard that lies there; work it out from drill and journal.
    """
    note = noted(folder)
    if note is None or note.by != "person" or not is_finished(folder):
        rule = "not a person's finished attempt: only those are entered"
        raise InputError((Problem(str(folder), None, "", "", rule),))
    drill = drill_of(folder)
    names = (JOURNAL, kept_in(folder).name, SCORECARD)
    files = {name: digest_of(folder / name) for name in names}
    same = "\n".join(files[name] for name in names[:2])
    return Entry(
        note=note,
        drill=drill,
        card=card_in(folder, anew),
        folder=folder.resolve(),
        ended=datetime.fromtimestamp((folder / SCORECARD).stat().st_mtime, UTC),
        digest=hashlib.sha256(same.encode()).hexdigest(),
        files=files,
    )


CAN_FAIL = (InputError, Differs, OSError, ValidationError, ValueError)
"""What reading a run folder may raise."""
