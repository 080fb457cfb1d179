"""A map as it comes into being: per channel what is settled, what is guessed, and on what grounds."""

from dataclasses import dataclass, field

from sim.reproduce.channels import CHANNELS, ONE_WAY
from sim.reproduce.importer.mapping import ASK, SOURCES, Settled, Source
from sim.reproduce.importer.ranges import Told


@dataclass
class Draft:
    """What is known so far of one channel.

    column : None if the recording has none, `ask` if that is open; said : a person has settled the
    column, or that there is none.
    """

    channel: str
    column: str | None = None
    unit: str = ASK
    sign: int | str = ASK
    ends: tuple[float, float] | None = None
    over: float | None = None
    said: bool = False
    why: list[str] = field(default_factory=list)

    @property
    def found(self) -> str | None:
        """The column, if there is one and it is settled or guessed."""
        return None if self.column in (None, ASK) else self.column

    def take(self, column: str, why: str) -> None:
        """Guess the column, unless it is settled."""
        if not self.said:
            self.column = column
            self.because(why)

    def tell(self, told: Told) -> None:
        """Guess the unit, unless it is settled."""
        if self.unit == ASK:
            self.unit = told.unit or ASK
            self.because(f"unit {self.unit}: {told.why}" if told.unit else f"unit open: {told.why}")

    def count(self, sign: int | None, why: str) -> None:
        """Guess the sign, unless it is settled; None leaves it open."""
        if self.sign == ASK:
            self.sign = sign or ASK
            self.because(f"sign {'+' if sign > 0 else '-'}: {why}" if sign else f"sign open: {why}")

    def because(self, why: str) -> None:
        """Note what a guess rests on."""
        if why not in self.why:
            self.why.append(why)

    @property
    def open(self) -> tuple[str, ...]:
        """What is to be asked: column, unit, sign."""
        if self.column is None:
            return ()
        if self.column == ASK:
            return ("column",)
        return tuple(key for key in ("unit", "sign") if getattr(self, key) == ASK)

    def source(self) -> Source | None:
        """Return it as an entry of a map."""
        if self.column is None:
            return None
        kind = CHANNELS[self.channel].kind
        data = {"column": self.column, "unit": self.unit, "sign": self.sign, "ends": self.ends, "over": self.over}  # fmt: skip
        return SOURCES[kind].model_validate({k: v for k, v in data.items() if v is not None})


def drafts_of(known: Settled) -> dict[str, Draft]:
    """Return drafts that hold what has been settled."""
    found = {}
    for name, channel in CHANNELS.items():
        draft = found[name] = Draft(name)
        if channel.kind in ONE_WAY:
            draft.sign = 1
        if name in known.sources:
            source = known.sources[name]
            draft.said = source is None or source.column != ASK
            if source is not None:
                draft.column, draft.unit, draft.sign = source.column, source.unit, source.sign
                draft.ends, draft.over = source.ends, source.over
                draft.because("as given" if source.column != ASK else "")
    return found
