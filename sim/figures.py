"""How figures look on a page, and how they become SVG: the same data give the same file."""

from collections.abc import Callable
from io import StringIO
from typing import Any

INK, QUIET_INK, PAPER = "#22303c", "#8c979f", "#fbfaf6"
TEAL, AMBER, OCHRE = "#0b6e69", "#b4641c", "#e7b84a"
PAGE_IN = 7.4  # inch; own: as wide as a page
STYLE: dict[Any, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "dryhop",
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


def svg(
    wide_in: float, tall_in: float, draw: Callable[[Any], None], style: dict[Any, Any] = STYLE
) -> str:
    """Return a figure as an SVG document; draw : what draws on the empty figure it is given."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(style):
        figure = Figure(figsize=(wide_in, tall_in))
        draw(figure)
        file = StringIO()
        figure.savefig(file, format="svg", metadata={"Date": None, "Creator": None})
    return file.getvalue()
