"""Checks of settings and of how the control loop behaves."""

import numpy as np

from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import PLACES
from sim.aircraft.setup import ControllerSetup
from sim.bench.changes import LOOP, every
from sim.bench.check import Check, Line, armed, disarmed, sticks
from sim.bench.checks import legs
from sim.bench.person import Subject, read_off, senses
from sim.bench.reading import Reading, Series
from sim.bench.rig import History, Rig, degrees
from sim.kernel.clock import ticks

STEADY, SETTLE_S, LISTEN_S = 0.3, 1.5, 3.0  # share, s, s; own: part throttle, begin and length
SHAKE_BAND = (1.0 / 12.0, 1.0)  # of the gyro's cutoff as planned; own: a loop rings at 0.26 to 0.35
LIGHT_SHARE = 0.95  # of the weight; measured: a loop with too much gain rings there
LIGHT_S = 2.5  # s; own: two to three seconds light on the legs
TAP_DEG = 5.0  # deg; own: the lean a short tap asks for, which sets the loop off
LOOK_S = 0.06  # s; own: how long one look and one tap last, of the quickest eye and thumb
CUT_RINGING = 0.12  # of command; own: loud enough to cut, quiet enough to stay on the legs
STICK_SHARE = 0.003  # share; own: the throttle bar read at a glance
SHAKE_M_S2 = 0.004  # m/s2; own: what the floor and the wash add to the shake of the board
THROTTLE_STEP = 0.004  # share; own: a gentle hand on the stick


WORDS = {"stop": 1.0, "hold": 0.0, "cross": 0.0, "plus": 1.0}  # words on the sheet as numbers


def numbers_of(settings: ControllerSetup) -> dict[str, float]:
    """Return every number and switch on the setup sheet by its key."""
    flat: dict[str, float] = {}
    for key, value in settings.model_dump().items():
        if isinstance(value, dict):
            flat |= {f"{key}.{name}": float(v) for name, v in value.items()}
        elif isinstance(value, str):
            flat[key] = WORDS[value]
        else:
            flat[key] = float(value)
    return flat


def settings_sheet(rig: Rig) -> Reading:
    """Read every value set in the controller beside the build sheet's."""
    now = numbers_of(rig.world.setup.controller)
    sheet = numbers_of(rig.world.airframe.sheet.setup)
    values = {f"{key} now": value for key, value in now.items()}
    values |= {f"{key} sheet": value for key, value in sheet.items()}
    return Reading("settings-sheet", values)


def shake_band_hz(airframe: Airframe) -> tuple[float, float]:
    """Return where shaking is looked for, Hz: faster than piloting, up to what the gyro passes on."""
    cutoff_hz = airframe.sheet.setup.gyro_cutoff_hz
    return SHAKE_BAND[0] * cutoff_hz, SHAKE_BAND[1] * cutoff_hz


def tap(airframe: Airframe) -> float:
    """Return how far a stick is tapped, share of its travel."""
    return min(1.0, TAP_DEG / airframe.sheet.setup.tilt_limit_deg)


def shake(history: History, column: str, band_hz: tuple[float, float]) -> tuple[float, float]:
    """Return (standard deviation in a band, strongest frequency there in Hz) of a column."""
    signal = history[column] - history[column].mean()
    step = float(np.median(np.diff(history["time_s"])))
    spectrum = np.fft.rfft(signal * np.hanning(len(signal)))
    frequency = np.fft.rfftfreq(len(signal), step)
    inside = (frequency >= band_hz[0]) & (frequency <= band_hz[1])
    power = np.abs(spectrum[inside]) ** 2
    # a Hann window keeps 3/8 of the power of a random signal
    size = np.sqrt(2.0 * power.sum() / (len(signal) ** 2 * 0.375))
    return float(size), float(frequency[inside][int(np.argmax(power))])


def steady_reading(airframe: Airframe, held: History) -> Reading:
    """Return how rough each motor's command is while the stick is still."""
    band_hz = shake_band_hz(airframe)
    rough = {place: shake(held, f"drive_{place}", band_hz)[0] for place in PLACES}
    return Reading(
        "steady-throttle",
        {f"{place}_roughness_share": value for place, value in rough.items()},
        series={"one motor's command": _trace(held, "drive_front_left")},
    )


def steady_throttle(rig: Rig) -> Reading:
    """Hold part throttle, propellers off, and listen how rough the motor commands are."""
    armed(rig)
    rig.run(sticks(STEADY), SETTLE_S)
    held = rig.run(sticks(STEADY), LISTEN_S, every=ticks(0.002))
    disarmed(rig)
    return steady_reading(rig.world.airframe, held)


def _trace(history: History, column: str) -> Series:
    part = history.last(0.5)
    return Series("time_s", column, tuple(part["time_s"].tolist()), tuple(part[column].tolist()))


def _felt(held: History) -> float:
    """Return the level shake the accelerometer feels, faster than the frame can swing, m/s2."""
    sizes = [np.diff(held[f"accel_{axis}_m_s2"], n=2) for axis in "xy"]
    # the second difference of noise is the root of six times its size
    return float(np.sqrt(np.mean(np.square(sizes)) / 6.0))


