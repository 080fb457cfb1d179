"""Options and arguments that several commands have, and those of a study that say how it is done."""

from pathlib import Path
from typing import Annotated

import typer

RunDir = Annotated[Path, typer.Argument(help="A run folder.")]
Replace = Annotated[bool, typer.Option("--replace", help="Write over what lies there.")]
Page = Annotated[Path, typer.Option("--out", help="Page to write.")]
InBrowser = Annotated[bool, typer.Option("--open", help="Open it in the browser.")]

Processes = Annotated[
    int | None, typer.Option("--workers", min=1, help="Processes; all cores if not given.")
]
Scheduler = Annotated[
    str | None,
    typer.Option(
        "--cluster", help="Address of the scheduler of a Dask cluster that does the work."
    ),
]
Kept = Annotated[
    Path | None,
    typer.Option(
        "--keep",
        help="File of all results, one a line; a study cut short goes on from it. Without it they "
        "are kept until the study is done.",
    ),
]
Anew = Annotated[
    bool, typer.Option("--fresh", help="Throw away what was kept of this study before.")
]
OtherAirframe = Annotated[
    str | None,
    typer.Option("--airframe", help="Another airframe than the usual, by name or file."),
]
OtherSite = Annotated[
    str | None, typer.Option("--site", help="Another site than the drill's, by name or file.")
]

OnBands = Annotated[
    bool, typer.Option("--bands", help="Measure what sound aircraft show on each line.")
]
OnDetection = Annotated[
    bool, typer.Option("--detection", help="Measure every fault against every check.")
]
OnSymptoms = Annotated[
    bool, typer.Option("--symptoms", help="Fly every fault and measure what a hop shows of it.")
]
OnValidity = Annotated[
    bool,
    typer.Option("--validity", help="Good against poor stand-ins, and the scorer against truth."),
]
OnLearners = Annotated[
    bool,
    typer.Option("--learners", help="Simulated trainees: drills by the logbook, or at random."),
]
MeasuredOnly = Annotated[
    list[str] | None,
    typer.Option("--only", help="Faults and checks to measure; the table's other lines are kept."),
]
Tables = Annotated[
    Path | None,
    typer.Option("--out", help="Folder of the tables; the shipped ones if not given."),
]
