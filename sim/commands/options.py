"""Options that several commands have, and those of a study that say how it is done."""

from pathlib import Path
from typing import Annotated

import typer

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
