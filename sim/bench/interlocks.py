"""Why the controller would refuse to arm now, in plain sentences."""

from math import cos, pi

import numpy as np

from sim.aircraft.setup import Unset
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Objection, refuse_for
from sim.kernel import estimator
from sim.kernel.avionics import BOOT_TICKS
from sim.kernel.frames import Quat, Vec3, apply, to_world
from sim.kernel.radio import Sticks, command

THROTTLE_LIMIT = 0.05  # share; own: stick all the way down, with its trim
ASKEW_RAD = 20.0 * pi / 180.0  # rad; own: an aircraft set down askew or held in the hand
RESIDUAL_LIMIT = 0.05  # share of field strength; own: ten times the noise of a good calibration
COVERAGE_LIMIT = 0.6  # share of directions; own: two turns about each level axis give more
FIELD_LIMIT = 0.25  # share of field strength; own: a magnet close by, not a fault of calibration
UNSET: dict[Unset, Objection] = {
    "layout": Objection("layout", "No layout of the motors is chosen."),
    "mode-switch": Objection("mode_switch", "No mode is assigned to the mode switch."),
    "sticks": Objection("sticks", "The sticks have not been calibrated."),
    "drives": Objection("drives", "The drives have not learnt the ends of the throttle."),
    "accelerometer": Objection(
        "accelerometer", "The accelerometer has not been calibrated to the end."
    ),
    "compass": Objection("compass", "The compass has not been calibrated to the end."),
}  # what is said of each thing that is still to be told or taught
NO_LINK = Objection("linked", "There is no link to the transmitter.")


def field_strength_ut(rig: Rig) -> float:
    """Return the size of the earth's field at the site, uT."""
    earth = rig.world.site.earth_field
    return float(np.hypot(np.hypot(earth.north_ut, earth.east_ut), earth.down_ut))


def _compass_objections(rig: Rig) -> list[Objection]:
    stored, words = rig.world.setup.compass, []
    if stored.residual_share > RESIDUAL_LIMIT:
        words.append(
            f"The compass calibration does not fit: its readings scatter by "
            f"{100 * stored.residual_share:.0f} % of the field."
        )
    if stored.coverage < COVERAGE_LIMIT:
        words.append(
            f"The compass calibration saw only {100 * stored.coverage:.0f} % of all directions."
        )
    size, expected = measured_field_ut(rig), field_strength_ut(rig)
    if abs(size / expected - 1.0) > FIELD_LIMIT:
        words.append(f"The compass feels {size:.0f} µT where the site has {expected:.0f} µT.")
    return [Objection("compass", sentence) for sentence in words]


def measured_field_ut(rig: Rig) -> float:
    """Return the size of the latest calibrated compass reading, uT."""
    held = rig.craft.estimator
    raw = Vec3(*(rig.value(f"sensors.mag_ut.{axis}") for axis in "xyz"))
    seen = estimator.calibrated(apply(held.mag_mounting, raw), held.mag_offset_ut, held.mag_matrix)
    return float(np.sqrt(seen.x**2 + seen.y**2 + seen.z**2))


def _leaning(rig: Rig) -> bool:
    attitude = Quat(*(rig.value(f"estimator.attitude.{axis}") for axis in "wxyz"))
    return float(-to_world(attitude, Vec3(0.0, 0.0, -1.0)).z) < cos(ASKEW_RAD)


def reasons_not_to_arm(rig: Rig, sticks: Sticks = HANDS_OFF) -> list[Objection]:
    """Return every reason the controller has to refuse; an empty list means it would arm."""
    if not rig.world.conduct.pack_plugged:
        return [Objection("powered", "There is no power: the pack is not plugged in.")]
    if rig.value("powered_ticks") < BOOT_TICKS:
        return [Objection("started", "The controller is still starting; keep the aircraft still.")]
    if rig.world.build.board_blank:
        return [Objection("software", "The controller holds no software yet.")]
    unset = [UNSET[what] for what in rig.world.setup.unset]
    control = rig.world.setup.controller
    if not control.arming_rules:  # then only the link is asked for, beside what it can't do without
        return unset if rig.value("radio.linked") > 0.0 else [*unset, NO_LINK]
    reasons = []
    if rig.value("radio.linked") == 0.0:
        reasons.append(NO_LINK)
    else:
        pulses = tuple(rig.value(f"radio.pulse_us.{i}") for i in range(4))
        if command(pulses, rig.craft.radio).throttle > THROTTLE_LIMIT:
            reasons.append(Objection("throttle_down", "The throttle is not all the way down."))
    if sticks.stop > 0.0 and control.stop_switch:
        reasons.append(Objection("stop_switch_off", "The stop switch is on."))
    if _leaning(rig):
        reasons.append(Objection("level", "The aircraft is not level."))
    relied_on = "compass" not in rig.world.setup.unset
    return reasons + unset + (_compass_objections(rig) if relied_on else [])


def refuse_to_arm(rig: Rig, sticks: Sticks = HANDS_OFF) -> None:
    """Refuse with the controller's own reasons, if it has any. sticks : as they are held."""
    refuse_for(reasons_not_to_arm(rig, sticks), "It will not arm.", "will_not_arm")
