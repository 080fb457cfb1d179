"""The commands."""

import gc
import sys
from functools import partial
from pathlib import Path
from typing import Annotated, Any

import typer

from sim import __version__
from sim.commands.asked import (
    attempt_of,
    left_attempt,
    name_of,
    require_name,
    require_seed,
    usable,
)
from sim.commands.compiling import compile_with_progress
from sim.commands.ends import FINE, NO, Commands, Json, ended, err, out, say
from sim.commands.logbook import logbook
from sim.commands.newdrill import new_drill
from sim.commands.options import (
    Anew,
    Kept,
    MeasuredOnly,
    OnBands,
    OnDetection,
    OnLearners,
    OnSymptoms,
    OnValidity,
    OtherAirframe,
    OtherSite,
    Processes,
    Scheduler,
    Tables,
)
from sim.commands.pages import cards, debrief
from sim.commands.ready import get_ready
from sim.commands.recorded import classroom, replay, score
from sim.commands.recordings import reproduce
from sim.commands.sharing import open_, share
from sim.commands.sheet import sheet
from sim.errors import InputError, Problem, Refusal

DEMO = "first-evening"

app = typer.Typer(
    cls=Commands,
    help="dryhop: rehearse the bench set-up and first hop of a small quadrotor. A rehearsal does not "
    "replace your club's rules, local codes or a licensed practice.",
    invoke_without_command=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,  # help is plain text, and quick
)


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
    scenario: Annotated[
        str | None, typer.Argument(help="A drill by name or file, or a run folder.")
    ] = None,
    seed: Annotated[
        int | None, typer.Option(help="Fixes all chance; the drill's own, else by chance.")
    ] = None,
    trainee: Annotated[str, typer.Option(help="Who practises, for the scorecard.")] = "",
    new: Annotated[bool, typer.Option("--new", help="Begin anew, whatever was left.")] = False,
    airframe: OtherAirframe = None,
    site: OtherSite = None,
) -> None:
    """Open the window on an attempt left in the middle, or on a new one.

    The last attempt of this drill, seed and trainee that was left is taken up, if there is one and no
    other airframe or site is asked for; a run folder names one itself.
    """
    from sim.commands.asked import drill_of
    from sim.commands.window import has_display, on_attempt, on_drill
    from sim.runs import require_left

    if seed is not None:
        require_seed(seed)
    require_name(trainee)
    folder = drill = None
    if scenario is not None and Path(scenario).is_dir():
        folder = require_left(Path(scenario))
    else:
        drill = drill_of(scenario or DEMO, airframe, site)
        anew = new or airframe is not None or site is not None
        folder = None if anew else left_attempt(scenario and name_of(scenario), seed, trainee)
    if not has_display():
        raise Refusal("No display here: a drill is practised in a window.", "no_display")
    if folder is not None:
        err.plain(f"Taking up the attempt left in {folder}; --new begins another.")
        on_attempt(folder)
    else:
        on_drill(drill, name_of(scenario or DEMO), seed, trainee)


@app.command()
def demo(
    scenario: Annotated[str, typer.Argument(help="A drill by name or file.")] = DEMO,
    seed: Annotated[
        int | None, typer.Option(help="Fixes all chance in the run; the drill's own, else 7.")
    ] = None,
    folder: Annotated[Path | None, typer.Option("--out", help="Run folder to fill.")] = None,
    window: Annotated[
        bool, typer.Option(help="Show the run in a window, if there is a display.")
    ] = True,
    airframe: OtherAirframe = None,
    site: OtherSite = None,
) -> None:
    """Let the careful stand-in do a whole drill, print the scorecard, then show the run."""
    from sim.commands.report import print_scorecard
    from sim.commands.window import has_display, on_run
    from sim.pages.debrief import write
    from sim.runs import new_folder
    from sim.runs import rehearse as run_it

    attempt = attempt_of(scenario, "careful", seed, airframe, site)
    folder = usable(folder, attempt, name_of(scenario)) or new_folder(scenario)
    get_ready(attempt.scenario.airframe)
    out.print(attempt.scenario.title, style="bold", markup=False, highlight=False)
    out.print(f"{attempt.scenario.story.strip()}\n", markup=False, highlight=False)
    card = run_it(attempt, name_of(scenario), folder, write)
    if window and has_display():
        on_run(folder, attempt.scenario.title)  # before the scorecard, which tells the faults
    print_scorecard(out, card)
    out.plain(f"Run folder: {folder}")


