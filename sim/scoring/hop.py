"""Quality of the hop: how long it kept still, how it came down, whether it was cut in time."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.bench.rig import History
from sim.procedure.rubric import Band, HopRubric, Rubric
from sim.session.record import Record

TRACK_S = 0.01  # s; the track is at 100 Hz
CLEAR_M = 0.18  # m; own: legs so far off the floor are well clear


@dataclass(frozen=True)
class HopQuality:
    """Marks of the hop 0..1 and what they rest on."""

    share: float
    desired_s: float
    adequate_s: float
    worst_away_m: float
    touchdown_m_s: float
    crashed: bool


def longest_s(inside: NDArray[np.bool_]) -> float:
    """Return the longest unbroken time inside a band, s."""
    best = run = 0
    for good in inside.tolist():
        run = run + 1 if good else 0
        best = max(best, run)
    return best * TRACK_S


def inside(
    band: Band,
    away_m: NDArray[np.float64],
    height_off_m: NDArray[np.float64],
    heading_off_deg: NDArray[np.float64],
) -> NDArray[np.bool_]:
    """Return where the track lies within a band."""
    within = (away_m <= band.away_m) & (np.abs(height_off_m) <= band.height_m)
    return np.asarray(within & (np.abs(heading_off_deg) <= band.heading_deg))


def hold_share(desired_s: float, adequate_s: float, wanted_s: float, rubric: HopRubric) -> float:
    """Return the marks for keeping still: full if desired all the time, part if adequate."""
    if desired_s >= wanted_s:
        return 1.0
    return rubric.adequate_worth * min(1.0, adequate_s / wanted_s)


def first_hop(record: Record) -> History:
    """Return the track up to the end of the first hop; a later one neither mends nor spoils it."""
    if not record.hops or record.hops[0].over_s is None:
        return record.track
    return History(record.track.rows[record.track["time_s"] <= record.hops[0].over_s])


def hop_quality(record: Record, rubric: Rubric) -> HopQuality:
    """Return the quality of the first hop; all zero if it never left the floor."""
    track, plan, r = first_hop(record), record.scenario.hop, rubric.hop
    up = track["height_m"] > record.standing_m + CLEAR_M
    if record.takeoff_s is None or not up.any():
        return HopQuality(0.0, 0.0, 0.0, 0.0, 0.0, bool(record.crash))
    away = np.hypot(track["north_m"] - record.pad_north_m, track["east_m"] - record.pad_east_m)
    off = track["height_m"] - plan.height_m
    heading = np.degrees(track["heading_rad"])
    desired_s = longest_s(up & inside(r.desired, away, off, heading))
    adequate_s = longest_s(up & inside(r.adequate, away, off, heading))
    crashed = bool(record.crash)
    marks = 0.0
    if not crashed:
        hold = hold_share(desired_s, adequate_s, plan.hover_s, r)
        soft = float(record.touchdown_m_s <= r.soft_touchdown_m_s)
        disciplined = float("no-abort-within-2s" not in {h.id for h in record.hazards})
        s = r.shares
        marks = s.hold * hold + s.touchdown * soft + s.discipline * disciplined
    return HopQuality(
        marks, desired_s, adequate_s, float(away[up].max()), record.touchdown_m_s, crashed
    )
