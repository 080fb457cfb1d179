"""What a line showed, drawn: over the evening against what sound aircraft show, and as recorded beside a sound one.

The sound curve is simulated: the same check on the same aircraft without the faults put in.
"""

from math import isfinite
from typing import Any, NamedTuple

import numpy as np

from sim.aircraft.fields import PLACES
from sim.bench.check import brought
from sim.bench.checklist import CHECKS
from sim.bench.fitting import told as corner
from sim.bench.lines import measures
from sim.bench.reading import Series
from sim.errors import Refusal
from sim.figures import AMBER, INK, PAGE_IN, QUIET_INK, TEAL, svg
from sim.keys import CheckKey, FaultId
from sim.scoring.case import Case, belongs
from sim.scoring.knowable import Cue
from sim.session.record import Record
from sim.window.evidence import IN_WORDS
from sim.window.values import axis, kind_of

ALONE_IN, TALL_IN = 5.0, 2.0  # inch; own: low, three faults fit on a page
NO_NUMBER = (*IN_WORDS, "setting")


class Pair(NamedTuple):
    """A curve as recorded, and as a sound aircraft gives it in the same check; None if it can't."""

    title: str
    recorded: Series
    sound: Series | None


class Evening(NamedTuple):
    """A line over the evening: (minute, value) of each reading, and the minutes of what was changed."""

    read: list[tuple[float, float]]
    changed: list[float]


def evening_of(cue: Cue, fault: FaultId, case: Case) -> Evening:
    """Return what the line of a cue read before takeoff, as it is compared, and when a fix was made."""
    read = [
        (case.events[at].minutes, measures(values, cue.line)[cue.band.measure])
        for at, (check, values) in case.readings.items()
        if check == cue.check and cue.line in values
    ]
    changed = [event.minutes for event in case.events if belongs(event, fault)]
    return Evening([point for point in read if isfinite(point[1])], changed)


def sound_series(record: Record, check: CheckKey) -> dict[str, Series]:
    """Return the curves of a check on this aircraft without its faults; none if it can't be done."""
    world = record.scenario.sound(np.random.default_rng(record.seed))
    try:
        return CHECKS[check].take(brought(world, CHECKS[check], record.seed)).series
    except Refusal:
        return {}


def _from_start(one: Series) -> tuple[np.ndarray, np.ndarray]:
    x = np.array(one.x)
    return (x - x[0] if one.x_name == "time_s" and x.size else x), np.array(one.y)


def _apart(pair: Pair) -> float:
    """Return how far both curves lie apart on average, in spans of both together."""
    if pair.sound is None:
        return 0.0
    x, y = _from_start(pair.recorded)
    other_x, other_y = _from_start(pair.sound)
    if not x.size or not other_x.size:
        return 0.0
    span = max(y.max(), other_y.max()) - min(y.min(), other_y.min())
    order = np.argsort(other_x)
    off = np.abs(y - np.interp(x, other_x[order], other_y[order])).mean()
    return float(off / span) if span > 0.0 else 0.0


def pair_of(cue: Cue, case: Case) -> Pair | None:
    """Return the curve that goes with a cue: that of its place, or that furthest from the sound one."""
    reading = case.events[cue.at].reading
    if reading is None or not reading.series:
        return None
    place = next((corner(p) for p in PLACES if cue.line.startswith(f"{p}_")), None)
    titles = [place] if place in reading.series else list(reading.series)
    sound = sound_series(case.record, cue.check)
    pairs = [Pair(title, reading.series[title], sound.get(title)) for title in titles if title]
    return max(pairs, key=_apart, default=None)


def _over_the_evening(axes: Any, cue: Cue, evening: Evening) -> None:
    _, unit, factor, offset = axis(cue.line)
    shift = 0.0 if cue.off_four else offset
    low, high = (factor * edge + shift for edge in (cue.band.low_inner, cue.band.high_inner))
    axes.axhspan(low, high, color=TEAL, alpha=0.18, lw=0, label="sound aircraft")
    axes.axhline(factor * cue.band.middle + shift, color=TEAL, lw=0.8)
    for n, minutes in enumerate(evening.changed):
        axes.axvline(minutes, color=AMBER, lw=0.9, ls=(0, (4, 2)), label=None if n else "changed")
    times, values = zip(*evening.read, strict=True)
    axes.plot(times, factor * np.array(values) + shift, "o-", color=INK, ms=4, lw=0.8, label="read")
    axes.set_xlabel("minute of the evening")
    axes.set_title(unit, fontsize=7.5, loc="left", pad=3)
    axes.margins(0.15)
    axes.legend(frameon=False, fontsize=6.5, loc="best")


def _beside(axes: Any, pair: Pair) -> None:
    words, unit, factor, offset = axis(pair.recorded.y_name)
    along, along_unit, along_factor, along_offset = axis(pair.recorded.x_name)
    curves = (
        (pair.sound, TEAL, 1.4, (0, (4, 2)), "sound, simulated"),
        (pair.recorded, INK, 0.9, "-", "as you had it"),
    )
    for curve, colour, width, dash, label in curves:
        if curve is not None:
            x, y = _from_start(curve)
            shown = factor * y + offset
            axes.plot(
                along_factor * x + along_offset, shown, color=colour, lw=width, ls=dash, label=label
            )
    axes.set_title(f"{pair.title}: {words}, {unit}", fontsize=7.5, loc="left", pad=3)
    axes.set_xlabel(f"{along}, {along_unit}")
    axes.legend(frameon=False, fontsize=6.5, loc="best")


def cue_figure(cue: Cue, fault: FaultId, case: Case) -> str | None:
    """Return the drawing that goes with a cue as an SVG document; None if there is nothing to draw.

    What is told in words, as yes and no, has no curve.
    """
    evening = evening_of(cue, fault, case)
    numbers = bool(evening.read) and kind_of(cue.line) not in NO_NUMBER
    pair = pair_of(cue, case)
    panels = numbers + (pair is not None)
    if not panels:
        return None

    def draw(figure: Any) -> None:
        places = list(figure.subplots(1, panels, squeeze=False)[0])
        if numbers:
            _over_the_evening(places.pop(0), cue, evening)
        if pair is not None:
            _beside(places.pop(0), pair)
        for axes in figure.axes:
            axes.tick_params(length=2, labelsize=6.5, color=QUIET_INK)
        figure.tight_layout()

    return svg(PAGE_IN if panels > 1 else ALONE_IN, TALL_IN, draw)
