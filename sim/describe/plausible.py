"""Whether an aircraft as described is likely to fly well, in plain words."""

from math import pi
from typing import Literal, NamedTuple

from sim.aircraft.estimates import flight
from sim.aircraft.library import propellers
from sim.describe.nearest import apart
from sim.describe.working import Worked
from sim.units import C_PER_AH, M_PER_IN, RAD_S_PER_RPM

Level = Literal["good", "look", "stop"]

LEAST_THRUST, ENOUGH_THRUST = (
    1.3,
    1.8,
)  # 1; trade experience: below it sinks in a gust; calm and safe
HOVER = (0.30, 0.60)  # of throttle; trade experience: sticks feel right and both ways are left
PACK_C = 30.0  # 1/h; own: what many packs bear for some seconds, whatever is printed on them
CELL_V = 3.0  # V; vendors' rule of 3.2 V under load, less what a worn pack adds
CUTS_M_S, HURTS_M_S = (
    60.0,
    25.0,
)  # m/s; Annals of Biomedical Engineering 49 (2021) 1125-1127, abstract
LOUDEST_M_S = 200.0  # m/s; own: 0.6 of the speed of sound, where propellers lose much
UNLIKE = 0.15  # 1; own: a propeller this far in size or pitch from a measured one is another
STEEP = 0.9  # of the diameter; pitches that still work at rest reach 0.86, one of 0.95 is stalled
TURN_RAD = 2.0 * pi  # rad; definition
HOT_AIR_DEGC = 40.0  # degC; own: a hot day
APART = 0.25  # 1; own: more than what estimates of motor and propeller leave open
ENDURANCE_MIN = 4.0  # min; own: a hop of a minute with all the ways to abort it


class Finding(NamedTuple):
    """One thing looked at: good, to look at, or a reason to stop."""

    level: Level
    words: str


def _thrust(w: Worked) -> Finding:
    ratio = flight.thrust_to_weight(w.craft, w.full)
    says = f"Thrust at full throttle is {ratio:.1f} times the weight"
    if ratio < LEAST_THRUST:
        return Finding("stop", f"{says}: too little to fly. Lighter, or larger propellers.")
    if ratio < ENOUGH_THRUST:
        return Finding("look", f"{says}: little is left for a gust; {ENOUGH_THRUST:g} is usual.")
    return Finding("good", f"{says}.")


def _hover(w: Worked) -> Finding:
    share, (low, high) = w.airframe.sheet.hover_throttle, HOVER
    says = f"It hovers at {share:.0%} throttle"
    if share < low:
        return Finding(
            "look", f"{says}, below {low:.0%}: the stick will be twitchy. Fewer cells or lower Kv."
        )
    if share > high:
        return Finding(
            "look",
            f"{says}, above {high:.0%}: little is left to climb. More cells, higher Kv or lighter.",
        )
    return Finding("good", f"{says}; {low:.0%} to {high:.0%} is usual.")  # fmt: skip


def _current(w: Worked) -> Finding:
    capacity_ah = w.craft.pack.capacity_c / C_PER_AH
    rate, cell = w.full.pack_a / capacity_ah, w.full.supply_v / w.craft.pack.cells
    says = f"Full throttle asks {w.full.pack_a:.0f} A of the pack, {rate:.0f} times its capacity an hour"
    if rate > PACK_C or cell < CELL_V:
        return Finding(
            "look", f"{says}, and {cell:.2f} V a cell are left: see what it may give, and keep the "
            "throttle low.",
        )  # fmt: skip
    return Finding("good", f"{says}; {cell:.2f} V a cell are left.")


def _minutes(w: Worked) -> Finding:
    capacity_ah = w.craft.pack.capacity_c / C_PER_AH
    minutes = flight.flight_time_s(capacity_ah, w.airframe.sheet.hover_current_a) / 60.0
    says = f"A charged pack hovers for about {minutes:.0f} minutes, a fifth kept"
    level: Level = "good" if minutes >= ENDURANCE_MIN else "look"
    return Finding(level, f"{says}.")


