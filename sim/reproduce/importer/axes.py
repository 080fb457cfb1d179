"""Frames and signs of attitude, gyro and accelerometer: what goes with what, and all signs at once."""

from itertools import permutations
from typing import NamedTuple

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import PLACES
from sim.reproduce.channels import AXES, BODY, named
from sim.reproduce.importer import motors, ranges
from sim.reproduce.importer.columns import TURNS_WITH, Names
from sim.reproduce.importer.drafts import Draft
from sim.reproduce.importer.mapping import ASK
from sim.reproduce.importer.signals import Relation, Signals, drag, turning, unwrapped
from sim.reproduce.importer.signs import Measured, Signs, guessed, signs
from sim.reproduce.recording import Values

DRAGS_WITH = 0.3  # 1; own: half of what a calm hop shows at 100 Hz
DRAG_AIR_S = 6.0  # s; own: shorter, a few drifts decide
CONTROLS_WITH = 0.3  # 1; own: half of what the yaw of a calm hop shows, the weakest of three
CLEAR = 0.5  # 1; own: by which another order of axes must go better than that of the names
DOWN_SHARE = 0.7  # 1; own: of an accelerometer's length lies on the axis that points down or up


class Turns(NamedTuple):
    """The three angles and rates as signals, and how each angle goes with each rate."""

    angles: list[Values | None]
    rates: list[Values | None]
    with_rate: list[Relation]


def _signal(signals: Signals, draft: Draft) -> Values | None:
    return signals.columns.get(draft.found or "")


def _angles(signals: Signals, drafts: dict[str, Draft]) -> list[Values | None]:
    found = [_signal(signals, drafts[named("angle", axis)]) for axis in AXES]
    if (heading := found[2]) is not None:
        whole = 360.0 if np.max(np.abs(heading)) > ranges.MOST_HEADING_RAD else 2.0 * np.pi
        found[2] = unwrapped(heading, whole)
    return found


def rate_axes(signals: Signals, drafts: dict[str, Draft], names: Names) -> int:
    """Settle which rate column belongs to which axis.

    Returns -1 if x and y turned out swapped, 1 if their names hold, 0 if that does not show.
    """
    own = [drafts[named("rate", axis)] for axis in AXES]
    columns = [d.found for d in own]
    if not any(columns):
        spare = names.spare.get("rate", [])
        columns = list(spare) if len(spare) == 3 else columns
    called = all(d.found for d in own)
    if any(d.said for d in own) or not all(c in signals.columns for c in columns):
        return 0
    angles = _angles(signals, drafts)
    size = np.array(
        [[0.0 if a is None else abs(turning(signals, a, signals.columns[c or ""]).corr) for c in columns] for a in angles]
    )  # fmt: skip
    total = {p: float(sum(size[k, p[k]] for k in range(3))) for p in permutations(range(3))}
    best = max(total, key=lambda p: total[p])
    if called and total[best] - total[0, 1, 2] < CLEAR:
        if min(size[0, 0], size[1, 1]) >= TURNS_WITH:
            return 1
        for draft in own[:2]:
            draft.take(ASK, "x and y may be swapped: neither turns with its angle")
        return 0
    if called or min(size[k, best[k]] for k in range(2)) >= TURNS_WITH:
        for k, draft in enumerate(own):
            why = f"turns with the {AXES[k]} angle (correlation {size[k, best[k]]:.2f})"
            draft.take(columns[best[k]] or ASK, why + ("; its name says another" if called else ""))
    return -1 if called and best == (1, 0, 2) else 0


def turns(signals: Signals, drafts: dict[str, Draft]) -> Turns:
    """Return angles and rates, and how they go together, axis by axis."""
    angles = _angles(signals, drafts)
    rates = [_signal(signals, drafts[named("rate", axis)]) for axis in AXES]
    pairs = zip(angles, rates, strict=True)
    none = Relation(0.0, 0.0)
    return Turns(
        angles,
        rates,
        [none if a is None or r is None else turning(signals, a, r) for a, r in pairs],
    )


def turn_units(signals: Signals, drafts: dict[str, Draft], names: Names, found: Turns) -> None:
    """Tell the units of angles and rates."""
    air = signals.air if signals.air.any() else np.ones_like(signals.air)
    tilts = [a[air] for a in found.angles[:2] if a is not None]
    rates = [r[air] for r in found.rates[:2] if r is not None]
    heading = found.angles[2]
    slopes = [r.slope for r in found.with_rate if abs(r.corr) >= TURNS_WITH]
    raw_heading = _signal(signals, drafts["heading_rad"]) if heading is not None else None
    angle, rate = ranges.turn_units(tilts, raw_heading, rates, slopes, signals.air_s)
    for axis in AXES:
        for kind, told in (("angle", angle), ("rate", rate)):
            draft = drafts[named(kind, axis)]  # type: ignore[arg-type]
            if draft.found:
                stated = names.stated(draft.found, kind)  # type: ignore[arg-type]
                draft.tell(ranges.with_name(told, stated, kind))  # type: ignore[arg-type]


