"""The first hop drawn: from above, and height and heading over time, with the rubric's bands."""

from typing import Any

import numpy as np

from sim.figures import AMBER, INK, PAGE_IN, QUIET_INK, TEAL, svg
from sim.procedure.rubric import Rubric
from sim.scoring.hop import first_hop
from sim.session.record import Record

BEFORE_S = 2.0  # s; own: what led up to it
ROWS = 1500  # own: more rows than a page has dots across
BANDS = (("desired", TEAL), ("adequate", AMBER))


def hop_figure(record: Record, rubric: Rubric) -> str | None:
    """Return the first hop as an SVG document; None if there was none."""
    if record.takeoff_s is None:
        return None
    takeoff = record.takeoff_s
    track = first_hop(record)
    rows = np.flatnonzero(track["time_s"] >= takeoff - BEFORE_S)
    if rows.size < 2:
        return None
    rows = rows[:: max(1, rows.size // ROWS)]
    time = track["time_s"][rows] - takeoff
    north = track["north_m"][rows] - record.pad_north_m
    east = track["east_m"][rows] - record.pad_east_m
    height, heading = track["height_m"][rows], np.degrees(np.unwrap(track["heading_rad"][rows]))

    def draw(figure: Any) -> None:
        grid = figure.add_gridspec(2, 2, width_ratios=(1.0, 1.5))
        above = figure.add_subplot(grid[:, 0])
        up, turn = figure.add_subplot(grid[0, 1]), figure.add_subplot(grid[1, 1])
        angle = np.linspace(0.0, 2.0 * np.pi, 73)
        for name, colour in BANDS:
            band = getattr(rubric.hop, name)
            above.plot(
                band.away_m * np.sin(angle), band.away_m * np.cos(angle),
                color=colour, lw=0.8, ls=(0, (4, 2)), label=name,
            )  # fmt: skip
            plan = record.scenario.hop.height_m
            for axes, middle, width in ((up, plan, band.height_m), (turn, 0.0, band.heading_deg)):
                for edge in (middle - width, middle + width):
                    axes.axhline(edge, color=colour, lw=0.8, ls=(0, (4, 2)))
        above.plot(east, north, color=INK, lw=1.0)
        above.set(xlabel="east of the pad, m", ylabel="north of the pad, m", aspect="equal")
        above.legend(frameon=False, fontsize=6.5, loc="upper right")
        up.plot(time, height, color=INK, lw=1.0)
        up.set(ylabel="height, m", ylim=(0.0, None))
        turn.plot(time, heading, color=INK, lw=1.0)
        turn.set(ylabel="heading off, deg", xlabel="time since takeoff, s")
        for axes in (up, turn):
            axes.axvline(0.0, color=QUIET_INK, lw=0.6)
        figure.tight_layout()

    return svg(PAGE_IN, 3.4, draw)
