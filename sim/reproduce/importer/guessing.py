"""All guesses together: which column is what, in what unit, which way.

Order of work: names, times, motors and the air; then units, the frames of the sensors, all signs
together, the order of the motors, and what is left. What has been settled stays, and what follows
from it is guessed anew.
"""

from typing import NamedTuple

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import PLACES
from sim.reproduce.channels import AXES, BODY, CHANNELS, named, of_kind
from sim.reproduce.importer import axes, motors, ranges
from sim.reproduce.importer.clock import stretch
from sim.reproduce.importer.columns import Names, ask_for_needed, bare_angles, by_names
from sim.reproduce.importer.converting import is_ours, times_s
from sim.reproduce.importer.drafts import Draft, drafts_of
from sim.reproduce.importer.mapping import ASK, Settled
from sim.reproduce.importer.ranges import Told, with_name
from sim.reproduce.importer.reading import Table
from sim.reproduce.importer.signals import Signals, gridded, in_the_air
from sim.reproduce.importer.units import our_unit
from sim.reproduce.recording import Attitude, Values

OURS_MOST = {
    "stick": 1.25,
    "throttle": 1.25,
    "drive": 1.25,
    "angle": 6.3,
}  # 1, rad; own: beyond these it can't be ours
REST_SHARE = 0.02  # 1; own: of the range, within which motors at rest stay
APART_SHARE = 0.01  # 1; own: of the range, by which the slowest running lies above rest
WHEN_RUNNING = 0.98  # 1; own: share of running rows in which an arm flag must be up


class Guesses(NamedTuple):
    """What is known of a recording after guessing, by channel, and whether its columns are ours."""

    airframe: str
    attitude: Attitude | None
    attitude_why: str
    drafts: dict[str, Draft]
    ours: bool
    orders: tuple[str, ...]

    def settled(self) -> Settled:
        """Return it as a map, `ask` where something is open."""
        sources = {name: draft.source() for name, draft in self.drafts.items()}
        return Settled(self.airframe, self.attitude, sources)

    def bases(self) -> dict[str, str]:
        """Return what each guess rests on, by channel."""
        return {name: "; ".join(filter(None, d.why)) for name, d in self.drafts.items()}


def nothing_known(airframe: str) -> Settled:
    """Return the map of a recording of which nothing is known."""
    return Settled(airframe, None, {})


def _ours(table: Table) -> bool:
    """Tell whether a table is in our columns, with numbers that can be in our units."""
    if not is_ours(table.names):
        return False
    for name in table.names:
        most = OURS_MOST.get(CHANNELS[name].kind)
        seen = table[name][np.isfinite(table[name])]
        if most is not None and seen.size and np.max(np.abs(seen)) > most:
            return False
    return True


def _as_ours(table: Table, airframe: str) -> Guesses:
    drafts = drafts_of(nothing_known(airframe))
    for name in table.names:
        draft = drafts[name]
        draft.take(name, "all columns bear our own names")
        draft.unit, draft.sign = our_unit(CHANNELS[name].kind), 1
    ask_for_needed(drafts)
    why = "our own columns hold true angles"
    return Guesses(airframe, "outside", why, drafts, True, ())


def guess(table: Table, airframe: Airframe, known: Settled) -> Guesses:
    """Guess what `known` leaves open of a table's columns.

    Nothing is guessed of the sign of a stick. Raises nothing: what can't be guessed stays open.
    """
    if not known.sources and _ours(table):
        return _as_ours(table, known.airframe)
    drafts = drafts_of(known)
    names = by_names(table, drafts)
    orders: tuple[str, ...] = ()
    attitude, why = known.attitude, "as given"
    if attitude is None:
        attitude, why = _aboard(names, drafts)
    time = drafts["time_s"]
    source = None if time.open else time.source()
    if source is not None:
        times = times_s(table, source)
        kept = stretch(times, table.values)
        if len(kept.rows) >= 2:
            with np.errstate(all="ignore"):  # numbers of a spoiled file may be of any size
                orders = _from_signals(gridded(table, times, kept), drafts, names, airframe)
    ask_for_needed(drafts)
    _unsettled_sticks(drafts)
    return Guesses(known.airframe, attitude, why, drafts, False, orders)


