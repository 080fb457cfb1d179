"""Drills of one's own and the sheet on which one is made, made up and always the same."""

from collections.abc import Iterator
from pathlib import Path

from sim.logbook.skill import Skill
from sim.maker.rating import ABILITY, CAREFUL, SEEDS, Rated, Try
from sim.session import scenario
from sim.window.app import App, Screen
from sim.window.screens.made.drills import DrillsSheet, Mine
from sim.window.screens.made.sheet import MadeSheet
from tools.samples.sheets import nothing

TWO = {
    "title": "After the rain",
    "story": "Two members bring it out.",
    "faults": "pack-high-resistance, prop-wrong-hand",
    "severity": "0.3-0.7",
    "needs": "power",
}
DRAWN = {
    "title": "Anything at all",
    "families": "sensing, site",
    "count": "2",
    "severity": "at-edge",
}


def rating() -> Rated:
    """Return a rating as three stand-ins might have come to it."""
    careful = [Try(CAREFUL, s, True, False, 84.0, 97.0, (True, True)) for s in SEEDS]
    partial = [
        Try(who, s, s == SEEDS[0], False, 60.0 + 5 * s, 55.0, (s < SEEDS[-1], n == 0))
        for n, who in enumerate(ABILITY)
        for s in SEEDS
    ]
    return Rated((*careful, *partial), 90.0, Skill(0.4, 0.3))


def sheet(
    app: App, texts: dict[str, str], family: str = "", marked: str = "made-title"
) -> MadeSheet:
    """Return the sheet with answers on it."""
    made = MadeSheet(app.screen, nothing, nothing, "Own drill 1")
    made.fill(texts, family, marked)
    return made


def mine() -> list[Mine]:
    """Return some drills, the last of which can't be read."""
    names = ("quiet-morning", "twins", "lucky-dip")
    found = [Mine(Path(f"drills/{name}.yaml"), scenario.load(name)) for name in names]
    return [
        *found,
        Mine(Path("drills/old.yaml"), None, "drills/old.yaml:3: rung = 9: must be at most 6"),
    ]


def drills(app: App, found: list[Mine], picked: int = 0) -> DrillsSheet:
    """Return the list of one's own drills, without looking at the disk."""
    made = DrillsSheet(app.screen, Path("drills"), nothing, nothing, nothing, Path())
    made.lists(found, picked)
    return made


def made(app: App) -> Iterator[Screen]:
    """Yield the sheet blank, with faults, drawn, given away, wrong, rehearsed and kept; then the lists."""
    yield sheet(app, {})
    yield sheet(app, TWO, "pack and power", "faults.pack-high-resistance")
    yield sheet(app, DRAWN, marked="families.sensing")
    yield sheet(app, TWO | {"story": "The pack was weak and a propeller is new."})
    yield sheet(app, DRAWN | {"rung": "3"}, marked="rung")
    rated = sheet(app, TWO, "pack and power")
    rated.rehearsed(rating())
    yield rated
    hard = sheet(app, TWO, "pack and power")
    tries = tuple(one._replace(cleared=False) for one in rating().tries)
    hard.rehearsed(Rated(tries, 90.0, Skill(2.0, 0.3)))
    yield hard
    full = sheet(app, TWO, "pack and power")
    full.rehearsed(rating())
    full.tell("It could not be kept: No space left on device.", trouble=True)
    yield full
    yield drills(app, [])
    yield drills(app, mine())
    yield drills(app, mine(), 3)
