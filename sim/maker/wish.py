"""What somebody wishes of a drill, and the drill it makes; refused where it can't be or gives itself away."""

from typing import Annotated

from pydantic import Field

from sim.aircraft import library
from sim.aircraft.fields import Line, Positive, Strict
from sim.errors import InputError, Problem, Refusal
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Family
from sim.faults.secrecy import hints
from sim.keys import FaultId
from sim.session.scenario import (
    ALONE,
    DRAWN,
    PAIRS,
    Draw,
    Help,
    HiddenFault,
    HowMany,
    Needs,
    Purpose,
    Rung,
    Scenario,
    Story,
    Title,
)
from sim.session.severities import AT_EDGE_USUAL, Severity

PURPOSE = "Find what is wrong, cure it, and prove it cured; or find that nothing is."


class Wish(Strict):
    """The answers. Nothing ticked is a sound aircraft; where families are ticked, faults are drawn.

    rung, help : by what is in it, if not said; site : as the aircraft needs; minutes : what careful
    needs, measured if not said.
    """

    title: Title
    story: Story = ""
    purpose: Purpose = PURPOSE
    faults: Annotated[tuple[FaultId, ...], Field(max_length=8)] = ()
    families: Annotated[tuple[Family, ...], Field(max_length=8)] = ()
    count: HowMany = 1
    severity: Severity = AT_EDGE_USUAL
    airframe: Line = library.TRAINER
    site: Line = ""
    rung: Rung | None = None
    help: Help | None = None
    needs: Needs = ()
    minutes: Annotated[Positive, Field(le=600)] | None = None

    @property
    def by_itself(self) -> int:
        """The rung that goes with what is in it."""
        if self.families:
            return DRAWN
        return PAIRS if len(self.faults) > 1 else ALONE

    @property
    def may_hold(self) -> tuple[FaultId, ...]:
        """The faults that are in it, or may be drawn."""
        drawn = (name for name, fault in CATALOGUE.items() if fault.family in self.families)
        return tuple(dict.fromkeys((*self.faults, *drawn)))


def drill_of(wish: Wish) -> Scenario:
    """Return the drill that somebody wishes for, its minutes still open if they are to be measured.

    An airframe or site of somebody's own is in it in full. Raises InputError for what can't be, on
    this aircraft or at this place.
    """
    given = wish.model_dump(include={"title", "story", "purpose", "needs", "help"})
    if wish.minutes is not None:
        given["careful_min"] = wish.minutes
    if wish.families:
        given["draw"] = Draw(families=wish.families, count=wish.count, severity=wish.severity)
    drill = Scenario(
        **given,
        origin="invented",
        rung=wish.by_itself if wish.rung is None else wish.rung,
        faults=tuple(HiddenFault(id=fault, severity=wish.severity) for fault in wish.faults),
    ).on(wish.airframe, None, wish.site or None)
    _require_enough(drill)
    return drill


def _require_enough(drill: Scenario) -> None:
    """Raise InputError if fewer faults can be drawn than are wanted."""
    if drill.draw is None:
        return
    world = drill.designed()
    pool = [f for f in CATALOGUE.values() if f.family in drill.draw.families]
    there = sum(not fault.cannot(world) for fault in pool)
    if there < drill.draw.count:
        rule = f"only {there} of these families can be on this aircraft, at this site"
        raise InputError((Problem(drill.title, None, "count", str(drill.draw.count), rule),))


def given_away(wish: Wish, file: str = "") -> dict[str, tuple[str, ...]]:
    """Return the words that give away what is in the drill: of title and story, of the file's name."""
    texts = {"title": wish.title, "story": wish.story, "file": file.replace("-", " ")}
    found = {key: hints(text, wish.may_hold) for key, text in texts.items()}
    return {key: words for key, words in found.items() if words}


def require_secret(wish: Wish, file: str = "") -> None:
    """Raise Refusal, with the words, if title, story or the file's name give away what is in the drill."""
    if found := given_away(wish, file):
        raise Refusal(" ".join(map(given_away_told, found, found.values())), "value")


def given_away_told(key: str, words: tuple[str, ...]) -> str:
    """Return in a sentence which words have to go."""
    place = {"file": "name of the file"}.get(key, key)
    listed = ", ".join(f"“{word}”" for word in words)
    return f"The {place} gives away what is hidden: say it without {listed}."
