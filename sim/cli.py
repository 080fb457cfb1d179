"""The commands."""

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

from sim import __version__
from sim.errors import DryhopError, InputError, Problem, Refusal
from sim.kernel.cache import is_warm

FINE, NO, BAD_INPUT = 0, 1, 2  # exit codes; design
DEMO = "first-evening"

app = typer.Typer(
    help="dryhop: rehearse the bench set-up and first hop of a small quadrotor. A rehearsal does not "
    "replace your club's rules, local codes or a licensed practice.",
    invoke_without_command=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
out = Console()
err = Console(stderr=True)

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]


def say(document: Any, as_json: bool) -> bool:
    """Print a JSON document if asked to; return whether that was done."""
    if as_json:
        sys.stdout.write(json.dumps(document, indent=2) + "\n")
    return as_json


def compile_with_progress() -> None:
    """Compile the flight model if this version has not been compiled here yet."""
    if is_warm():
        return
    from sim.commands.compiling import work

    steps = work()
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=err) as progress:
        task = progress.add_task("Compiling, once for this version", total=len(steps))
        for name, compiles in steps:
            progress.update(task, description=f"Compiling the {name}, once for this version")
            compiles()
            progress.advance(task)


def attempt_of(scenario: str, stand_in: str, seed: int) -> Any:
    """Return the attempt asked for; InputError for an unknown drill or stand-in."""
    from difflib import get_close_matches

    from sim.session.scenario import load
    from sim.trainees.standins import STAND_INS, Attempt

    if seed < 0:
        raise InputError((Problem("--seed", None, "", str(seed), "must be at least 0", None),))
    if stand_in not in STAND_INS:
        near = get_close_matches(stand_in, STAND_INS, n=1)
        known = f"not one of {', '.join(STAND_INS)}"
        raise InputError(
            (Problem("--stand-in", None, "", stand_in, known, near[0] if near else None),)
        )
    return Attempt(load(scenario), stand_in, seed)


def usable(folder: Path | None) -> Path | None:
    """Return a folder that can be filled; InputError if a file is in its place."""
    if folder is not None and any(p.exists() and not p.is_dir() for p in (folder, *folder.parents)):
        rule = "a file is in the way of this folder"
        raise InputError((Problem("--out", None, "", str(folder), rule, None),))
    return folder


def name_of(scenario: str) -> str:
    """Return a drill's name as the scorecard states it."""
    return Path(scenario).stem


@app.callback()
def dryhop(context: typer.Context) -> None:
    """Open the window; without a display, say what there is to do."""
    if context.invoked_subcommand is not None:
        return
    from sim.commands.window import at_home, has_display

    if has_display():
        at_home()
    else:
        out.print("No display here. Without one: dryhop demo, dryhop rehearse, dryhop --help.")


@app.command()
def practise(
    scenario: Annotated[str, typer.Argument(help="A drill by name or file.")] = DEMO,
    seed: Annotated[
        int | None, typer.Option(help="Fixes all chance; by chance if not given.")
    ] = None,
    trainee: Annotated[str, typer.Option(help="Who practises, for the scorecard.")] = "",
) -> None:
    """Open the window on a drill."""
    from sim.commands.window import has_display, on_drill
    from sim.session.scenario import load

    load(scenario)
    if not has_display():
        raise Refusal("No display here: a drill is practised in a window.")
    on_drill(scenario, seed, trainee)


@app.command()
def demo(
    scenario: Annotated[str, typer.Argument(help="A drill by name or file.")] = DEMO,
    seed: Annotated[int, typer.Option(help="Fixes all chance in the run.")] = 7,
    folder: Annotated[Path | None, typer.Option("--out", help="Run folder to fill.")] = None,
    window: Annotated[
        bool, typer.Option(help="Show the run in a window, if there is a display.")
    ] = True,
) -> None:
    """Let the careful stand-in do a whole drill, print the scorecard, then show the run."""
    from sim.commands.report import print_scorecard
    from sim.commands.window import has_display, on_run
    from sim.runs import new_folder
    from sim.runs import rehearse as run_it

    attempt = attempt_of(scenario, "careful", seed)
    folder = usable(folder) or new_folder(scenario)
    compile_with_progress()
    out.print(f"[bold]{attempt.scenario.title}[/bold]\n{attempt.scenario.story.strip()}\n")
    card = run_it(attempt, name_of(scenario), folder)
    if window and has_display():
        on_run(folder, attempt.scenario.title)  # before the scorecard, which tells the faults
    print_scorecard(out, card)
    out.print(f"Run folder: {folder}")


@app.command()
def rehearse(
    scenario: Annotated[str, typer.Argument(help="A drill by name or file.")],
    stand_in: Annotated[
        str, typer.Option("--stand-in", help="careful, hasty, hunch, clicker or oracle.")
    ] = "careful",
    seed: Annotated[int, typer.Option(help="Fixes all chance in the run.")] = 7,
    folder: Annotated[Path | None, typer.Option("--out", help="Run folder to fill.")] = None,
    as_json: Json = False,
) -> None:
    """Let a stand-in do a drill without a window; exit 1 unless it is cleared to hop."""
    from sim.commands.report import print_scorecard
    from sim.runs import rehearse as run_it
    from sim.scoring.scorecard import CLEARED

    attempt = attempt_of(scenario, stand_in, seed)
    folder = usable(folder)
    compile_with_progress()
    card = run_it(attempt, name_of(scenario), folder)
    if not say(card, as_json):
        print_scorecard(out, card)
    raise typer.Exit(FINE if card["verdict"] == CLEARED else NO)