@app.command()
def rehearse(
    scenario: Annotated[str, typer.Argument(help="A drill by name or file.")],
    stand_in: Annotated[
        str, typer.Option("--stand-in", help="careful, late, noisy, cautious, partial-75, hasty …")
    ] = "careful",
    seed: Annotated[
        int | None, typer.Option(help="Fixes all chance in the run; the drill's own, else 7.")
    ] = None,
    airframe: OtherAirframe = None,
    site: OtherSite = None,
    folder: Annotated[Path | None, typer.Option("--out", help="Run folder to fill.")] = None,
    as_json: Json = False,
) -> None:
    """Let a stand-in do a drill without a window; exit 1 unless it is cleared to hop."""
    from sim.commands.report import print_scorecard
    from sim.pages.debrief import write
    from sim.runs import rehearse as run_it
    from sim.scoring.scorecard import CLEARED

    attempt = attempt_of(scenario, stand_in, seed, airframe, site)
    folder = usable(folder, attempt, name_of(scenario))
    get_ready(attempt.scenario.airframe)
    card = run_it(attempt, name_of(scenario), folder, write)
    if not say(card, as_json):
        print_scorecard(out, card)
    raise typer.Exit(FINE if card["verdict"] == CLEARED else NO)


app.command()(replay)
app.command()(score)
app.command()(classroom)


@app.command()
def validate(
    files: Annotated[
        list[Path] | None, typer.Argument(help="Files of drills, airframes, answers.")
    ] = None,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema.")] = False,
) -> None:
    """Check files of drills, airframes, packs, sites, answers; exit 2 with file and line of each slip."""
    import json

    from sim.aircraft.textfile import json_schema
    from sim.session.scenario import Scenario

    if schema:
        sys.stdout.write(json.dumps(json_schema(Scenario), indent=2) + "\n")
        return
    if not files:
        raise InputError((Problem("validate", None, "", "", "name at least one file", None),))
    from sim.commands.validating import checked

    problems: list[Problem] = []
    for path in files:
        try:
            checked(path)
            out.plain(f"{path}: good")
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)


