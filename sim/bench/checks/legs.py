"""What shows corner by corner when the rotors carry the aircraft: commands, speeds, lean."""

from collections.abc import Collection

import numpy as np

from sim.aircraft.fields import PLACES, Place
from sim.bench.rig import History, degrees
from sim.units import RAD_S_PER_RPM

CUT_DEG = 4.0  # deg; own: an eye sees it lean, of whatever size it is; sound ones stand within 3


def askew(seen: History) -> bool:
    """Tell whether it leans so far that the throttle has to be cut."""
    lean = float(np.hypot(seen["roll_rad"], seen["pitch_rad"]).max())
    return degrees(lean) > CUT_DEG


def by_corner(held: History, clockwise: Collection[Place]) -> dict[str, float]:
    """Return lean with its sign, yaw command, and each corner's command and rotor speed.

    clockwise : places of the rotors that turn so; a mixer speeds up the others to yaw right.
    """
    values = {
        "lean_right_deg": degrees(float(held["roll_rad"].mean())),
        "lean_back_deg": degrees(float(held["pitch_rad"].mean())),
    }
    commands = {place: float(held[f"drive_{place}"].mean()) for place in PLACES}
    yaw = [share if place not in clockwise else -share for place, share in commands.items()]
    values["yaw_command_share"] = float(np.mean(yaw))
    for place, share in commands.items():
        values[f"{place}_command_share"] = share
        speed = float(held[f"speed_{place}_rad_s"].mean())
        values[f"{place}_rotor_rpm"] = speed / RAD_S_PER_RPM
    return values
