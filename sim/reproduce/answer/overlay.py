"""Recorded and simulated curves above each other, as a drawing for paper."""

from collections.abc import Sequence
from typing import Any

from sim.figures import INK, OCHRE, PAGE_IN, QUIET_INK, TEAL, svg
from sim.reproduce.answer.curves import Curve, Moment, nearest_look

TALL_IN = 1.35  # inch; own: six channels on a page
MOST = 6  # channels; own: those that decided, and then others
AIR = 0.08  # of the span; own: curves don't touch the frame


def _limits(curve: Curve) -> tuple[float, float]:
    """Return the span shown: nearly all of what was recorded, and of the likeliest."""
    reach = curve.reach
    if reach is None:
        return -1.0, 1.0
    low, high = reach
    air = AIR * (high - low) or 1.0
    return low - air, high + air


def _draw(axes: Any, curve: Curve, marks: Sequence[Moment], rival: str) -> None:
    for moment in marks:
        if moment.words == curve.words:
            axes.axvspan(moment.time_s, moment.end_s, color=OCHRE, alpha=0.45, lw=0)
    lines = (
        (curve.recorded, INK, 1.2, "-", "recorded"),
        (curve.against, QUIET_INK, 0.9, (0, (1, 1.5)), f"as {rival}"),
        (curve.likeliest, TEAL, 1.0, (0, (4, 2)), "the likeliest"),
    )
    for values, colour, width, dash, words in lines:
        axes.plot(curve.time_s, values, color=colour, lw=width, ls=dash, label=words)
    axes.set_ylim(*_limits(curve))
    axes.tick_params(length=2, labelsize=6.5)


def drawing(curves: Sequence[Curve], marks: Sequence[Moment], title: str, rival: str) -> str:
    """Return the curves as an SVG document; ValueError without curves.

    marks : moments to be marked on their channels; rival : what the likeliest is held against.
    """
    shown = curves[:MOST]
    if not shown:
        raise ValueError("no curves to draw")

    def draw(figure: Any) -> None:
        places = figure.subplots(len(shown), 2, squeeze=False, width_ratios=(3, 2))
        for (whole, near), curve in zip(places, shown, strict=True):
            _draw(whole, curve.whole, marks, rival)
            whole.set_title(f"{curve.words}, {curve.unit}", fontsize=7.5, loc="left", pad=3)
            start, end = nearest_look(curve)
            _draw(near, curve.between(start, end).whole, marks, rival)
            near.set_xlim(start, end)
            near.set_title("a closer look", fontsize=7, loc="left", pad=3, color=QUIET_INK)
        for place in places[-1]:
            place.set_xlabel("time, s")
        figure.suptitle(title, x=0.01, ha="left", fontsize=9)
        handles, labels = places[0, 0].get_legend_handles_labels()
        figure.legend(handles, labels, loc="upper right", ncols=3, frameon=False, fontsize=7)
        figure.tight_layout(rect=(0.0, 0.0, 1.0, 0.98))

    return svg(PAGE_IN, TALL_IN * len(shown) + 0.75, draw)
