"""Flights made by hand: a quiet hop in which a test does one thing."""

from collections.abc import Mapping

import numpy as np

from sim.aircraft.fields import PLACES
from sim.bench.rig import COLUMN, History
from sim.kernel.history import HISTORY
from sim.reproduce.words.flight import ROW_S, Flight, Hands, Known

KNOWN = Known(
    tilt_limit_rad=0.35, yaw_limit_rad_s=1.5, hover_throttle=0.5, alarm_v=10.5, air_k=294.0
)
LIGHT_S, LIFT_S, OFF_S, LAND_S, CUT_S, END_S = 1.0, 4.0, 5.0, 16.0, 19.0, 20.0
T = np.arange(0.0, END_S, ROW_S)
HOVER_RAD_S = 500.0
WARM_K = (300.0, 300.5, 300.0, 300.5)
AIR = (T >= OFF_S) & (T < 18.5)


def quiet() -> dict[str, np.ndarray]:
    """Return the columns of a hop in which nothing is wrong."""
    up = np.clip((T - OFF_S) / 2.0, 0.0, 1.0) * np.clip((18.5 - T) / 2.5, 0.0, 1.0)
    columns = {name: np.zeros(len(T)) for name in HISTORY}
    columns |= {"time_s": T, "height_m": up, "load_n": np.where(AIR, 0.0, 10.0)}
    columns["stick_throttle"] = np.where((T > LIGHT_S) & (T < CUT_S), 0.5, 0.0)
    columns["shown_pack_v"] = np.full(len(T), 11.8)
    for place in PLACES:
        columns[f"speed_{place}_rad_s"] = np.where(
            T < CUT_S, np.clip(T / LIFT_S, 0.2, 1.0) * HOVER_RAD_S, 0.0
        )
        columns[f"drive_{place}"] = np.where(T < CUT_S, 0.5, 0.0)
    return columns


def flight(
    changes: Mapping[str, np.ndarray] | None = None,
    *,
    hands: Hands = "steered",
    rotors_k: tuple[float, ...] = WARM_K,
    cue: bool = False,
    lift_s: float | None = LIFT_S,
    land_s: float | None = LAND_S,
    cut_s: float = CUT_S,
) -> Flight:
    """Return a quiet hop but for some columns."""
    rows = np.zeros((len(T), len(HISTORY)))
    for name, values in {**quiet(), **(changes or {})}.items():
        rows[:, COLUMN[name]] = values
    return Flight(History(rows), KNOWN, hands, LIGHT_S, lift_s, land_s, cut_s, rotors_k, cue)


def between(start_s: float, end_s: float, value: float) -> np.ndarray:
    """Return a column that has a value for a time, else 0."""
    return np.where((start_s <= T) & (end_s > T), value, 0.0)


def lagged(values: np.ndarray, seconds: float = 0.25) -> np.ndarray:
    """Return a column as it was so long ago."""
    back = round(seconds / ROW_S)
    return np.concatenate((np.zeros(back), values[:-back]))


def sway(hz: float, size: float, start_s: float = OFF_S, end_s: float = LAND_S) -> np.ndarray:
    """Return a column that swings to and fro for a time, else 0."""
    return between(start_s, end_s, 1.0) * size * np.sin(2.0 * np.pi * hz * T)