def must_cut(seen: History) -> bool:
    """Tell whether a hand would cut now: it leans over, rings hard, or has left the pad."""
    ringing = max(float(seen[f"drive_{place}"].std()) for place in PLACES)
    clear = seen["load_n"].max() == 0.0
    return bool(clear or legs.askew(seen) or ringing > CUT_RINGING)


def made_light(rig: Rig) -> tuple[float, bool]:
    """Raise the throttle until the legs carry a twentieth; return (throttle, whether to cut)."""
    weight = rig.craft.body.mass_kg * rig.craft.body.gravity_m_s2
    throttle = 0.1
    while throttle < 0.9:
        seen = rig.run(sticks(throttle), 0.05)
        if must_cut(seen):
            return throttle, True
        if seen["load_n"].mean() < (1.0 - LIGHT_SHARE) * weight * 1.3:
            return throttle, False
        throttle += THROTTLE_STEP
    return throttle, False


def light_on_legs(rig: Rig) -> Reading:
    """Raise the throttle until the legs carry a twentieth, tap a stick, watch for two seconds.

    A hand at the stop switch cuts as soon as it leans over, rings hard or leaves the pad.
    """
    before = rig.run(sticks(), 0.5)
    armed(rig)
    throttle, cut = made_light(rig)
    looks = [rig.run(sticks(throttle), LOOK_S, every=ticks(0.002)).rows]
    tapped = tap(rig.world.airframe)
    taps = (sticks(throttle, roll=tapped), sticks(throttle, pitch=tapped))
    for held in [*taps, *[sticks(throttle)] * round(LIGHT_S / LOOK_S)]:
        if cut:
            break
        looks.append(rig.run(held, LOOK_S, every=ticks(0.002)).rows)
        cut = must_cut(History(looks[-1]))
    disarmed(rig)
    seen = History(np.vstack(looks[-round(LIGHT_S / LOOK_S) :]))
    return light_reading(rig, before, seen, throttle, cut)


def light_reading(rig: Rig, before: History, seen: History, throttle: float, cut: bool) -> Reading:
    """Return what is seen, heard and read light on the legs.

    before : standing, motors off; throttle : at which it grew light, 0..1; cut : whether a hand
    has to cut.
    """
    rng = senses(rig, Subject.LEGS)
    airframe = rig.world.airframe
    band_hz = shake_band_hz(airframe)
    size, frequency = max(shake(seen, f"drive_{place}", band_hz) for place in PLACES)
    cells = rig.world.pack_spec.cells
    spread = [float(seen[f"drive_{place}"].mean()) for place in PLACES]
    return Reading(
        "light-on-legs",
        {
            "ringing_share": size,
            "ringing_hz": frequency,
            "throttle_share": read_off(rng, throttle, STICK_SHARE, 0.001),
            "command_spread_share": max(spread) - min(spread),
            "lean_deg": degrees(float(np.hypot(seen["roll_rad"], seen["pitch_rad"]).max())),
            "cut_count": float(cut),
            **legs.by_corner(seen, airframe.clockwise),
            "height_jump_m": float(seen["baro_m"].mean() - before["baro_m"].mean()),
            "shake_m_s2": read_off(rng, _felt(seen), SHAKE_M_S2, 0.001, 0.0),
            "rest_v_cell": float(before["shown_pack_v"].mean()) / cells,
            "loaded_v_cell": float(seen["shown_pack_v"].mean()) / cells,
        },
        series={"one motor's command": _trace(seen, "drive_front_left")},
    )


CHECKS = (
    Check(
        "settings-sheet",
        "C18",
        "Read the settings beside the build sheet",
        2.0,
        ("powered",),
        settings_sheet,
        "Which values differ from the sheet?",
        lines=(Line("control", 30, "settings", "Settings beside the sheet: say what differs"),),
        voided_by=(*every("setup.controller."),),
    ),
    Check(
        "steady-throttle",
        "C16",
        "Hold part throttle, propellers off, and listen",
        2.0,
        ("powered", "linked", "props_off", "in_hands"),
        steady_throttle,
        "How rough are the motors at a steady stick?",
        lines=(Line("control", 50, "roughness", "Steady throttle: say the roughness"),),
        voided_by=(*LOOP, "crash"),
        caution="Propellers off. Short bursts: without load the motors cool less.",
    ),
    Check(
        "light-on-legs",
        "C22",
        "Light on the legs for two seconds, then down",
        0.5,
        ("powered", "linked", "props_on", "standing"),
        light_on_legs,
        "Does anything lean, buzz or ring?",
        lines=(Line("last-gate", 60, "light", "Light on the legs: say lean and ringing"),),
        place="pad",
        voided_by=(
            *LOOP,
            *every("swap:propeller-"),
            *every("swap:motor-"),
            "setup.controller.idle",
            "calibrate:drives",
            "calibrate:faces",
            "calibrate:level",
            "swap:ballast",
            "swap:barometer-cover",
            "swap:frame-screws",
            "swap:legs",
            "swap:pack",
            "swap:pack-place",
            "swap:sensor-mount",
            "crash",
        ),
        caution="Propellers on: everybody clear, goggles on, hand at the stop switch.",
        hurts=True,
    ),
)
