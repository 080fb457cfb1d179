"""The clock of the flight model: how long a tick is. Everything else is said in seconds.

To fly with another tick, set `TICK_S` before anything else of the project is imported, in a process
and with a compile cache (`DRYHOP_CACHE_DIR`) of its own, for constants are compiled in. It must
divide the shortest time below `sim` that is counted in ticks, 1 ms, or be no longer than that.
"""

TICK_S = 0.001  # s; design: fixed physics step


def ticks(seconds: float) -> int:
    """Return a time as whole ticks, the nearest."""
    return round(seconds / TICK_S)
