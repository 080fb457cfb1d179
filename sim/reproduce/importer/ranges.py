"""Units told by the sizes of numbers. Each function returns the unit and what it rests on.

The unit is None where the sizes fit several, or none.
"""

from typing import NamedTuple

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.reproduce.channels import Kind
from sim.reproduce.importer.units import UNITS
from sim.reproduce.recording import Values
from sim.units import RAD_PER_DEG, RAD_S_PER_RPM

SHARE_MOST = 1.25  # 1; own: a full stick or motor with its overshoot
PULSE_US = (700.0, 2400.0)  # us; own: radio pulses with all trims
MIDDLE_PULSE_US = (1250.0, 1750.0)  # us; own: where a stick at rest stands
HALF_OF_TRAVEL = (30.0, 70.0)  # %; own: the same of a way from 0 to 100
MOST_RAD = 3.3  # rad; half a turn, and a little
MOST_HEADING_RAD = 7.0  # rad; a whole turn, and a little
CALM_TILT_RAD, CALM_RATE_RAD_S = 0.03, 0.12  # rad, rad/s; own: usual sizes in a hop
CLEARLY = 2.0  # 1; own: a factor away from the middle between the units, 7.6 from the usual size
CALM_S = 3.0  # s; own: an aircraft that stays up so long is not flipping
SAME_RATIO = 3.0  # 1; own: slopes of 1, 57 and 1/57 lie far apart
GRAVITY_WITHIN = 0.12  # 1; own: bias and scale of an uncalibrated part
EARTH_FIELD_UT = (20.0, 70.0)  # uT; from memory: total field from South Atlantic to near the poles
CELL_V = (2.8, 4.45)  # V; own: from nearly ruined to the fullest of any lithium cell
AMP_WITHIN = 2.5  # 1; own: steps between the units are 10


class Told(NamedTuple):
    """A unit, or None, and what it rests on."""

    unit: str | None
    why: str


def _span(columns: list[Values]) -> tuple[float, float]:
    """Return the ends between which the numbers of some columns lie, single slips aside."""
    x = np.concatenate([c[np.isfinite(c)] for c in columns] or [np.zeros(0)])
    if not x.size:
        return 0.0, 0.0
    low, high = np.percentile(x, (0.1, 99.9))
    return float(low), float(high)


def _told(unit: str | None, low: float, high: float) -> Told:
    return Told(unit, f"range {low:.4g} to {high:.4g}")


def drive_unit(columns: list[Values]) -> Told:
    """Tell the unit of motor commands by their range."""
    low, high = _span(columns)
    unit = None
    if low >= -0.02 and 0.1 < high <= SHARE_MOST:
        unit = "share"
    elif low >= -2.0 and 10.0 < high <= 100.0 * SHARE_MOST:
        unit = "percent"
    elif high <= PULSE_US[1] and low >= PULSE_US[0] and high > 1100.0:
        unit = "us"
    return _told(unit, low, high)


def throttle_unit(column: Values) -> Told:
    """Tell the unit of the throttle by its range: it stands at its end for a while."""
    low, high = _span([column])
    unit = None
    if PULSE_US[0] <= low and high <= PULSE_US[1] and high > 1100.0:
        unit = "us"
    elif low >= -0.05 and 0.1 < high <= SHARE_MOST:
        unit = "share"
    elif -SHARE_MOST <= low < -0.8 and high <= SHARE_MOST:
        unit = "share_about_middle"
    elif low >= -5.0 and 10.0 < high <= 100.0 * SHARE_MOST:
        unit = "percent"
    elif -100.0 * SHARE_MOST <= low < -80.0 and high <= 100.0 * SHARE_MOST:
        unit = "percent_about_middle"
    return _told(unit, low, high)


