"""From readings with and without a fault to how well a check tells the two apart. Pure.

Two rules, reported side by side:

- the judge's: a cue is anything the careful stand-in would write down after the reading, or the
  controller refusing to arm for the check, which the person sees. Power is the share of cues with
  the fault, false alarm their share on the sound aircraft.
- the best single value's, free of any judge: one value of the reading against one limit, both
  learnt on every other seed and tested on the seeds left over. It says what the reading carries,
  whoever reads it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import PLACES
from sim.scoring.detection import wilson

Side = Literal["above", "below", "away"]
SIDES: tuple[Side, ...] = ("above", "below", "away")
NOT_READ = 1e12  # stands for a value that could not be read (NaN); own: beyond any true value
LEAST_SPREAD = 1e-9  # own: keeps the width of a gap finite where readings do not scatter at all
ODD = "odd_one_of_four_"


@dataclass(frozen=True)
class Trial:
    """One check done once. refused: the controller would not arm for it."""

    seed: int
    flagged: bool = False
    refused: bool = False
    values: dict[str, float] = field(default_factory=dict)

    @property
    def cue(self) -> bool:
        """Whether the person who did it had something to write down."""
        return self.flagged or self.refused

    def same(self, other: "Trial") -> bool:
        """Tell whether both are the same to the last bit, so that nothing can tell them apart."""
        if (self.flagged, self.refused) != (other.flagged, other.refused):
            return False
        return list(self.values) == list(other.values) and all(
            a == b or (a != a and b != b)  # NaN is the same as NaN here
            for a, b in zip(self.values.values(), other.values.values(), strict=True)
        )


@dataclass(frozen=True)
class Limit:
    """One value against one limit; `middle` is that of the sound aircraft."""

    name: str
    side: Side
    limit: float
    middle: float

    def over(self, values: dict[str, float]) -> bool:
        """Tell whether a reading is past the limit."""
        if self.name not in values:
            return True
        at, middle = np.array([values[self.name]]), np.array([self.middle])
        return bool(_signed(at, self.side, middle)[0] > self.limit)


@dataclass(frozen=True)
class Detection:
    """What a check is worth against a fault."""

    power: float
    power_low: float
    power_high: float
    false_alarm: float
    readings_n: int
    refused: float
    best_value: str
    value_power: float
    value_false_alarm: float


def with_odd_ones(values: dict[str, float]) -> dict[str, float]:
    """Return a reading with, for each value of all four places, how far the odd one lies off."""
    first = f"{PLACES[0]}_"
    more: dict[str, float] = {}
    for name in [n.removeprefix(first) for n in values if n.startswith(first)]:
        four = [values.get(f"{place}_{name}", float("nan")) for place in PLACES]
        more[ODD + name] = float(np.max(np.abs(np.array(four) - np.median(four))))
    return {k: NOT_READ if v != v else v for k, v in (values | more).items()}


def _signed(x: NDArray[np.float64], side: Side, middle: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return numbers that grow to the side looked at."""
    if side == "away":
        return np.asarray(np.abs(x - middle))
    return x if side == "above" else -x


def _best_cut(
    sound: NDArray[np.float64], faulty: NDArray[np.float64]
) -> tuple[float, float, int, float]:
    """Return the best cut over all columns (rows are readings, columns are values).

    Returns
    -------
    tuple
        Power less false alarm, width of the gap over the scatter, column, limit.
    """
    both = np.sort(np.vstack([sound, faulty]), axis=0)
    cuts, gaps = 0.5 * (both[1:] + both[:-1]), both[1:] - both[:-1]
    gain = (faulty[:, None] > cuts).mean(axis=0) - (sound[:, None] > cuts).mean(axis=0)
    gain = np.where(gaps > 0.0, gain, 0.0)
    width = gaps / (sound.std(axis=0) + faulty.std(axis=0) + LEAST_SPREAD)
    most = gain.max()
    row, column = np.unravel_index(np.argmax(np.where(gain == most, width, -1.0)), gain.shape)
    return float(most), float(width[row, column]), int(column), float(cuts[row, column])


def _columns(readings: Sequence[dict[str, float]], names: list[str]) -> NDArray[np.float64]:
    return np.array([[reading[name] for name in names] for reading in readings])


