"""From data to a page: templates of `assets/pages`, every text in it kept as text."""

from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from sim import __version__
from sim.paths import assets_dir

SAFETY = (
    "A rehearsal does not replace your club's rules, local codes or licensed practice. "
    "Local rules and your club's instructor come first. Real propellers cut and real lithium packs "
    "burn."
)


@cache
def _templates() -> Environment:
    loader = FileSystemLoader(assets_dir() / "pages")
    return Environment(
        loader=loader,
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(template: str, **data: Any) -> str:
    """Return a page of a template, whole: its style is in it.

    What the data holds is put in as text, but for what is `Markup` by its type.
    """
    style = Markup((assets_dir() / "pages" / "style.css").read_text(encoding="utf-8"))
    return (
        _templates()
        .get_template(template)
        .render(style=style, safety=SAFETY, version=__version__, **data)
    )
