"""Power curves drawn: how the best check's power grows with a fault's severity."""

from pathlib import Path
from typing import Any

from sim.aircraft.textfile import write_text_atomic
from sim.diagnosis.summary import DOUBTFUL_POWER, by_degrees, curve
from sim.diagnosis.table import Table
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Family
from sim.faults.severity import LIMIT_AT
from sim.figures import AMBER, INK, QUIET_INK, STYLE, TEAL, svg

CALLED, PLAIN, FALSE = TEAL, AMBER, QUIET_INK
QUIET = STYLE | {"xtick.color": QUIET_INK, "ytick.color": QUIET_INK}  # many pictures on a page
SMALL_IN = 1.45  # inch; own: five pictures beside each other on a page
ACROSS = 5  # pictures; own: as wide as a page


def _draw(axes: Any, table: Table, fault: str) -> None:
    rows = curve(table, fault)
    x = [row.severity for row in rows]
    axes.axhspan(*DOUBTFUL_POWER, color=QUIET_INK, alpha=0.10, linewidth=0)
    axes.axhline(rows[0].false_alarm, color=FALSE, linewidth=0.8, linestyle=(0, (1, 2)))
    axes.fill_between(
        x, [r.power_low for r in rows], [r.power_high for r in rows], color=CALLED, alpha=0.15, lw=0
    )
    axes.plot(x, [r.plain for r in rows], color=PLAIN, linewidth=1.0, linestyle=(0, (4, 2)))
    axes.plot(x, [r.power for r in rows], color=CALLED, linewidth=1.4, marker="o", markersize=2.2)
    axes.set(xlim=(-0.02, 1.02), ylim=(-0.03, 1.03), xticks=(0, 0.5, 1), yticks=(0, 0.5, 1))
    axes.set_title(f"{fault}\n{rows[0].check}", fontsize=6.0, color=INK, loc="left", pad=3)
    axes.tick_params(length=2, labelsize=6)


def _sheet(table: Table, faults: tuple[str, ...], title: str, file: Path) -> None:
    down = -(-len(faults) // ACROSS)

    def draw_all(figure: Any) -> None:
        grid = figure.subplots(down, ACROSS, squeeze=False, sharex=True, sharey=True)
        for place in grid.flat[len(faults) :]:
            place.set_visible(False)
        for place, fault in zip(grid.flat, faults, strict=False):
            _draw(place, table, fault)
        figure.suptitle(title, x=0.02, ha="left", fontsize=9)
        figure.supxlabel(
            "severity (0: a deviation that needs no cure; 0.1: the limit).  Solid: called; dashed: "
            "plainly outside; dotted: false alarms",
            fontsize=6.5,
        )
        figure.supylabel("share of readings", fontsize=7)
        figure.tight_layout(rect=(0.0, 0.0, 1.0, 0.99))

    write_text_atomic(file, svg(SMALL_IN * ACROSS + 0.3, SMALL_IN * down + 0.8, draw_all, QUIET))


def _overview(table: Table, faults: tuple[str, ...], file: Path) -> None:
    """Draw one small picture for each family, all its curves in it."""
    families = tuple(dict.fromkeys(CATALOGUE[f].family for f in faults))  # type: ignore[index]

    def draw_all(figure: Any) -> None:
        grid = figure.subplots(2, -(-len(families) // 2), squeeze=False, sharex=True, sharey=True)
        for place in grid.flat[len(families) :]:
            place.set_visible(False)
        for place, family in zip(grid.flat, families, strict=False):
            _family(place, table, family, of_family(faults, family))
        figure.supxlabel("severity", fontsize=7)
        figure.supylabel("share of readings called", fontsize=7)
        figure.tight_layout()

    write_text_atomic(file, svg(7.2, 3.6, draw_all, QUIET))


def _family(axes: Any, table: Table, family: Family, faults: tuple[str, ...]) -> None:
    from statistics import median

    curves = [curve(table, fault) for fault in faults]
    for rows in curves:
        axes.plot([r.severity for r in rows], [r.power for r in rows], color=QUIET_INK, lw=0.6)
    severities = [row.severity for row in curves[0]]
    middle = [
        median(r.power for rows in curves for r in rows if r.severity == s) for s in severities
    ]
    axes.plot(severities, middle, color=CALLED, linewidth=1.8)
    axes.axvline(LIMIT_AT, color=QUIET_INK, linewidth=0.6, linestyle=(0, (1, 2)))
    axes.set(xlim=(-0.02, 1.02), ylim=(-0.03, 1.03), xticks=(0, 0.5, 1), yticks=(0, 0.5, 1))
    axes.set_title(f"{family} ({len(faults)})", fontsize=8, loc="left")
    axes.tick_params(length=2, labelsize=6)


def of_family(faults: tuple[str, ...], family: Family) -> tuple[str, ...]:
    """Return the faults of a family."""
    return tuple(f for f in faults if CATALOGUE[f].family == family)  # type: ignore[index]


def draw(table: Table, folder: Path) -> list[Path]:
    """Draw the curves of the faults that have degrees, a sheet a family and one for all."""
    faults = by_degrees(table)
    if not faults:
        return []
    files = [folder / "detection.svg"]
    _overview(table, faults, files[0])
    for family in dict.fromkeys(CATALOGUE[f].family for f in faults):
        files.append(folder / f"detection-{family}.svg")
        _sheet(table, of_family(faults, family), f"{family}", files[-1])
    return files
