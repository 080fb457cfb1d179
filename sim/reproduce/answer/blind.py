"""What could not be told of a recording, in sentences: what was not logged, not asked for, too short."""

import numpy as np

from sim.reproduce.recorded.flight import Flight

MOVED = 0.02  # of a stick's way, standard deviation; own: less asks for nothing a logger would show
LEAST_AIR_S = 4.0  # s; recipe: from less nothing is said of gains and filters
SLOWEST_STEP_S = 0.021  # s; recipe: fifty rows a second, and a little for jitter
LEAST_REST_S = 0.3  # s; own: of standing still, for what is shown at rest
COLUMNS = {
    "accel_x_m_s2": "Without an accelerometer weight and shakes hardly show.",
    "field_x_ut": "Without a compass its faults don't show.",
    "pack_v": "Without volts a worn pack or a bad connector hardly shows.",
    "pack_a": "Without current a worn pack or a weak motor shows less.",
    "height_m": "Without height the motors have to tell when it was in the air.",
}


def blind(flight: Flight) -> tuple[str, ...]:
    """Return what could not be told of a recording and why."""
    recording = flight.recording
    found = [words for name, words in COLUMNS.items() if name not in recording.there]
    for axis in ("roll", "pitch", "yaw"):
        stick = recording[f"stick_{axis}"][flight.armed]
        moved = float(np.nanstd(stick)) if np.isfinite(stick).any() else 0.0
        if moved < MOVED:
            found.append(
                f"The {axis} stick hardly moved: a reversed or short {axis} channel can't show."
            )
    air_s = float(flight.air.sum()) * flight.step_s
    if air_s < LEAST_AIR_S:
        found.append(f"{air_s:.1f} s in the air: too little to tell gains and filters.")
    if flight.step_s > SLOWEST_STEP_S:
        rate = f"{1.0 / flight.step_s:.0f}"
        found.append(f"{rate} rows a second: shakes, gains and filters want fifty or more.")
    if float(flight.rest.sum()) * flight.step_s < LEAST_REST_S:
        found.append("It was not logged at rest before arming: level and gyro show less.")
    return tuple(found)
