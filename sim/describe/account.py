"""An aircraft described: worked out, told estimate by estimate, and written as one airframe file."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

from pydantic import ValidationError

from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import dump_yaml, load_model, write_text_atomic
from sim.describe.answers import Answers
from sim.describe.formulas import FORMULAS
from sim.describe.plausible import Finding, findings
from sim.describe.rules import Estimate
from sim.describe.sheet import read_off
from sim.describe.working import Worked, drafted, worked
from sim.errors import InputError, Problem, Refusal
from sim.units import M_PER_IN

CAUTION = (
    "These are estimates, good for a rehearsal. They prove nothing of a real aircraft: before its "
    "first flight have it looked over, and fly where and as local rules and your club allow, with a "
    "licensed or appointed teacher. Measure with the propellers off, and with the pack unplugged "
    "unless a step says otherwise."
)


class Told(NamedTuple):
    """What is said of one value: how it was found, and how to measure it if it was not."""

    key: str
    what: str
    value: float
    unit: str
    formula: str
    source: str
    measured: bool
    measure: str
    by: str  # formula of the measurement and its source

    @property
    def amount(self) -> str:
        """The value with its unit."""
        return f"{self.value:g} {self.unit}"


class Account(NamedTuple):
    """An aircraft worked out, with its sheet, and all there is to tell of it."""

    airframe: Airframe
    told: tuple[Told, ...]
    findings: tuple[Finding, ...]


def problems(where: str, error: ValidationError) -> list[Problem]:
    """Return what of some answers can't be, each with its key."""
    return [
        Problem(
            where, None, ".".join(map(str, e["loc"])), "", e["msg"].removeprefix("Value error, ")
        )
        for e in error.errors(include_url=False)
    ]


def outlook(answers: Answers) -> list[Finding]:
    """Return what there is to say of an aircraft before its gains are looked for: at once.

    Raises InputError for a frame that can't be, Refusal for an aircraft that can't hover.
    """
    return _looked(answers, _tried(drafted, answers))


def described(answers: Answers) -> Account:
    """Return the aircraft worked out, its sheet read off, and all there is to tell: some seconds.

    Raises InputError for a frame that can't be, Refusal for an aircraft that can't fly.
    """
    found = _tried(worked, answers)
    looked = _looked(answers, found)
    stops = [finding.words for finding in looked if finding.level == "stop"]
    if stops:
        raise Refusal(" ".join(stops), "value")
    rows = tuple(told(estimate) for estimate in found.estimates)
    return Account(read_off(found.airframe), rows, tuple(looked))


def _tried(work: Callable[[Answers], Worked], answers: Answers) -> Worked:
    try:
        return work(answers)
    except ValidationError as error:
        raise InputError(problems(answers.name, error)) from None
    except ValueError as error:
        raise Refusal(f"This aircraft can't be worked out: {error}.", "value") from None


def _looked(answers: Answers, found: Worked) -> list[Finding]:
    return findings(found, answers.propeller.pitch_in * M_PER_IN)


def told(estimate: Estimate) -> Told:
    """Return what is said of an estimate."""
    f = FORMULAS[estimate.key]
    by = f"{f.by} ({f.by_source})" if f.by else ""
    formula, source = (
        (f.by or "measured", f.by_source or "you") if estimate.measured else (f.formula, f.source)
    )
    return Told(
        key=estimate.key,
        what=f.what,
        value=float(f"{estimate.value * f.factor:.3g}"),
        unit=f.unit,
        formula=formula,
        source=source,
        measured=estimate.measured,
        measure="" if estimate.measured else f.measure,
        by="" if estimate.measured else by,
    )


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


def file_text(account: Account) -> str:
    """Return the airframe file: the caution and every estimate above the values."""
    head = [
        "Described with dryhop describe; estimates, to be measured where that can be done.",
        CAUTION,
    ]
    head += [f"{t.what}: {t.amount} = {t.formula} ({t.source})" for t in account.told]
    return "".join(f"# {line}\n" for line in head) + dump_yaml(account.airframe)


def checked_place(path: Path) -> Path:
    """Return where the file goes; InputError if something else than an older one lies there."""
    if path.exists():
        try:
            older = load_model(path, Airframe).origin == "described"
        except InputError:
            older = False
        if not older:
            rule = "something else lies there already; choose another name or file"
            raise InputError((Problem(str(path), None, "", "", rule),))
    return path


def write(account: Account, path: Path) -> None:
    """Write the airframe file; InputError if something else lies there, OSError if it can't be."""
    checked_place(path).parent.mkdir(parents=True, exist_ok=True)
    write_text_atomic(path, file_text(account))


def document(account: Account, path: Path) -> dict[str, Any]:
    """Return everything as one JSON document."""
    return {
        "file": str(path),
        "caution": CAUTION,
        "airframe": account.airframe.model_dump(mode="json"),
        "estimates": [row._asdict() for row in account.told],
        "findings": [finding._asdict() for finding in account.findings],
    }
