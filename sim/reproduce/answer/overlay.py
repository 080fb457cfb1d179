"""Recorded and simulated curves above each other, as a drawing for paper."""

from collections.abc import Sequence
from io import StringIO
from typing import Any

import numpy as np

from sim.reproduce.answer.curves import Curve, Moment, nearest_look

INK, QUIET_INK, PAPER = "#22303c", "#8c979f", "#fbfaf6"
LIKELIEST, MARK = "#0b6e69", "#e7b84a"
STYLE: dict[Any, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "dryhop",  # the same curves give the same file
    "font.family": "sans-serif",
    "font.size": 8.0,
    "axes.edgecolor": QUIET_INK,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.6,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "figure.facecolor": PAPER,
    "axes.facecolor": PAPER,
    "savefig.facecolor": PAPER,
}
WIDE_IN, TALL_IN = 7.4, 1.35  # inch; own: a page wide, six channels on a page
MOST = 6  # channels; own: those that decided, and then others
EDGE = 0.003  # share; own: what lies further out, a start or a crash, may leave the picture
AIR = 0.08  # of the span; own: curves don't touch the frame


def _limits(curve: Curve) -> tuple[float, float]:
    """Return the span shown: nearly all of what was recorded, and of the likeliest."""
    seen = np.concatenate([curve.recorded, curve.likeliest])
    seen = seen[np.isfinite(seen)]
    if not seen.size:
        return -1.0, 1.0
    low, high = (float(end) for end in np.percentile(seen, [100.0 * EDGE, 100.0 * (1.0 - EDGE)]))
    air = AIR * (high - low) or 1.0
    return low - air, high + air


def _draw(axes: Any, curve: Curve, marks: Sequence[Moment], rival: str) -> None:
    for moment in marks:
        if moment.words == curve.words:
            axes.axvspan(moment.time_s, moment.end_s, color=MARK, alpha=0.45, lw=0)
    lines = (
        (curve.recorded, INK, 1.2, "-", "recorded"),
        (curve.against, QUIET_INK, 0.9, (0, (1, 1.5)), f"as {rival}"),
        (curve.likeliest, LIKELIEST, 1.0, (0, (4, 2)), "the likeliest"),
    )
    for values, colour, width, dash, words in lines:
        axes.plot(curve.time_s, values, color=colour, lw=width, ls=dash, label=words)
    axes.set_ylim(*_limits(curve))
    axes.tick_params(length=2, labelsize=6.5)


def drawing(curves: Sequence[Curve], marks: Sequence[Moment], title: str, rival: str) -> str:
    """Return the curves as an SVG document; ValueError without curves.

    marks : moments to be marked on their channels; rival : what the likeliest is held against.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    shown = curves[:MOST]
    if not shown:
        raise ValueError("no curves to draw")
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(WIDE_IN, TALL_IN * len(shown) + 0.75))
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
        file = StringIO()
        figure.savefig(file, format="svg", metadata={"Date": None, "Creator": None})
    return file.getvalue()