def accel_axes(signals: Signals, drafts: dict[str, Draft], names: Names, rates: int) -> bool:
    """Settle which accelerometer column is which; return whether x and y are swapped.

    rates : what came of the same question for the gyro.
    """
    own = [drafts[named("accel", axis)] for axis in BODY]
    columns = [d.found for d in own]
    spare = names.spare.get("accel", [])
    if not any(columns) and len(spare) == 3:
        columns = list(spare)
    if any(d.said for d in own) or not all(c in signals.columns for c in columns):
        return False
    force = [signals.columns[c or ""] for c in columns]
    middle = np.abs([np.median(f) for f in force])
    down = int(np.argmax(middle))
    if middle[down] < DOWN_SHARE * float(np.linalg.norm(middle)):
        return False
    called = all(d.found for d in own)
    across = [i for i in range(3) if i != down]
    roll, pitch = (_signal(signals, drafts[named("angle", a)]) for a in AXES[:2])
    direct = crossed = 0.0
    if roll is not None and pitch is not None and signals.air_s >= DRAG_AIR_S:
        size = [[abs(drag(signals, force[i], a).corr) for a in (pitch, roll)] for i in across]
        direct, crossed = size[0][0] + size[1][1], size[0][1] + size[1][0]
    swapped = crossed > direct + CLEAR
    clear = abs(crossed - direct) >= CLEAR or (rates == 1 and direct >= crossed)
    if not clear:
        for draft in own[:2] if called else ():
            draft.take(ASK, "x and y may be swapped: drag against lean does not tell")
        return False
    if swapped:
        across.reverse()
    why = [f"goes with the lean (correlations {max(direct, crossed):.2f} in sum)"] * 2 + ["gravity lies on it"]  # fmt: skip
    if not called or swapped or down != 2:
        for draft, i, reason in zip(own, (*across, down), why, strict=True):
            draft.take(columns[i] or ASK, reason)
    return swapped and called and down == 2


def drag_signs(signals: Signals, drafts: dict[str, Draft], found: Turns) -> tuple[int, int]:
    """Return the signs by which forces go with leans: + if both count as ours do, 0 if unknown."""
    result = [0, 0]
    if signals.air_s < DRAG_AIR_S:
        return 0, 0
    for k, (axis, angle, way) in enumerate((("x", found.angles[1], 1), ("y", found.angles[0], -1))):
        force = _signal(signals, drafts[named("accel", axis)])
        if force is not None and angle is not None:
            corr = way * drag(signals, force, angle).corr
            result[k] = int(np.sign(corr)) if abs(corr) >= DRAGS_WITH else 0
    return result[0], result[1]


def level_errors(signals: Signals, found: Turns, way: tuple[int, ...]) -> list[Values] | None:
    """Return what the controller works against if rates count the given way; None without rates."""
    angles, rates = [], []
    for angle, rate, go, sign in zip(found.angles, found.rates, found.with_rate, way, strict=True):
        if rate is None:
            return None
        known = angle is not None and abs(go.corr) >= TURNS_WITH
        angles.append(sign * angle / go.slope if known and angle is not None else None)
        rates.append(sign * rate)
    return motors.errors(signals, angles, rates)


def control_signs(signals: Signals, drafts: dict[str, Draft], found: Turns, sticks: list[Values], airframe: Airframe) -> tuple[int, int, int]:  # fmt: skip
    """Return which way rates count by motors that are named by place; 0 where it does not show."""
    drives = [_signal(signals, drafts[named("drive", place)]) for place in PLACES]
    if any(d is None for d in drives) or signals.air_s < motors.LEAST_AIR_S:
        return 0, 0, 0
    worked = level_errors(signals, found, (1, 1, 1))
    if worked is None:
        return 0, 0, 0
    known = [d for d in drives if d is not None]
    fit = motors.fits(signals, known, worked, sticks, airframe)[0, 1, 2, 3]
    a, b, c = (int(np.sign(f)) if abs(f) >= CONTROLS_WITH else 0 for f in fit)
    return a, b, c


def all_signs(
    signals: Signals, drafts: dict[str, Draft], found: Turns, sticks: list[Values],
    airframe: Airframe, swapped: tuple[bool, bool],
) -> None:  # fmt: skip
    """Guess the signs of angles, rates and forces, or leave them open."""
    down = drafts["accel_z_m_s2"]
    force = _signal(signals, down)
    gravity = 0 if force is None else -int(np.sign(np.median(force)))
    a, b, c = (int(np.sign(r.corr)) if abs(r.corr) >= TURNS_WITH else 0 for r in found.with_rate)
    measured = Measured(
        (a, b, c),
        drag_signs(signals, drafts, found),
        gravity,
        control_signs(signals, drafts, found, sticks, airframe),
        *swapped,
    )
    own = {
        "a": [drafts[named("angle", axis)] for axis in AXES],
        "g": [drafts[named("rate", axis)] for axis in AXES],
        "f": [drafts[named("accel", axis)] for axis in BODY[:2]],
    }
    settled = {
        (key, i): int(draft.sign)
        for key, group in own.items()
        for i, draft in enumerate(group)
        if draft.found and draft.sign != ASK
    }
    if down.found:
        down.count(gravity or None, "gravity")
    chance: Signs = signs(measured, settled)
    why = _rests_on(measured)
    for key, chances in (("a", chance.angles), ("g", chance.rates), ("f", chance.forces)):
        for draft, plus in zip(own[key], chances, strict=True):
            if draft.found:
                sure = max(plus, 1.0 - plus)
                draft.count(guessed(plus), f"{100.0 * sure:.0f} % by {why}")


def _rests_on(measured: Measured) -> str:
    parts = ["what is usual"]
    parts += ["gyro against attitude"] if any(measured.turn) else []
    parts += ["drag against lean"] if any(measured.drag) else []
    parts += ["gravity"] if measured.gravity else []
    parts += ["commands of motors named by place"] if any(measured.control) else []
    return ", ".join(parts)
