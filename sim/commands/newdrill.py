"""The command that makes a drill: asked for or given as options, rehearsed, rated, written."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from sim.commands.ends import Json, Paper, err, out, say
from sim.commands.options import Replace
from sim.errors import InputError, Problem, Refusal

Title = Annotated[str | None, typer.Option("--title", help="A title that gives nothing away.")]
Story = Annotated[str | None, typer.Option("--story", help="What is told beforehand.")]
Faults = Annotated[
    list[str] | None,
    typer.Option("--fault", help="A fault hidden in it, by name; may be given several times."),
]
Families = Annotated[
    list[str] | None,
    typer.Option("--family", help="A family to draw faults from; may be given several times."),
]
Sound = Annotated[bool, typer.Option("--sound", help="Nothing is wrong with it.")]
Number = Annotated[str | None, typer.Option("--count", help="How many are drawn, 1 to 4.")]
Severity = Annotated[
    str | None,
    typer.Option("--severity", help="0 to 1, a range as 0.3-0.7, or at-edge: by the logbook."),
]
Airframe = Annotated[
    str | None,
    typer.Option("--airframe", help="Aircraft, by name or file; the trainer if not given."),
]
Site = Annotated[str | None, typer.Option("--site", help="Site, by name or file.")]
Rung = Annotated[str | None, typer.Option("--rung", help="Rung of the ladder, 1 to 6.")]
Helped = Annotated[
    str | None, typer.Option("--helper", help="What the helper does: shown, hints or none.")
]
Needs = Annotated[
    list[str] | None,
    typer.Option(
        "--needs", help="A drill or family to be done before; may be given several times."
    ),
]
Minutes = Annotated[
    str | None, typer.Option("--minutes", help="What the careful need; measured if not given.")
]
To = Annotated[
    Path | None,
    typer.Option(
        "--out", help="File to write; named by its title, among your drills, if not given."
    ),
]


def new_drill(
    title: Title = None,
    story: Story = None,
    fault: Faults = None,
    family: Families = None,
    sound: Sound = False,
    count: Number = None,
    severity: Severity = None,
    airframe: Airframe = None,
    site: Site = None,
    rung: Rung = None,
    helper: Helped = None,
    needs: Needs = None,
    minutes: Minutes = None,
    to: To = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Make a drill: what is hidden, how bad, on which aircraft, what is told; asked if no option says it.

    Title and story must give nothing away. Before it is kept, stand-ins rehearse it, and it is said how
    hard it is. Exit 1 if it gives itself away, or if careful work comes to no good end in it.
    """
    options = {
        "title": title,
        "story": story,
        "faults": _listed(fault),
        "families": _listed(family),
        "count": count,
        "severity": severity,
        "airframe": airframe,
        "site": site,
        "rung": rung,
        "help": helper,
        "needs": _listed(needs),
        "minutes": minutes,
    }
    given = {key: text for key, text in options.items() if text is not None}
    if given and not (fault or family or sound):
        rule = "name a --fault or a --family, or say --sound if nothing is wrong with it"
        raise InputError((Problem("new-drill", None, "", "", rule),))
    say_to = err if as_json else out
    texts = given if given or sound else _asked(say_to)
    _make(say_to, texts, to, replace, as_json)


def _listed(names: list[str] | None) -> str | None:
    return ", ".join(names) if names else None


def _asked(say_to: Paper) -> dict[str, str]:
    """Ask everything; each question until its answer can be."""
    say_to.plain("Enter alone takes what stands in brackets; ? lists what there is; Ctrl-C stops.")

    def ask(words: str) -> str:
        return str(typer.prompt(words, default="", show_default=False, prompt_suffix=" "))

    return answers(ask, say_to.plain)


def answers(ask: Callable[[str], str], tell: Callable[[str], None]) -> dict[str, str]:
    """Return the answer to each question, as it was written; what needs no asking is left out."""
    from sim.maker.form import QUESTIONS, answer, choices

    texts: dict[str, str] = {}
    for question in QUESTIONS:
        if question.key == "count" and not texts["families"].strip():
            continue
        while True:
            text = ask(question.shown)
            if text.strip() == "?" and choices(question.key):
                tell(", ".join(choices(question.key)))
                continue
            try:
                answer(question.key, text)
            except ValueError as error:
                tell(str(error))
                continue
            texts[question.key] = text
            break
    return texts


def _make(
    say_to: Paper, texts: dict[str, str], to: Path | None, replace: bool, as_json: bool
) -> None:
    from sim.commands.answering import bar
    from sim.commands.ready import get_ready
    from sim.maker.file import name_for, require_free, write
    from sim.maker.form import Form
    from sim.maker.rating import rated, told
    from sim.maker.wish import require_secret
    from sim.paths import own_drills

    form = Form(texts)
    wish, drill = form.wish, form.drill
    if wish is None or drill is None:
        raise _wrong(form)
    path = require_free(to or own_drills() / name_for(wish.title), replace)
    require_secret(wish, path.stem)
    get_ready(drill.airframe)
    with bar(err) as progress:
        task = progress.add_task("", total=1.0)
        found = rated(
            drill,
            wish.minutes,
            lambda words, share: progress.update(task, description=words, completed=share),
        )
    lines = told(found)
    for line in lines:
        say_to.plain(line)
    if not found.passable:
        raise Refusal(f"{path} was not written.", "value")
    drill = drill.model_copy(update={"careful_min": found.careful_min})
    write(drill, lines, path, replace)
    document: dict[str, Any] = {
        "drill": str(path),
        "rehearsals": [one._asdict() for one in found.tries],
        "careful_min": found.careful_min,
        "difficulty": found.hard.mean,
        "difficulty_variance": found.hard.variance,
        "like_rung": found.like_rung,
    }
    if not say(document, as_json):
        out.plain(f"Drill: {path}")
        out.plain(f"Practise it: dryhop practise {path}")


def _wrong(form: Any) -> InputError:
    """Return the error that says what can't be, one line for each."""
    from sim.maker.form import QUESTIONS

    problems = [
        Problem("new-drill", None, q.key, form.text(q.key), form.wrong(q.key) or "is missing")
        for q in QUESTIONS
        if form.wrong(q.key) or (q.key == form.open_ and not form.text(q.key).strip())
    ]
    return InputError(problems or form.problems or (Problem("new-drill", None, "", "", form.said),))
