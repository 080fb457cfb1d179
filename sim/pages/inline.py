"""Figures inside a page: in the page's colours by day and by night, with names of their own, and told in words."""

import re

from markupsafe import Markup, escape

from sim.figures import AMBER, INK, OCHRE, PAPER, QUIET_INK, TEAL

COLOURS = {
    INK: "--ink",
    QUIET_INK: "--quiet",
    PAPER: "--sheet",
    TEAL: "--teal",
    AMBER: "--amber",
    OCHRE: "--ochre",
}  # of a figure, and what each is called in the page's style
OWN_NAME = re.compile(r'(\bid="|href="#|url\(#)')
METADATA = re.compile(r"<metadata>.*?</metadata>", re.DOTALL)
ATTRIBUTE = re.compile(r'\b(fill|stroke)="(#[0-9a-f]{6})"')


def inline(svg: str, name: str, words: str) -> Markup:
    """Return a figure to be put into a page.

    name : put before every name in it, since another figure may have the same; words : what it shows,
    for whoever does not see it.
    """
    drawn = METADATA.sub("", svg[svg.index("<svg") :])
    drawn = OWN_NAME.sub(rf"\g<1>{name}-", drawn)
    for colour, called in COLOURS.items():
        drawn = drawn.replace(f": {colour}", f": var({called})")
    drawn = ATTRIBUTE.sub(lambda m: f'style="{m[1]}: var({COLOURS[m[2]]})"', drawn)
    head = f'<svg role="img" aria-label="{escape(words)}" '
    return Markup(drawn.replace("<svg ", head, 1))