def stick_unit(column: Values, throttle: str | None) -> Told:
    """Tell the unit of a centred stick by its range and middle, and by the throttle's unit."""
    low, high = _span([column])
    seen = column[np.isfinite(column)]
    middle = float(np.median(seen)) if seen.size else 0.0
    unit = None
    if (
        PULSE_US[0] <= low
        and high <= PULSE_US[1]
        and MIDDLE_PULSE_US[0] < middle < MIDDLE_PULSE_US[1]
    ):
        unit = "us"
    elif low >= -5.0 and HALF_OF_TRAVEL[0] < middle < HALF_OF_TRAVEL[1] and high <= 105.0:
        unit = "percent_of_travel"
    elif max(-low, high) <= SHARE_MOST and abs(middle) < 0.3:
        # a hardly moved stick in percent reads as little; the throttle's unit decides
        unit = {"percent": None, "percent_about_middle": None}.get(throttle or "", "share")
        unit = unit if throttle else None
    elif max(-low, high) <= 100.0 * SHARE_MOST and abs(middle) < 30.0:
        unit = "percent"
    told = _told(unit, low, high)
    return told._replace(why=f"{told.why} about {middle:.4g}")


def _by_size(size: float, usual: float) -> str | None:
    """Return rad or deg by a usual size in rad, None near the middle between."""
    middle = usual / np.sqrt(RAD_PER_DEG)
    if 0.0 < size < middle / CLEARLY:
        return "rad"
    return "deg" if size > middle * CLEARLY else None


def turn_units(
    tilts: list[Values],
    heading: Values | None,
    rates: list[Values],
    slopes: list[float],
    air_s: float,
) -> tuple[Told, Told]:
    """Tell the units of angles and of rates together.

    tilts, heading, rates : numbers in the air; slopes : change of each angle per rate, as measured.
    """
    clues: list[tuple[str, str]] = []
    most = max((float(np.max(np.abs(x))) for x in tilts if x.size), default=0.0)
    if heading is not None and heading.size and np.max(np.abs(heading)) > MOST_HEADING_RAD:
        clues.append(("deg", f"heading reaches {np.max(np.abs(heading)):.4g}"))
    if most > MOST_RAD:
        clues.append(("deg", f"angles reach {most:.3g}"))
    ratio = _ratio(slopes)
    angle_calm = rate_calm = None
    if air_s >= CALM_S:
        angle_calm = _by_size(_usual(tilts), CALM_TILT_RAD)
        rate_calm = _by_size(_usual(rates), CALM_RATE_RAD_S)
    if angle_calm:
        clues.append((angle_calm, f"angles are {_usual(tilts):.2g} in the air"))
    of_rates = [(rate_calm, f"rates are {_usual(rates):.2g} in the air")] if rate_calm else []
    if ratio is not None:
        words = f"angles turn {np.median(np.abs(slopes)):.2g} times the integral of the rates"
        clues += [(_other(unit, ratio), f"{why}; {words}") for unit, why in of_rates]
        of_rates += [(_other(unit, 1.0 / ratio), f"{why}; {words}") for unit, why in clues]
    return _agreed(clues, ""), _agreed([(u, w) for u, w in of_rates if u], "_s")


def _usual(columns: list[Values]) -> float:
    return (
        float(np.sqrt(np.mean([np.var(x) for x in columns])))
        if columns and columns[0].size
        else 0.0
    )


def _ratio(slopes: list[float]) -> float | None:
    """Return 1, 57.3 or 1/57.3, whichever the slopes are near, None if none."""
    size = float(np.median(np.abs(slopes))) if slopes else 0.0
    near = (1.0, 1.0 / RAD_PER_DEG, RAD_PER_DEG)
    return next((r for r in near if r / SAME_RATIO < size < r * SAME_RATIO), None)


def _other(unit: str, ratio: float) -> str:
    """Return the unit of angles given that of rates, for angles per integral of rates (or back)."""
    if ratio == 1.0:
        return unit
    return {"rad": "deg" if ratio > 1.0 else "", "deg": "rad" if ratio < 1.0 else ""}[unit]


