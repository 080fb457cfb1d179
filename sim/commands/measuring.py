"""Measuring commands: what sound aircraft show, every fault against every check, and in hops."""

from collections import Counter
from dataclasses import asdict, dataclass
from pathlib import Path
from time import perf_counter
from typing import Any

from rich.console import Console

from sim.aircraft import library
from sim.aircraft.library import Design, called
from sim.aircraft.textfile import write_text_atomic
from sim.bench import bands as kept_bands
from sim.bench import moves as kept_moves
from sim.bench.checklist import CHECKS
from sim.bench.evidence import has_tables
from sim.commands.study import chosen
from sim.commands.symptoms import print_symptoms_study, symptoms_study
from sim.commands.working import Work, require_place
from sim.diagnosis import own, summary, symptomstudy, table
from sim.diagnosis.readings import AIRFRAME
from sim.diagnosis.study import SEVERITIES, Study, everything
from sim.errors import InputError, Problem, nearest
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.origin import digest

SUMMARIES = (Path("README.md"), Path("docs/detection.md"))
PICTURES = Path("docs")
READINGS = 16  # own: builds a reading is taken on: all axes and places come, in 25 minutes
BUILDS, EVENINGS = 300, 120  # own: 2.5 in 100 of the builds are 7; forty evenings of each kind


@dataclass(frozen=True)
class Asked:
    """What of a measuring study was asked for; None: as usual."""

    bands: bool
    detection: bool
    symptoms: bool
    runs: int | None
    evenings: int | None
    only: list[str] | None
    airframe: str | None
    site: str | None
    folder: Path | None

    @property
    def measures(self) -> bool:
        """Whether anything is to be measured, rather than stand-ins studied."""
        return self.bands or self.detection or self.symptoms

    def require_fitting(self) -> None:
        """Raise InputError for an option of another kind of study, or an unknown airframe."""
        known = library.names("airframes")
        asked = self.airframe if self.measures else None  # a drill's is looked for with the drill
        if asked is not None and library.is_file(asked):
            library.airframe(asked)
        elif asked is not None and asked not in known:
            near, rule = nearest(asked, known), "not a known airframe"
            raise InputError((Problem("--airframe", None, "", asked, rule, near),))
        for option, given, goes_with, there in (
            ("--only", self.only, "--detection or --symptoms", self.detection or self.symptoms),
            ("--evenings", self.evenings, "--bands", self.bands),
            ("--site", self.site, "drills", not self.measures),
        ):
            if given is not None and not there:
                raise InputError((Problem(option, None, "", str(given), f"goes with {goes_with}"),))

    def study(self, err: Console, work: Work) -> dict[str, Any]:
        """Do the study; return what was measured."""
        craft = self.airframe or AIRFRAME
        if self.bands:
            evenings = EVENINGS if self.evenings is None else self.evenings
            return bands_study(err, work, craft, self.runs or BUILDS, evenings, self.folder)
        if self.symptoms:
            builds = self.runs or symptomstudy.BUILDS
            return symptoms_study(err, work, craft, builds, self.folder, self.only or [])
        runs = self.runs or READINGS
        return detection_study(err, work, craft, runs, self.folder, self.only or [])

    def show(self, console: Console, document: dict[str, Any]) -> None:
        """Print what was measured, in short."""
        if self.symptoms:
            print_symptoms_study(console, document)
        else:
            (print_bands_study if self.bands else print_detection_study)(console, document)


def lacking(document: dict[str, Any]) -> bool:
    """Tell whether a fault is not shown or not measured, or anything broke off."""
    return any(document.get(key) for key in ("gaps", "not_measured", "broken"))


def bands_study(
    err: Console,
    work: Work,
    airframe: Design,
    builds: int,
    evenings: int,
    folder: Path | None,
) -> dict[str, Any]:
    """Measure the bands of sound aircraft and write their table; return what was done."""
    started, path = perf_counter(), kept_bands.file_of(airframe, folder)
    require_place(path, kept_moves.file_of(airframe, folder))
    asked = {
        "study": "bands",
        "airframe": called(airframe),
        "builds": builds,
        "evenings": evenings,
        "inputs": digest(library.airframe(airframe).model_dump_json()),
    }
    with work.begun(err, asked) as (spread, begins, done):
        rows = own.measure(spread, airframe, builds, evenings, folder, begins, done)
    return {
        "file": str(path),
        "airframe": airframe,
        "builds": builds,
        "evenings": evenings,
        "measures": len(rows),
        "constant": sum(row.low_outer == row.high_outer for row in rows),
        "seconds": round(perf_counter() - started, 1),
    }


