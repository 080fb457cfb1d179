"""What one picture frame tells the sound."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.airframe import Airframe
from sim.units import RAD_S_PER_RPM

FULL_CELL_V = 4.2  # V; common practice: a lithium cell charged to the full
RATE_HZ = 44_100  # samples/s; own: the rate every sound card takes

Samples = NDArray[np.float64]


@dataclass(frozen=True)
class Rotors:
    """What of the aircraft makes its sound.

    Parameters
    ----------
    diameter_m : float
        Of its propellers.
    top_rad_s : float
        What its motors reach with nothing to drive, with a full pack.
    """

    diameter_m: float
    top_rad_s: float

    @classmethod
    def of(cls, airframe: Airframe) -> "Rotors":
        """Return those of an aircraft as designed."""
        top_rpm = airframe.motor.kv_rpm_v * airframe.cells * FULL_CELL_V
        return cls(airframe.propeller.diameter_m, top_rpm * RAD_S_PER_RPM)


@dataclass(frozen=True)
class SoundFrame:
    """The state of everything that sounds, over one frame.

    Parameters
    ----------
    speeds_rad_s : array, n x 4
        Rotor speeds at n equal steps over the frame, the last at its end; 200 a second or more
        keep what a ringing loop does to the sound. All at rest after turning: a pause, faded.
    rotors : Rotors
        What turns.
    distance_m : float
        From the pilot's ear to the aircraft.
    props_fitted : bool
        Propellers are heard; without them the bare motors are.
    alarm : bool
        The low-voltage alarm is on.
    shout_m : float
        From the pilot's ear to the spotter while he calls; 0: nobody calls.
    crash : bool
        The aircraft has crashed; heard once when it becomes so.
    volume : float
        Of all together, 0 to 1.
    """

    speeds_rad_s: NDArray[np.float64]
    rotors: Rotors
    distance_m: float
    props_fitted: bool
    alarm: bool
    shout_m: float
    crash: bool
    volume: float