def _tips(w: Worked) -> Finding:
    hover, full = (
        flight.tip_speed_m_s(w.craft.diameter_m, speed)
        for speed in (w.trim.speed_rad_s, w.full.speed_rad_s)
    )
    says = f"Blade tips move at {hover:.0f} m/s in hover and {full:.0f} at full throttle"
    if full > LOUDEST_M_S:
        return Finding(
            "look", f"{says}: too fast for a propeller to work well. Lower Kv or fewer cells."
        )
    harm = (
        "cut deeply" if hover > CUTS_M_S else "graze or cut" if hover > HURTS_M_S else "hurt eyes"
    )
    return Finding("good", f"{says}. That is enough to {harm}: nobody near them.")  # fmt: skip


def _measured(w: Worked) -> list[Finding]:
    reach = flight.reach(w.tables, w.trim.speed_rad_s, w.full.speed_rad_s)
    top = reach.fastest / RAD_S_PER_RPM
    table = w.airframe.propeller.table
    if reach.hover_measured and reach.full_measured:
        return [Finding("good", f"All speeds lie where propeller {table} was measured.")]
    what = "Full throttle lies" if reach.hover_measured else "Hover and full throttle lie"
    return [
        Finding(
            "good" if reach.hover_measured else "look",
            f"{what} outside what was measured of propeller {table} ({top:.0f} rpm at most): those "
            "numbers are carried on from the last one.",
        )
    ]


def _likeness(w: Worked, pitch_m: float) -> Finding:
    mine = w.airframe.propeller
    like = next(p for p in propellers() if p.table == mine.table)
    name = f"{mine.diameter_m / M_PER_IN:.3g} x {pitch_m / M_PER_IN:.3g} inch"
    off = max(apart(like, mine.diameter_m, pitch_m))
    if off > UNLIKE:
        return Finding(
            "look", f"No measured propeller is like {name}: {like.table} stands in, {off:.0%} off."
        )
    return Finding("good", f"The measured propeller most like {name} is {like.table}.")  # fmt: skip


def _steep(w: Worked, pitch_m: float) -> list[Finding]:
    """Tell of blades so steep that they stall at rest, which none of the measured ones does.

    Shares of 0.86 (AIAA 2014-2151, 5x4.3) and 0.95 (UIUC run 0615rd, 4.2x4) were measured.
    """
    share = pitch_m / w.airframe.propeller.diameter_m
    if share < STEEP:
        return []
    return [
        Finding(
            "look",
            f"With a pitch of {share:.0%} of their diameter the blades stall in hover: it may take twice "
            "the power worked out here. Measure the current in hover, or take a flatter propeller.",
        )
    ]


def _margins(w: Worked) -> list[Finding]:
    if w.designed is None:
        return []
    found = w.designed.roll_margins, w.designed.pitch_margins
    gain, phase = min(m.gain_db for m in found), min(m.phase_deg for m in found)
    turn = min(m.phase_at_rad_s for m in found)
    return [
        Finding(
            "good",
            f"The gains of the sheet leave {gain:.0f} dB and {phase:.0f} degrees; the rate loop works "
            f"up to {turn / TURN_RAD:.1f} times a second.",
        )
    ]


def _overheats(w: Worked) -> list[Finding]:
    m = w.airframe.motor
    motor_a = (w.trim.pack_a - w.craft.pack.avionics_a) / 4.0 / max(float(w.trim.command), 1e-3)
    warmer = motor_a**2 * m.resistance_ohm * m.drive_heat_resistance_k_w
    if warmer < m.drive_limit_degc - HOT_AIR_DEGC:
        return []
    return [Finding("look", f"In a long hover the drives grow {warmer:.0f} K warmer than the air.")]


def _agreement(w: Worked) -> list[Finding]:
    """Tell where a measured hover is far from the one worked out of weight and propeller."""
    sheet = w.airframe.sheet
    off = {
        "throttle": sheet.hover_throttle / float(w.trim.command) - 1.0,
        "current": sheet.hover_current_a / float(w.trim.pack_a) - 1.0,
    }
    return [
        Finding(
            "look",
            f"The {name} measured in hover is {abs(by):.0%} {'above' if by > 0 else 'below'} what follows "
            "from weight, propeller and motor: one of these numbers may be wrong.",
        )
        for name, by in off.items()
        if abs(by) > APART
    ]


def findings(w: Worked, pitch_m: float) -> list[Finding]:
    """Return all that was looked at, the order from flying to details."""
    return [
        _thrust(w), _hover(w), _current(w), _minutes(w), _tips(w), _likeness(w, pitch_m),
        *_steep(w, pitch_m),
        *_agreement(w),
        *_measured(w), *_overheats(w), *_margins(w),
    ]  # fmt: skip