def measured_first(err: Console, *airframes: Design) -> None:
    """Measure sound aircraft of those kinds that have no tables yet, and say so on stderr."""
    for airframe in airframes:
        if not has_tables(airframe):
            err.print(
                f"Nothing is measured yet of sound aircraft like {called(airframe)}. That takes some "
                "minutes, once: what was measured is kept.",
                markup=False,
                soft_wrap=True,
            )
            bands_study(err, Work(), airframe, own.FEW_BUILDS, own.FEW_EVENINGS, None)


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
    err: Console,
    work: Work,
    airframe: str,
    runs: int,
    folder: Path | None,
    only: list[str],
) -> dict[str, Any]:
    """Measure every fault against every check; write table, moves and summary; return them.

    only : faults and checks to measure; the other lines of the tables are kept. Empty: all.
    Without a folder, only the usual airframe renews the summaries: they are of that one.
    """
    started = perf_counter()
    faults, checks = everything()
    names = chosen("--only", only, (*faults, *checks), "not a fault and not a check")
    faults = tuple(f for f in faults if f in names) or faults
    checks = tuple(c for c in checks if c in names) or checks
    powers, marks = table.file_of(folder, airframe), kept_moves.file_of(airframe, folder)
    require_place(powers, marks)
    kept_rows = table.read(powers) if names and powers.is_file() else ()
    kept_marks = kept_moves.read(marks) if names else []
    band_file = kept_bands.file_of(airframe, folder)
    bands = kept_bands.read(band_file) if band_file.is_file() else kept_bands.bands(airframe)
    asked = {
        "study": "detection",
        "airframe": Path(airframe).stem,
        "runs": runs,
        "faults": faults,
        "checks": checks,
        "inputs": digest(library.airframe(airframe).model_dump_json(), bands),
    }
    with work.begun(err, asked) as (spread, begins, done):
        study = Study(spread, bands, airframe, runs, begins=begins, done=done)
        found = study.measured(faults, checks)
        new = (table.row_of(*key, found=one) for key, one in found.detections.items())
        rows, moves = table.renewed(kept_rows, new), renewed_moves(kept_marks, found.moves)
        powers.parent.mkdir(parents=True, exist_ok=True)
        table.save(rows, powers)
        kept_moves.save(moves, marks)
    measured = table.Table(rows)
    return {
        "files": [str(powers), str(marks)],
        "documents": []
        if folder or airframe != AIRFRAME
        else [str(path) for path in renewed_documents(measured)],
        "runs": runs,
        "seconds": round(perf_counter() - started, 1),
        "faults": len(faults),
        "checks": len(checks),
        "broken": found.broken,
        **in_short(measured, moves, summary.false_calls(found.evenings, moves)),
        "rows": [asdict(row) for row in rows],
    }


def renewed_moves(
    kept: list[kept_moves.Move],
    measured: dict[tuple[FaultId, CheckKey], tuple[kept_moves.Move, ...]],
) -> list[kept_moves.Move]:
    """Return moves kept and measured, in the order of faults and checks."""
    faults, checks = list(CATALOGUE), list(CHECKS)
    rest = [m for m in kept if (m.fault, m.check) not in measured]
    new = [m for marks in measured.values() for m in marks]
    return sorted(
        (*rest, *new), key=lambda m: (faults.index(m.fault), checks.index(m.check), m.measure)
    )


def renewed_documents(measured: table.Table) -> list[Path]:
    """Renew summaries and pictures of a checkout; return their files, none if there is no place."""
    top = table.file_of().parent.parent
    written = []
    for path in (top / name for name in SUMMARIES):
        document = path.read_text(encoding="utf-8") if path.is_file() else ""
        renewed = summary.with_summary(document, measured)
        if renewed is not None:
            write_text_atomic(path, renewed)
            written.append(path)
    if not written:
        return []
    from sim.diagnosis.curves import draw

    return [*written, *draw(measured, top / PICTURES)]


def in_short(
    measured: table.Table, moves: list[kept_moves.Move], false: summary.FalseCalls | None
) -> dict[str, Any]:
    """Return what the tables come to."""
    degrees = summary.by_degrees(measured)
    lines = Counter(m.fault for m in moves)
    return {
        "with_degrees": len(degrees),
        "by_severity": {
            f"{severity:g}": {
                "called": summary.spread([r.power for r in rows]),
                "plain": summary.spread([r.plain for r in rows]),
                "in_doubt": summary.in_doubt(rows),
            }
            for severity in SEVERITIES
            if (rows := summary.at(measured, degrees, severity))
        },
        "false_calls": None if false is None else asdict(false),
        "weak": list(summary.weak(measured)),
        "gaps": list(measured.gaps()),
        "not_measured": [name for name in CATALOGUE if measured.best(name) is None],
        "without_line": [name for name in CATALOGUE if not lines[name]],
        "lines_per_fault": round(len(moves) / len(CATALOGUE), 2),
    }


def print_detection_study(console: Console, document: dict[str, Any]) -> None:
    """Print what the detection study found, in short."""
    console.print(
        f"{document['faults']} faults against {document['checks']} checks in "
        f"{document['seconds']:.0f} s: {', '.join(document['files'])}",
        markup=False,
        soft_wrap=True,
    )
    for path in document["documents"]:
        console.print(f"Renewed {path}", markup=False, soft_wrap=True)
    for severity, one in document["by_severity"].items():
        console.print(
            f"severity {severity}: called {one['called']}, plain {one['plain']}, "
            f"{one['in_doubt']} of {document['with_degrees']} in doubt"
        )
    false = document["false_calls"]
    if false is not None:
        console.print(
            f"{false['calling']} of {false['evenings']} sound evenings have a false call, "
            f"{false['faults']:.2f} faults an evening"
        )
    console.print(f"{document['lines_per_fault']} lines a fault")
    for key, words in (
        ("weak", "called too seldom at severity 0.5"),
        ("gaps", "no sensitive check"),
        ("not_measured", "not measured"),
        ("without_line", "without any line"),
    ):
        for name in document[key]:
            console.print(f"{name}: {words}", markup=False)
    for broken in document["broken"]:
        console.print(f"Broke off: {broken}", markup=False)