def _aboard(names: Names, drafts: dict[str, Draft]) -> tuple[Attitude | None, str]:
    """Tell from names whether angles were worked out aboard."""
    angles = [drafts[c.name].found for c in of_kind("angle")]
    says = {names.meanings[a].aboard for a in angles if a and a in names.meanings} - {None}
    if len(says) == 1:
        return ("aboard" if says.pop() else "outside"), "their names"
    return None, "names leave it open"


def _unsettled_sticks(drafts: dict[str, Draft]) -> None:
    for channel in of_kind("stick", "throttle"):
        draft = drafts[channel.name]
        if draft.found and draft.sign == ASK:
            draft.because("sign open: it can be the fault, and is asked for")


def _from_signals(
    found: Signals, drafts: dict[str, Draft], names: Names, airframe: Airframe
) -> tuple[str, ...]:
    """Guess what shows in the motion; return the columns of motors in no order yet, if there are."""
    driven = _driven(found, drafts, names)
    effort = [found.columns[c] for c in driven]
    throttle = drafts["stick_throttle"].found
    if not effort and throttle in found.columns:
        effort = [found.columns[throttle]]
    found = in_the_air(found, effort)
    _drive_units(found, drafts, names, driven)
    _stick_units(found, drafts, names)
    bare_angles(found, drafts, names)
    rates = axes.rate_axes(found, drafts, names)
    accel_swapped = axes.accel_axes(found, drafts, names, rates)
    turns = axes.turns(found, drafts)
    axes.turn_units(found, drafts, names, turns)
    sticks = [found.columns[d] for c in of_kind("stick") if (d := drafts[c.name].found) in found.columns]  # fmt: skip
    axes.all_signs(found, drafts, turns, sticks, airframe, (accel_swapped, rates == -1))
    orders = _order(found, drafts, turns, sticks, driven, airframe)
    _vectors(found, drafts, names)
    _pack(found, drafts, names, airframe)
    _others(found, drafts, names, airframe)
    _armed(found, drafts, driven)
    return orders


def _driven(found: Signals, drafts: dict[str, Draft], names: Names) -> list[str]:
    """Return the four motor columns, by place if they are named so, else as they stand."""
    placed = [drafts[named("drive", place)].found for place in PLACES]
    if all(placed):
        return [p for p in placed if p in found.columns]
    moving = [
        n
        for n in names.spare.get("drive", [])
        if n in found.columns and np.ptp(found.columns[n]) > 0.0
    ]
    return moving if len(moving) == 4 and not any(placed) else []


def _drive_units(found: Signals, drafts: dict[str, Draft], names: Names, driven: list[str]) -> None:
    if len(driven) != 4:
        return
    told = ranges.drive_unit([found.columns[c] for c in driven])
    stated = {names.stated(c, "drive") for c in driven}
    told = with_name(told, stated.pop() if len(stated) == 1 else None, "drive")
    for place in PLACES:
        drafts[named("drive", place)].tell(told)


def _stick_units(found: Signals, drafts: dict[str, Draft], names: Names) -> None:
    throttle = drafts["stick_throttle"]
    unit = None
    if throttle.found in found.columns:
        column = throttle.found or ""
        told = ranges.throttle_unit(found.columns[column])
        throttle.tell(with_name(told, names.stated(column, "throttle"), "throttle"))
        unit = None if throttle.unit == ASK else throttle.unit
    for channel in of_kind("stick"):
        draft = drafts[channel.name]
        if draft.found in found.columns:
            column = draft.found or ""
            told = ranges.stick_unit(found.columns[column], unit)
            draft.tell(with_name(told, names.stated(column, "stick"), "stick"))


def _order(
    found: Signals, drafts: dict[str, Draft], turns: axes.Turns, sticks: list[Values],
    driven: list[str], airframe: Airframe,
) -> tuple[str, ...]:  # fmt: skip
    """Guess which motor column is which place; return the columns if that stays open."""
    places = [drafts[named("drive", place)] for place in PLACES]
    if len(driven) != 4 or any(d.found or d.said for d in places):
        return ()
    rates = [drafts[named("rate", axis)].sign for axis in AXES]
    short = found.air_s < motors.LEAST_AIR_S
    why = f"the order of {', '.join(driven)} is open: "
    if ASK in rates or short:
        why += "too short in the air" if short else "it hangs on the signs of the rates"
        for draft in places:
            draft.take(ASK, why)
        return tuple(driven)
    worked = axes.level_errors(found, turns, tuple(int(r) for r in rates))
    if worked is None:
        return tuple(driven)
    drives = [found.columns[c] for c in driven]
    best = motors.best(motors.fits(found, drives, worked, sticks, airframe))
    for k, draft in enumerate(places):
        told = f"fit {best.fit:.2f} of 3, the next order {best.lead:.2f} worse"
        if best.sure:
            draft.take(
                driven[best.order[k]],
                f"what the controller asked for against rate and lean: {told}",
            )
        else:
            draft.take(ASK, f"{why}{told}")
    return () if best.sure else tuple(driven)