@app.command()
def describe(
    answers: Annotated[
        Path | None,
        typer.Option(help="File of answers: read if it is there, else written after asking."),
    ] = None,
    file: Annotated[
        Path | None, typer.Option("--out", help="Airframe file to write; its name if not given.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Describe your own aircraft: estimates, what to measure, build sheet and safe gains.

    Estimates prove nothing of a real aircraft: first flights follow local rules and a licensed or
    appointed teacher.
    """
    from sim.commands import describe as commands
    from sim.describe.account import CAUTION, document

    say_to = err if as_json else out
    say_to.plain(CAUTION)
    given = commands.answered(answers, say_to)
    compile_with_progress()
    path, account = commands.written(given, file)
    if not say(document(account, path), as_json):
        commands.show(out, account)
        out.plain(f"\nAirframe file: {path}\n{CAUTION}")


app.command()(reproduce)
app.command()(debrief)
app.command()(cards)
app.add_typer(logbook, name="logbook")
app.command()(sheet)
app.command("new-drill")(new_drill)
app.command()(share)
app.command("open")(open_)


@app.command()
def scenarios(as_json: Json = False) -> None:
    """List the shipped drills, rung by rung; what is hidden in them stays hidden."""
    from sim.commands.report import listing
    from sim.session.scenario import shipped

    rows: list[dict[str, Any]] = []
    for name, drill in shipped().items():
        told = {"title": drill.title, "purpose": drill.purpose, "needs": list(drill.needs)}
        rows.append({"rung": drill.rung, "name": name, **told, "help": drill.helping})
    rows.sort(key=lambda row: row["rung"])
    if not say(rows, as_json):
        out.print(listing(rows, ("name", "rung", "title", "purpose")))


@app.command()
def faults(as_json: Json = False) -> None:
    """List the fault catalogue."""
    from sim.commands.catalogues import faults_data
    from sim.commands.report import print_blocks

    rows = faults_data()
    if not say(rows, as_json):
        more = ("explanation", "in_the_air", "revealed_by", "proved_by", "caution")
        for row in rows:
            row["level"] = f"{row['family']}, hazard {row['hazard']}"
        print_blocks(out, rows, ("id", "level"), more)


@app.command()
def checks(as_json: Json = False) -> None:
    """List the checks."""
    from sim.commands.catalogues import checks_data
    from sim.commands.report import print_blocks

    rows = checks_data()
    if not say(rows, as_json):
        print_blocks(out, rows, ("key", "title"), ("asks", "needs", "caution"))


@app.command()
def qualify(as_json: Json = False) -> None:
    """Compare the flight model with values from outside; exit 1 if a row fails."""
    from dataclasses import asdict

    from sim import qualify as objective
    from sim.commands.report import print_objective_tests

    compile_with_progress()
    rows = objective.rows()
    plain = [asdict(row) for row in rows]
    passed = sum(row.passed for row in rows)
    if not say({"rows": plain, "counts": objective.counts(rows), "passed": passed}, as_json):
        print_objective_tests(out, plain)
        for kind, meaning in objective.MEANING.items():
            out.print(f"[bold]{kind}[/bold]: {meaning}")
        out.print(f"\n{objective.sentence(rows)}")
    raise typer.Exit(FINE if passed == len(rows) else NO)


@app.command()
def study(
    scenarios: Annotated[list[str] | None, typer.Argument(help="Drills by name or file.")] = None,
    stand_ins: Annotated[
        list[str] | None, typer.Option("--stand-ins", help="Which, apart or with commas.")
    ] = None,
    runs: Annotated[
        int | None, typer.Option(min=1, help="Seeds for each drill, readings, or sound builds.")
    ] = None,
    workers: Processes = None,
    cluster: Scheduler = None,
    keep: Kept = None,
    fresh: Anew = False,
    bands: OnBands = False,
    evenings: Annotated[
        int | None, typer.Option(min=0, help="Whole evenings on sound aircraft, for the bands.")
    ] = None,
    detection: OnDetection = False,
    symptoms: OnSymptoms = False,
    validity: OnValidity = False,
    learners: OnLearners = False,
    only: MeasuredOnly = None,
    airframe: OtherAirframe = None,
    site: OtherSite = None,
    folder: Tables = None,
    as_json: Json = False,
) -> None:
    """Study drills by stand-ins, or measure bands, detection, symptoms, marks; exit 1 if they fall short."""
    from sim.commands import marks, measuring
    from sim.commands import study as commands
    from sim.commands.working import Work
    from sim.session.scenario import names

    asked = measuring.Asked(
        bands, detection, symptoms, runs, evenings, only, airframe, site, folder
    )
    named = bool(scenarios) and not validity
    commands.require_one(named, bands, detection, symptoms, validity, learners)
    commands.require_unasked(validity or learners, stand_ins=stand_ins)
    commands.require_unasked(learners, airframe=airframe)
    asked.require_fitting()
    work = Work(workers, cluster, keep, fresh)
    work.require_fitting()
    who = commands.chosen_stand_ins(stand_ins or ["careful", "hasty"])
    if learners:
        raise typer.Exit(marks.learners(work, runs, as_json))
    shipped = names() if validity else []
    drills = commands.drills_of(scenarios or shipped, airframe, site)
    get_ready(*(drill.airframe for drill in drills.values()))
    if validity:
        raise typer.Exit(marks.validity(work, drills, runs, as_json))
    if asked.measures:
        document = asked.study(err, work)
        if not say(document, as_json):
            asked.show(out, document)
        raise typer.Exit(NO if measuring.lacking(document) else FINE)
    document = commands.drills_study(err, work, drills, who, runs or commands.RUNS)
    if not say(document, as_json):
        commands.print_drills_study(out, document)


@app.command()
def version() -> None:
    """Print the version."""
    out.print(__version__)


def main() -> None:
    """Run a command and exit by its code, with one clear message where something stopped it."""
    # reading a command line takes several times as long as this answer, which scripts ask for
    at_once = sys.argv[1:] == ["version"]
    code = ended(version if at_once else partial(app, standalone_mode=False))
    gc.freeze()  # what is left goes with the process: no need to search it for rubbish first
    raise SystemExit(code)


if __name__ == "__main__":
    main()