def _shared(readings: Iterable[dict[str, float]]) -> list[str]:
    """Return the values all readings have."""
    first, *rest = readings
    return [name for name in first if all(name in reading for reading in rest)]


def learnt(sound: Sequence[dict[str, float]], faulty: Sequence[dict[str, float]]) -> Limit | None:
    """Return the value and limit that best tell faulty readings from sound ones, or None."""
    names = _shared([*sound, *faulty]) if sound and faulty else []
    if not names:
        return None
    without, with_it = _columns(sound, names), _columns(faulty, names)
    middle = np.median(without, axis=0)
    best: tuple[float, float] = (0.0, 0.0)
    found = None
    for side in SIDES:
        gain, width, column, limit = _best_cut(
            _signed(without, side, middle), _signed(with_it, side, middle)
        )
        if (gain, width) > best:
            best = (gain, width)
            found = Limit(names[column], side, limit, float(middle[column]))
    return found


def stands_out(sound: Sequence[Trial], looks: Iterable[Trial]) -> bool:
    """Tell whether one of a few looks with a fault shows anything the sound aircraft does not.

    That is a cue, or a value further outside the sound aircraft's range than that range is wide.
    """
    seen = list(looks)
    if any(t.cue for t in seen):
        return True
    plain = _readings(sound)
    if not plain:
        return any(t.values for t in seen)
    names = _shared(plain)
    table = _columns(plain, names)
    low, high = table.min(axis=0), table.max(axis=0)
    low, high = low - (high - low), high + (high - low)
    for reading in _readings(seen):
        if any(name not in reading for name in names):
            return True
        x = _columns([reading], names)[0]
        if bool(np.any((x < low - LEAST_SPREAD) | (x > high + LEAST_SPREAD))):
            return True
    return False


def _readings(trials: Iterable[Trial]) -> list[dict[str, float]]:
    return [with_odd_ones(t.values) for t in trials if t.values]


def best_value(sound: Sequence[Trial], faulty: Sequence[Trial]) -> tuple[str, float, float]:
    """Return (value, power, false alarm) of the best single value: learnt on half, tested on half.

    Refusing to arm counts as telling, with the fault and without.
    """
    limit = learnt(_readings(sound[::2]), _readings(faulty[::2]))

    def share(trials: Sequence[Trial]) -> float:
        if not trials:
            return 0.0
        told = sum(
            t.refused
            or (limit is not None and bool(t.values) and limit.over(with_odd_ones(t.values)))
            for t in trials
        )
        return told / len(trials)

    name = f"{limit.name} {limit.side}" if limit is not None else ""
    return name, share(faulty[1::2]), share(sound[1::2])


def detect(sound: Sequence[Trial], faulty: Sequence[Trial]) -> Detection:
    """Return what a check is worth, from trials on the sound aircraft and with the fault."""
    if not sound or not faulty:
        raise ValueError("needs trials with the fault and without")
    cues = sum(t.cue for t in faulty)
    low, high = wilson(cues, len(faulty))
    name, value_power, value_false = best_value(sound, faulty)
    return Detection(
        power=cues / len(faulty),
        power_low=low,
        power_high=high,
        false_alarm=sum(t.cue for t in sound) / len(sound),
        readings_n=len(faulty),
        refused=sum(t.refused for t in faulty) / len(faulty),
        best_value=name,
        value_power=value_power,
        value_false_alarm=value_false,
    )


def unmoved(sound: Sequence[Trial], looks: Sequence[Trial]) -> Detection:
    """Return the worth of a check in which a few looks showed nothing of a fault.

    Where the looks gave the same bits as the sound aircraft its cues are as many; else their own
    few count, and the wide interval says how few they are.
    """
    by_seed = {t.seed: t for t in sound}
    alike = all(t.seed in by_seed and t.same(by_seed[t.seed]) for t in looks)
    counted = sound if alike else looks
    cues = sum(t.cue for t in counted)
    low, high = wilson(cues, len(counted))
    return Detection(
        power=cues / len(counted),
        power_low=low,
        power_high=high,
        false_alarm=sum(t.cue for t in sound) / len(sound),
        readings_n=len(looks),
        refused=sum(t.refused for t in counted) / len(counted),
        best_value="",
        value_power=0.0,
        value_false_alarm=0.0,
    )