@app.command()
def replay(
    folder: Annotated[Path, typer.Argument(help="A run folder.")],
    window: Annotated[bool, typer.Option("--window", help="Show it as well.")] = False,
) -> None:
    """Do a recorded run again; exit 1 at the first bit that differs."""
    from sim.commands.window import has_display, on_run
    from sim.runs import replay as run_again

    compile_with_progress()
    tick = run_again(folder)
    out.print(f"Same to the last bit: {tick} ticks.")
    if window and not has_display():
        raise Refusal("No display here: the run can't be shown.")
    if window:
        on_run(folder, folder.name)


@app.command()
def score(
    folder: Annotated[Path, typer.Argument(help="A run folder.")], as_json: Json = False
) -> None:
    """Score a run anew from its scenario and journal; exit 1 unless it is cleared to hop."""
    from sim.commands.report import print_scorecard
    from sim.runs import score as score_again
    from sim.scoring.scorecard import CLEARED

    compile_with_progress()
    card = score_again(folder)
    if not say(card, as_json):
        print_scorecard(out, card)
    raise typer.Exit(FINE if card["verdict"] == CLEARED else NO)


@app.command()
def validate(
    files: Annotated[list[Path] | None, typer.Argument(help="Drill files.")] = None,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema.")] = False,
) -> None:
    """Check drill files; exit 2 with file and line for each thing wrong."""
    from sim.aircraft.textfile import json_schema, load_model
    from sim.session.scenario import Scenario

    if schema:
        sys.stdout.write(json.dumps(json_schema(Scenario), indent=2) + "\n")
        return
    if not files:
        raise InputError((Problem("validate", None, "", "", "name at least one file", None),))
    problems: list[Problem] = []
    for path in files:
        try:
            load_model(path, Scenario)
            out.print(f"{path}: good")
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)


@app.command()
def scenarios(as_json: Json = False) -> None:
    """List the shipped drills; what is hidden in them stays hidden."""
    from sim.commands.report import listing
    from sim.session.scenario import load, names

    rows: list[dict[str, Any]] = []
    for name in names():
        drill = load(name)
        rows.append({"name": name, "title": drill.title, "purpose": drill.purpose})
    if not say(rows, as_json):
        out.print(listing(rows, ("name", "title", "purpose")))


@app.command()
def faults(as_json: Json = False) -> None:
    """List the fault catalogue."""
    from sim.commands.report import faults_data, print_blocks

    rows = faults_data()
    if not say(rows, as_json):
        more = ("explanation", "in_the_air", "revealed_by", "proved_by", "caution")
        for row in rows:
            row["level"] = f"{row['family']}, hazard {row['hazard']}"
        print_blocks(out, rows, ("id", "level"), more)


@app.command()
def checks(as_json: Json = False) -> None:
    """List the checks."""
    from sim.commands.report import checks_data, print_blocks

    rows = checks_data()
    if not say(rows, as_json):
        print_blocks(out, rows, ("key", "title"), ("asks", "needs", "caution"))


@app.command()
def qualify(as_json: Json = False) -> None:
    """Compare the flight model with published values; exit 1 if a row fails."""
    from sim.commands.report import print_objective_tests
    from sim.qualify import rows as objective_tests

    compile_with_progress()
    rows = [asdict(row) for row in objective_tests()]
    passed = sum(row["passed"] for row in rows)
    if not say(rows, as_json):
        print_objective_tests(out, rows)
        out.print(f"{passed} of {len(rows)} rows pass.")
    raise typer.Exit(FINE if passed == len(rows) else NO)


@app.command()
def study(
    scenarios: Annotated[list[str] | None, typer.Argument(help="Drills by name or file.")] = None,
    stand_ins: Annotated[
        list[str] | None, typer.Option("--stand-ins", help="Which, apart or with commas.")
    ] = None,
    runs: Annotated[int, typer.Option(min=1, help="Seeds for each drill, or readings.")] = 20,
    workers: Annotated[
        int | None, typer.Option(min=1, help="Processes; all cores if not given.")
    ] = None,
    cluster: Annotated[str | None, typer.Option(help="Address of a cluster's scheduler.")] = None,
    detection: Annotated[
        bool, typer.Option("--detection", help="Measure every fault against every check.")
    ] = False,
    file: Annotated[Path | None, typer.Option("--out", help="Where the table goes.")] = None,
    as_json: Json = False,
) -> None:
    """Study drills by stand-ins, or measure detection; exit 1 if a fault has no sensitive check."""
    from sim.commands import study as commands
    from sim.diagnosis.table import default_file

    if detection == bool(scenarios):
        raise InputError((Problem("study", None, "", "", "name drills, or give --detection"),))
    where = commands.mapper(workers, cluster)
    who = commands.chosen_stand_ins(stand_ins or ["careful", "hasty"])
    compile_with_progress()
    if detection:
        document = commands.detection_study(err, where, runs, file or default_file())
        if not say(document, as_json):
            commands.print_detection_study(out, document)
        lacking = document["gaps"] or document["not_measured"] or document["broken"]
        raise typer.Exit(NO if lacking else FINE)
    document = commands.drills_study(err, where, scenarios or [], who, runs)
    if not say(document, as_json):
        commands.print_drills_study(out, document)


@app.command()
def version() -> None:
    """Print the version."""
    out.print(__version__)


def main() -> None:
    """Run a command; bad input exits 2, a 'no' exits 1, each with one clear message."""
    try:
        app(standalone_mode=True)
    except InputError as error:
        err.print(str(error), markup=False, highlight=False, soft_wrap=True)
        raise SystemExit(BAD_INPUT) from None
    except (DryhopError, Refusal) as error:
        err.print(str(error), markup=False, highlight=False, soft_wrap=True)
        raise SystemExit(NO) from None


if __name__ == "__main__":
    main()
