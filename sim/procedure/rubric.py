"""The rubric file as a model."""

from functools import cache
from typing import Annotated

from pydantic import Field, field_validator, model_validator

from sim.aircraft.fields import NotNegative, Positive, Share, Strict
from sim.aircraft.textfile import load_model
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.paths import assets_dir


def _whole(*shares: float) -> None:
    if abs(sum(shares) - 1.0) > 1e-9:
        raise ValueError("the shares must add up to 1")


class Rungs(Strict):
    """Worth of each rung of the ladder."""

    noticed: Share
    named: Share
    cleared: Share
    proved: Share

    @model_validator(mode="after")
    def _adds_up(self) -> "Rungs":
        _whole(self.noticed, self.named, self.cleared, self.proved)
        return self


class Wrong(Strict):
    """What a wrong claim is measured by: the naming of one hidden fault, within limits."""

    least: Share
    sound: Share
    well_founded: Share


Steps = Annotated[tuple[Share, ...], Field(min_length=3, max_length=3)]
"""What is still earned after one, two and three steps of hints."""


class HintedRubric(Strict):
    """What hints leave of noticing and naming a fault, and what it costs to ask where nothing is."""

    noticed: Steps
    named: Steps
    nothing: Share

    @field_validator("noticed", "named")
    @classmethod
    def _falls(cls, steps: tuple[float, ...]) -> tuple[float, ...]:
        if list(steps) != sorted(steps, reverse=True):
            raise ValueError("more hints can't leave more to be earned")
        return steps


class Seen(Strict):
    """Shares of what was to be seen, or to be answered, from which all marks count in full."""

    found: Annotated[float, Field(gt=0, le=1)]
    answered: Annotated[float, Field(gt=0, le=1)]


class Shares(Strict):
    """Worth of ladder, conduct and hop in the total."""

    ladder: Share
    conduct: Share
    hop: Share

    @model_validator(mode="after")
    def _adds_up(self) -> "Shares":
        _whole(self.ladder, self.conduct, self.hop)
        return self


class Demerit(Strict):
    """Taken off conduct for a hazard."""

    critical: Share
    other: Share


class Band(Strict):
    """Largest distance from the middle of the hover."""

    away_m: Positive
    height_m: Positive
    heading_deg: Positive


class HopShares(Strict):
    """Worth of hold, touchdown and discipline in the hop."""

    hold: Share
    touchdown: Share
    discipline: Share

    @model_validator(mode="after")
    def _adds_up(self) -> "HopShares":
        _whole(self.hold, self.touchdown, self.discipline)
        return self


class HopRubric(Strict):
    """Bands and shares of the hop."""

    desired: Band
    adequate: Band
    adequate_worth: Share
    soft_touchdown_m_s: Positive
    shares: HopShares


class Rubric(Strict):
    """How a run is marked."""

    rungs: Rungs
    right_family: Share
    sureness: Annotated[tuple[Share, ...], Field(min_length=4, max_length=4)]
    wrong: Wrong
    needless: NotNegative
    hinted: HintedRubric
    seen: Seen
    handed_over: Share
    shares: Shares
    pass_points: Annotated[float, Field(ge=0, le=100)]
    dangerous_from: Annotated[int, Field(ge=1, le=5)]
    stay_from: Annotated[int, Field(ge=1, le=5)]
    demerit: Demerit
    stopped: Share
    evening: Annotated[float, Field(ge=1)]
    hop: HopRubric

    @field_validator("sureness")
    @classmethod
    def _rises(cls, steps: tuple[float, ...]) -> tuple[float, ...]:
        if list(steps) != sorted(set(steps)):
            raise ValueError("each step must be surer than the one before")
        return steps

    def dangerous(self, fault: FaultId) -> bool:
        """Tell whether the cure of a fault of the catalogue must be proved before takeoff."""
        return CATALOGUE[fault].hazard >= self.dangerous_from


@cache
def shipped() -> Rubric:
    """Return the rubric that ships with the package."""
    return load_model(assets_dir() / "rubric.yaml", Rubric)