def _vectors(found: Signals, drafts: dict[str, Draft], names: Names) -> None:
    """Tell the units of accelerometer and compass, whose length is known."""
    for kind, unit_of in (("accel", ranges.accel_unit), ("field", ranges.field_unit)):
        own = [drafts[named(kind, axis)] for axis in BODY]  # type: ignore[arg-type]
        columns = [d.found for d in own if d.found in found.columns]
        if len(columns) != 3:
            for draft in own:
                draft.tell(Told(None, "its length shows with all three axes alone"))
            continue
        told = unit_of([found.columns[c or ""] for c in columns])
        for draft, column in zip(own, columns, strict=True):
            draft.tell(with_name(told, names.stated(column or "", kind), kind))  # type: ignore[arg-type]
            if kind == "field":
                draft.count(None, "how the compass is turned can be the fault, and is asked for")


def _pack(found: Signals, drafts: dict[str, Draft], names: Names, airframe: Airframe) -> None:
    volts, amps = drafts["pack_v"], drafts["pack_a"]
    if volts.found in found.columns:
        column = volts.found or ""
        told = ranges.volt_unit(found.columns[column], airframe)
        volts.tell(with_name(told, names.stated(column, "volt"), "volt"))
    if amps.found in found.columns:
        column = amps.found or ""
        flying = found.columns[column][found.air]
        told = ranges.amp_unit(np.abs(flying), airframe)
        amps.tell(with_name(told, names.stated(column, "amp"), "amp"))
        mean = float(np.mean(flying)) if flying.size else 0.0
        amps.count(int(np.sign(mean)) or None, "it is drawn from the pack in the air")


def _others(found: Signals, drafts: dict[str, Draft], names: Names, airframe: Airframe) -> None:
    """Tell the units of ways, height and motor speeds."""
    for channel in of_kind("position"):
        draft = drafts[channel.name]
        if draft.found in found.columns:
            column = draft.found or ""
            told = ranges.position_unit(found.columns[column])
            draft.tell(with_name(told, names.stated(column, "position"), "position"))
            draft.count(1, "its name")
    own = [drafts[named("speed", place)] for place in PLACES]
    columns = [d.found for d in own if d.found in found.columns]
    if len(columns) == 4:
        told = ranges.speed_unit([found.columns[c or ""][found.air] for c in columns], airframe)
        for draft, column in zip(own, columns, strict=True):
            draft.tell(with_name(told, names.stated(column or "", "speed"), "speed"))


def _armed(found: Signals, drafts: dict[str, Draft], driven: list[str]) -> None:
    """Tell which way an arm flag counts by when motors run; without one, take the running itself."""
    draft = drafts["armed"]
    if draft.said and draft.column is None:
        return
    if len(driven) != 4:
        return
    drives = np.array([found.columns[c] for c in driven])
    low, span = float(drives.min()), float(np.ptp(drives))
    rest = (drives <= low + REST_SHARE * span).all(axis=0)
    running = ~(drives <= low + REST_SHARE * span).any(axis=0)
    if draft.found in found.columns:
        flag = found.columns[draft.found or ""]
        draft.unit = "flag" if draft.unit == ASK else draft.unit
        ends = float(flag.min()), float(flag.max())
        draft.over = 0.5 * (ends[0] + ends[1]) if draft.over is None else draft.over
        up = flag > draft.over
        with_it = float(up[running].mean()) if running.any() and ends[0] < ends[1] else 0.5
        sign = 1 if with_it > WHEN_RUNNING else -1 if with_it < 1.0 - WHEN_RUNNING else None
        draft.count(sign, f"it is up in {100.0 * with_it:.0f} % of the time motors run")
    elif draft.column in (None, ASK) and not draft.said and rest.any() and running.any():
        lowest = float(drives[:, running].min())
        if lowest > low + (REST_SHARE + APART_SHARE) * span:
            draft.take(driven[0], "no column is called so: motors at rest and running are apart")
            draft.unit, draft.over, draft.sign = "flag", 0.5 * (low + lowest), 1