def _agreed(clues: list[tuple[str, str]], ending: str) -> Told:
    found = {unit for unit, _ in clues}
    parts = [part for _, why in clues for part in why.split("; ")]
    why = "; ".join(dict.fromkeys(parts)) or "sizes leave it open"
    if len(found) != 1 or "" in found:
        return Told(None, why if not found else f"clues disagree: {why}")
    return Told(f"{found.pop()}{ending}", why)


def accel_unit(columns: list[Values]) -> Told:
    """Tell the unit of an accelerometer by its length, which is gravity at rest and in a hover."""
    size = float(np.nanmedian(np.sqrt(np.sum(np.square(columns), axis=0))))
    fitting = [
        name
        for name, unit in UNITS["accel"].items()
        if abs(size * unit.factor / STANDARD_GRAVITY_M_S2 - 1.0) < GRAVITY_WITHIN
    ]
    why = f"length {size:.4g} at rest and in the hover"
    return Told(fitting[0] if len(fitting) == 1 else None, why)


def field_unit(columns: list[Values]) -> Told:
    """Tell the unit of a compass by its length."""
    size = float(np.nanmedian(np.sqrt(np.sum(np.square(columns), axis=0))))
    low, high = EARTH_FIELD_UT
    fitting = [name for name, u in UNITS["field"].items() if low < size * u.factor < high]
    return Told(fitting[0] if len(fitting) == 1 else None, f"length {size:.4g}")


def volt_unit(column: Values, airframe: Airframe) -> Told:
    """Tell the unit of the pack's volts by what its cells can have."""
    size = float(np.nanmedian(column))
    low, high = (v * airframe.cells for v in CELL_V)
    fitting = [name for name, u in UNITS["volt"].items() if low < size * u.factor < high]
    why = f"mostly {size:.4g}; {airframe.cells} cells"
    return Told(fitting[0] if len(fitting) == 1 else None, why)


def amp_unit(hovering: Values, airframe: Airframe) -> Told:
    """Tell the unit of the pack's current by the hover current of the build sheet."""
    size = float(np.median(hovering)) if hovering.size else 0.0
    usual = airframe.sheet.hover_current_a
    fitting = [
        name
        for name, u in UNITS["amp"].items()
        if usual / AMP_WITHIN < size * u.factor < usual * AMP_WITHIN
    ]
    why = f"{size:.4g} in the air; {usual:.3g} A on the build sheet"
    return Told(fitting[0] if len(fitting) == 1 else None, why)


def speed_unit(flying: list[Values], airframe: Airframe) -> Told:
    """Tell the unit of motor speeds by the fastest the motors can turn."""
    size = float(np.median(np.concatenate(flying))) if flying and flying[0].size else 0.0
    fastest = airframe.motor.kv_rpm_v * airframe.cells * CELL_V[1]
    fitting = []
    for name, full in (("rpm", fastest), ("rad_s", fastest * RAD_S_PER_RPM)):
        if 0.2 * full < size < full:
            fitting.append(name)
    return Told(fitting[0] if len(fitting) == 1 else None, f"{size:.4g} in the air")


def position_unit(column: Values) -> Told:
    """Tell the unit of a height or way: only metres make so little of a hop."""
    low, high = _span([column])
    return _told("m" if 0.2 < high - low < 15.0 else None, low, high)


def with_name(told: Told, stated: str | None, kind: Kind) -> Told:
    """Return the unit stated by a name, unless the numbers tell another one."""
    if stated is None:
        return told
    alike = {
        "percent": ("percent", "percent_of_travel", "percent_about_middle"),
        "share": ("share", "share_about_middle"),
    }
    if told.unit is None or told.unit in alike.get(stated, (stated,)):
        return Told(told.unit or stated, f"its name; {told.why}")
    return Told(None, f"its name says {stated}, but {told.why}")
