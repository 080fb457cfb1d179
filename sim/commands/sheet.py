"""The command that prints an aircraft's build sheet, by the same code as the window's page."""

from typing import Annotated, Any

import typer

from sim.commands.ends import Json, err, out, say

AirframeName = Annotated[
    str | None,
    typer.Argument(metavar="AIRFRAME", help="An airframe, by name or file; else the trainer."),
]


def sheet(name: AirframeName = None, as_json: Json = False) -> None:
    """Print the build sheet: every line that is judged, what is normal, its limits, and who says so.

    Normal is what 95 of 100 sound aircraft show; beyond its limits an aircraft is not sound.
    """
    from sim.aircraft.library import TRAINER, file_or_name

    airframe = file_or_name(name or TRAINER)
    rows = sheet_data(airframe)
    if not say(rows, as_json):
        from sim.commands.report import listing

        for title in dict.fromkeys(row["part"] for row in rows):
            here = [row for row in rows if row["part"] == title]
            columns = ("line", "normal", "limits") if any(row["limits"] for row in here) else None
            out.print(title, style="bold", markup=False)
            out.print(listing(here, columns or ("line", "normal")))
            for source in dict.fromkeys(row["source"] for row in here):
                out.plain(f"  Source: {source}.\n")
    if all(row["check"] is None for row in rows):
        err.plain(
            f"What sound aircraft show has not been measured for {airframe}: "
            f"dryhop study --bands --airframe {airframe}"
        )


def sheet_data(airframe: str) -> list[dict[str, Any]]:
    """Return the lines of an airframe's build sheet as plain data; InputError names the nearest one."""
    from sim.aircraft import library
    from sim.window.buildsheet import judged, section

    design, of = library.airframe(airframe), judged(airframe)
    return [
        {
            "part": part.title,
            "check": part.check,
            "measure": line.key,
            "line": line.words,
            "normal": line.normal,
            "limits": line.limit,
            "source": line.source,
        }
        for part in (section(design, of, at, {}) for at in range(1 + len(of)))
        for line in part.lines
    ]
