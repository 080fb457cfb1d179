"""Measuring commands: what sound aircraft show, and every fault against every check."""

from contextlib import AbstractContextManager
from dataclasses import asdict, dataclass
from difflib import get_close_matches
from pathlib import Path
from time import perf_counter
from typing import Any

from rich.console import Console

from sim.aircraft import library
from sim.aircraft.textfile import write_text_atomic
from sim.bench import bands as kept_bands
from sim.commands.study import chosen, progress_on
from sim.diagnosis import bandstudy, table
from sim.diagnosis.pool import Mapper
from sim.diagnosis.study import Study, everything
from sim.errors import InputError, Problem
from sim.faults.catalogue import CATALOGUE

SUMMARY = Path("docs/detection.md")
AIRFRAME = "club-trainer-450"
READINGS = 20  # own: seeds of each reading, unless told otherwise
BUILDS, EVENINGS = 300, 120  # own: 2.5 in 100 of the builds are 7; forty evenings of each kind


@dataclass(frozen=True)
class Asked:
    """What of a measuring study was asked for; None: as usual."""

    bands: bool
    detection: bool
    runs: int | None
    evenings: int | None
    only: list[str] | None
    airframe: str | None
    file: Path | None

    def require_fitting(self) -> None:
        """Raise InputError for an option of another kind of study, or an unknown airframe."""
        known = library.names("airframes")
        if self.airframe is not None and self.airframe not in known:
            near = next(iter(get_close_matches(self.airframe, known, n=1)), None)
            raise InputError(
                (Problem("--airframe", None, "", self.airframe, "not a known airframe", near),)
            )
        for option, given, goes_with, there in (
            ("--only", self.only, "--detection", self.detection),
            ("--evenings", self.evenings, "--bands", self.bands),
            ("--airframe", self.airframe, "--bands or --detection", self.bands or self.detection),
        ):
            if given is not None and not there:
                raise InputError((Problem(option, None, "", str(given), f"goes with {goes_with}"),))

    def study(self, err: Console, where: AbstractContextManager[Mapper]) -> dict[str, Any]:
        """Do the study; return what was measured."""
        if self.bands:
            evenings = EVENINGS if self.evenings is None else self.evenings
            craft = self.airframe or AIRFRAME
            return bands_study(err, where, craft, self.runs or BUILDS, evenings, self.file)
        file = self.file or table.default_file()
        return detection_study(err, where, self.runs or READINGS, file, self.only or [])

    def show(self, console: Console, document: dict[str, Any]) -> None:
        """Print what was measured, in short."""
        (print_bands_study if self.bands else print_detection_study)(console, document)


def lacking(document: dict[str, Any]) -> bool:
    """Tell whether a fault is not shown or not measured, or anything broke off."""
    return any(document.get(key) for key in ("gaps", "not_measured", "broken"))


def bands_study(
    err: Console,
    where: AbstractContextManager[Mapper],
    airframe: str,
    builds: int,
    evenings: int,
    file: Path | None,
) -> dict[str, Any]:
    """Measure the bands of sound aircraft and write their table; return what was done."""
    started, path = perf_counter(), file or kept_bands.file_of(airframe)
    with where as spread, progress_on(err) as (begins, done):
        rows = bandstudy.bands(spread, airframe, builds, evenings, begins, done)
    kept_bands.save(rows, path)
    return {
        "file": str(path),
        "airframe": airframe,
        "builds": builds,
        "evenings": evenings,
        "measures": len(rows),
        "constant": sum(row.low_outer == row.high_outer for row in rows),
        "seconds": round(perf_counter() - started, 1),
    }


def print_bands_study(console: Console, document: dict[str, Any]) -> None:
    """Print what was measured, in short."""
    console.print(
        f"{document['measures']} measures, {document['constant']} of them always the same, of "
        f"{document['builds']} sound builds and {document['evenings']} evenings in "
        f"{document['seconds']:.0f} s: {document['file']}",
        markup=False,
        soft_wrap=True,
    )


def detection_study(
    err: Console, where: AbstractContextManager[Mapper], runs: int, file: Path, only: list[str]
) -> dict[str, Any]:
    """Measure every fault against every check, write the table and the summary; return both.

    only : faults and checks to measure; the other lines of the file are kept. Empty: all.
    """
    started = perf_counter()
    faults, checks = everything()
    names = chosen("--only", only, (*faults, *checks), "not a fault and not a check")
    kept = table.read(file) if names else ()
    faults = tuple(f for f in faults if f in names) or faults
    checks = tuple(c for c in checks if c in names) or checks
    with where as spread, progress_on(err) as (begins, done):
        study = Study(spread, runs, begins, done)
        results = study.detections(faults, checks)
    rows = table.renewed(kept, [table.row_of(*key, found=found) for key, found in results.items()])
    table.save(rows, file)
    measured = table.Table(rows)
    return {
        "file": str(file),
        "summary_in": _refresh_summary(measured) if file == table.default_file() else None,
        "runs": runs,
        "seconds": round(perf_counter() - started, 1),
        "faults": len(faults),
        "checks": len(checks),
        "gaps": [gap for name in measured.gaps() if (gap := _gap(name, measured)) is not None],
        "not_measured": [name for name in CATALOGUE if measured.best(name) is None],
        "false_alarms": _false_alarms(measured),
        "broken": study.broken,
        "rows": [asdict(row) for row in rows],
    }


def _refresh_summary(measured: table.Table) -> str | None:
    """Put the summary into a checkout's document; return its path, or None if it has no place."""
    path = table.default_file().parent.parent / SUMMARY
    if not path.is_file():
        return None
    document = table.with_summary(path.read_text(encoding="utf-8"), measured)
    if document is None:
        return None
    write_text_atomic(path, document)
    return str(path)


def _gap(name: str, measured: table.Table) -> dict[str, Any] | None:
    """Return a fault no check reveals, with the best by either rule; None if not measured."""
    best, value = measured.best(name), measured.best_value(name)
    if best is None or value is None:
        return None
    return {
        "fault": name,
        "best_check": best.check,
        "power": best.power,
        "false_alarm": best.false_alarm,
        "value_check": value.check,
        "best_value": value.best_value,
        "value_power": value.value_power,
        "value_false_alarm": value.value_false_alarm,
    }


def _false_alarms(measured: table.Table) -> dict[str, float]:
    """Return the checks that give cues on the sound aircraft."""
    return {row.check: row.false_alarm for row in measured if row.false_alarm > 0.0}


def print_detection_study(console: Console, document: dict[str, Any]) -> None:
    """Print what the detection study found, in short."""
    console.print(
        f"{document['faults']} faults against {document['checks']} checks in "
        f"{document['seconds']:.0f} s: {document['file']}",
        markup=False,
        soft_wrap=True,
    )
    if document["summary_in"]:
        console.print(f"Summary in {document['summary_in']}", markup=False, soft_wrap=True)
    for check, share in document["false_alarms"].items():
        console.print(f"{check}: {100 * share:.0f} % false alarms on the sound aircraft")
    for gap in document["gaps"]:
        console.print(
            f"{gap['fault']}: no sensitive check; best {gap['best_check']} {gap['power']:.2f}, "
            f"by value {gap['value_check']} ({gap['best_value'] or 'nothing'}) "
            f"{gap['value_power']:.2f} with {gap['value_false_alarm']:.2f} false"
        )
    for name in document["not_measured"]:
        console.print(f"{name}: not measured")
    for broken in document["broken"]:
        console.print(f"Broke off: {broken}", markup=False)
