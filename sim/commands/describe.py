"""Describe an aircraft of one's own: answers in, an airframe file out, with every estimate told."""

from pathlib import Path
from typing import Any

import typer
from pydantic import ValidationError

from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import dump_yaml, load_model, write_text_atomic
from sim.commands.ends import Paper
from sim.describe.answers import Answers
from sim.describe.formulas import FORMULAS, MEASURED, SWING_SOURCE
from sim.describe.plausible import Finding, findings
from sim.describe.questions import asked
from sim.describe.sheet import read_off
from sim.describe.working import Estimate, Worked, worked
from sim.errors import InputError, Problem, Refusal
from sim.units import M_PER_IN

CAUTION = (
    "These are estimates, good for a rehearsal. They prove nothing of a real aircraft: before its "
    "first flight have it looked over, and fly where and as local rules and your club allow, with a "
    "licensed or appointed teacher. Measure with the propellers off, and with the pack unplugged "
    "unless a step says otherwise."
)
MARKS = {"good": "  ", "look": "? ", "stop": "! "}


def answered(file: Path | None, say: Paper) -> Answers:
    """Return the answers of a file, or ask for them, and keep them there if a file is named."""
    if file is not None and file.exists():
        return load_model(file, Answers)
    say.plain("Enter alone takes what stands in brackets; Ctrl-C stops.\n")
    ask = lambda words: str(typer.prompt(words, default="", show_default=False, prompt_suffix=" "))  # noqa: E731
    try:
        answers = asked(ask, say.plain)
    except ValidationError as error:
        raise InputError(_problems("answers", error)) from None
    if file is not None:
        head = "# What was read off and measured, for dryhop describe --answers.\n"
        write_text_atomic(file, head + dump_yaml(answers.model_dump(exclude_none=True)))
    return answers


def _problems(where: str, error: ValidationError) -> list[Problem]:
    return [
        Problem(
            where, None, ".".join(map(str, e["loc"])), "", e["msg"].removeprefix("Value error, ")
        )
        for e in error.errors(include_url=False)
    ]


def described(answers: Answers) -> tuple[Worked, list[Finding]]:
    """Return the aircraft worked out, its sheet read off, and what there is to say of it.

    Raises InputError for a frame that can't be, Refusal for an aircraft that can't fly.
    """
    try:
        found = worked(answers)
    except ValidationError as error:
        raise InputError(_problems(answers.name, error)) from None
    except ValueError as error:
        raise Refusal(f"This aircraft can't be worked out: {error}.", "value") from None
    looked = findings(found, answers.propeller.pitch_in * M_PER_IN)
    stops = [finding.words for finding in looked if finding.level == "stop"]
    if stops:
        raise Refusal(" ".join(stops), "value")
    return found, looked


def told(estimate: Estimate) -> dict[str, Any]:
    """Return what is said of an estimate."""
    f = FORMULAS[estimate.key]
    formula, source = f.formula, f.source
    if estimate.measured:
        swung = estimate.key.endswith("inertia_kg_m2")
        formula, source = (MEASURED, SWING_SOURCE) if swung else ("measured", "you")
    return {
        "key": estimate.key,
        "what": f.what,
        "value": float(f"{estimate.value * f.factor:.3g}"),
        "unit": f.unit,
        "formula": formula,
        "source": source,
        "measured": estimate.measured,
        "measure": "" if estimate.measured else f.measure,
    }


def sheet_told(airframe: Airframe) -> list[str]:
    """Return the build sheet in a few lines."""
    sheet, c = airframe.sheet, airframe.sheet.setup
    gains = [
        f"{axis:<6}P {g.p:.4g}  I {g.i:.4g}  D {g.d:.4g}"
        for axis, g in (("roll", c.roll), ("pitch", c.pitch), ("yaw", c.yaw))
    ]
    return [
        *gains,
        f"attitude {c.attitude_gain_per_s:.3g} /s, gyro filter {c.gyro_cutoff_hz:.0f} Hz, "
        f"damping filter {c.damping_cutoff_hz:.0f} Hz, tilt at most {c.tilt_limit_deg:.0f} deg",
        f"hover at {sheet.hover_throttle:.0%} and {sheet.hover_current_a:.3g} A; a loaded cell falls by "
        f"{sheet.loaded_drop_v_cell * 1000.0:.0f} mV; alarm at {c.low_cell_alarm_v:g} V a cell, "
        f"{c.alarm_cells} counted",
    ]


def file_text(airframe: Airframe, rows: list[dict[str, Any]]) -> str:
    """Return the airframe file: the caution and every estimate above the values."""
    head = [
        "Described with dryhop describe; estimates, to be measured where that can be done.",
        CAUTION,
    ]
    head += [
        f"{r['what']}: {r['value']:g} {r['unit']} = {r['formula']} ({r['source']})" for r in rows
    ]
    return "".join(f"# {line}\n" for line in head) + dump_yaml(airframe)  # fmt: skip


def place_of(out: Path | None, name: str) -> Path:
    """Return where the file goes; InputError if something else than an older one lies there."""
    path = out or Path(f"{name}.yaml")
    if path.exists():
        try:
            older = load_model(path, Airframe).origin == "described"
        except InputError:
            older = False
        if not older:
            rule = "something else lies there already; choose another file with --out"
            raise InputError((Problem(str(path), None, "", "", rule),))
    return path


def document(
    airframe: Airframe, rows: list[dict[str, Any]], looked: list[Finding], path: Path
) -> dict[str, Any]:
    """Return everything as one JSON document."""
    return {
        "file": str(path),
        "caution": CAUTION,
        "airframe": airframe.model_dump(mode="json"),
        "estimates": rows,
        "findings": [finding._asdict() for finding in looked],
    }


def show(say: Paper, airframe: Airframe, rows: list[dict[str, Any]], looked: list[Finding]) -> None:
    """Print estimates, sheet and findings."""
    say.plain("\nWorked out:")
    told_how = ""
    for r in rows:
        say.plain(f"  {r['what']}: {r['value']:g} {r['unit']}")
        say.plain(f"      {r['formula']} ({r['source']})")
        if r["measure"] and r["measure"] != told_how:
            say.plain(f"      Better: {r['measure']}")
        told_how = r["measure"]
    say.plain("\nBuild sheet:")
    for line in sheet_told(airframe):
        say.plain(f"  {line}")
    say.plain("\nWhat to make of it (? look again):")
    for finding in looked:
        say.plain(f"{MARKS[finding.level]}{finding.words}")


def written(answers: Answers, out: Path | None) -> tuple[Path, Airframe, list[dict[str, Any]], list[Finding]]:  # fmt: skip
    """Work the aircraft out, write its file, and return what there is to tell."""
    path = place_of(out, answers.name)
    found, looked = described(answers)
    airframe = read_off(found.airframe)
    rows = [told(estimate) for estimate in found.estimates]
    write_text_atomic(path, file_text(airframe, rows))
    return path, airframe, rows, looked
