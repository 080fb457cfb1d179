"""The hop as drilled, flown with one fault left in, and what can be measured of it."""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import PLACES
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.keys import FaultId
from sim.session import actions as act
from sim.session.scenario import HiddenFault, load
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.hop import hop
from sim.trainees.others import to_the_pad

ROW_S = 0.01  # s; between rows of the track
SOUND_DRILL = "quiet-morning"
LANDING_S = 4.0  # s; at the end of a hop, for coming down
BEGIN_S = 3.0  # s; in which a fault that flips it does so
WALLOW_HZ, WOBBLE_HZ = (1.0, 6.0), (2.0, 8.0)  # Hz; what an eye sees as a swing, and as a tremble
SHAKE_HZ, COARSE_HZ = (8.0, 45.0), (20.0, 45.0)  # Hz; a shake, and what motors sound coarse by
AXES = ("roll", "pitch", "yaw")
Values = NDArray[np.float64]


def banded(signal: Values, band: tuple[float, float]) -> float:
    """Return the rms of a signal within a band of frequencies."""
    spectrum = np.fft.rfft((signal - signal.mean()) * np.hanning(len(signal)))
    hz = np.fft.rfftfreq(len(signal), ROW_S)
    power = np.abs(spectrum[(hz >= band[0]) & (hz < band[1])]) ** 2
    # a Hann window keeps 3/8 of the power of a random signal
    return float(np.sqrt(2.0 * power.sum() / (len(signal) ** 2 * 0.375)))


@dataclass(frozen=True)
class Flight:
    """One hop and what the aircraft was like after it. `began_s`: when the throttle went up."""

    track: History
    began_s: float
    took_off_s: float | None
    hover_s: float
    went_well: bool
    alarm: bool
    crash: bool
    touchdown_m_s: float
    rotors_k: tuple[float, ...]

    @cached_property
    def up(self) -> History:
        """All rows from takeoff on, down to the floor."""
        t = self.track["time_s"]
        start = t[-1] if self.took_off_s is None else self.took_off_s
        flown = t >= start
        high = self.track["height_m"] > 0.3
        last = np.flatnonzero(high & flown)
        end = int(last[-1]) if last.size else len(t)
        return History(self.track.rows[np.flatnonzero(flown)[0] : end + 1])

    @cached_property
    def begin(self) -> History:
        """The first seconds after takeoff."""
        return History(self.up.rows[: round(BEGIN_S / ROW_S)])

    @cached_property
    def hold(self) -> History:
        """The hover alone, without nudges and landing; what there is of the hop if it was short."""
        rows = self.up.rows
        late = rows[: -round(LANDING_S / ROW_S)][-round(self.hover_s / ROW_S) :]
        return History(late if len(late) > 500 else rows)

    def drives(self, history: History) -> Values:
        return np.column_stack([history[f"drive_{place}"] for place in PLACES])

    def speeds(self, history: History) -> Values:
        return np.column_stack([history[f"speed_{place}_rad_s"] for place in PLACES])


def flown(fault: FaultId | None, severity: float, seed: int) -> Flight:
    """Return the planned hop by the pilot model, nothing checked or cured before."""
    hidden = (HiddenFault(id=fault, severity=severity),) if fault else ()
    scenario = load(SOUND_DRILL).model_copy(update={"faults": hidden})
    session = Session(scenario, seed)
    hands = Hands(session, session)
    began, went_well = session.rig.time_s, False
    try:
        to_the_pad(hands)
        hands.do(act.Arm())
        began = session.rig.time_s
        plan = session.scenario.hop
        went_well = hop(hands, plan.height_m, plan.hover_s, hands.sheet.hover_throttle)
    except Refusal:
        pass
    return after(session, began, went_well)


def after(session: Session, began_s: float, went_well: bool) -> Flight:
    """Return what a session's hop was like."""
    record, rig = session.record(), session.rig
    return Flight(
        record.track,
        began_s,
        record.takeoff_s,
        record.scenario.hop.hover_s,
        went_well,
        session.view().alarm,
        bool(record.crash),
        record.touchdown_m_s,
        temperatures_k(rig),
    )


def temperatures_k(rig: Rig) -> tuple[float, ...]:
    return tuple(float(rig.value(f"rotors.{i}.motor.temperature_k")) for i in range(4))


def worst(flight: Flight, names: tuple[str, ...], band: tuple[float, float]) -> float:
    """Return the largest rms of some columns within a band in the hover."""
    return max(banded(flight.hold[name], band) for name in names)


def degrees_between(history: History, one: str, other: str) -> Values:
    off = history[one] - history[other]
    return np.degrees(np.angle(np.exp(1j * off)))


def lean_deg(history: History) -> float:
    return float(np.degrees(np.hypot(history["roll_rad"], history["pitch_rad"]).max()))


def most_away_m(flight: Flight) -> float:
    first = flight.up.rows[: round(10.0 / ROW_S)]
    return float(np.hypot(History(first)["north_m"], History(first)["east_m"]).max())


def corner_off(flight: Flight) -> float:
    """Return how far the command of one corner lies from the middle of all four."""
    mean = flight.drives(flight.hold).mean(axis=0)
    return float(np.abs(mean - np.median(mean)).max())


def corner_drop(flight: Flight) -> float:
    """Return how far a rotor fell behind its siblings, 0..1."""
    speeds = flight.speeds(flight.up)
    return float(1.0 - (speeds / np.median(speeds, axis=1, keepdims=True)).min())


def pair_off(flight: Flight) -> float:
    """Return how much more one diagonal pair was told than the other."""
    mean = flight.drives(flight.hold).mean(axis=0)
    return float(abs(mean[0] + mean[2] - mean[1] - mean[3]) / 2.0)


def pack_ohm(flight: Flight) -> float:
    """Return volts lost per ampere, with a steady decline beside it."""
    up = flight.up
    known = np.column_stack([up["pack_a"], np.arange(len(up)), np.ones(len(up))])
    return float(-np.linalg.lstsq(known, up["pack_v"], rcond=None)[0][0])


def height_jump_m(flight: Flight) -> float:
    """Return how far the height shown moved off the true one as the motors spun up."""
    t, off = flight.track["time_s"], flight.track["baro_m"] - flight.track["height_m"]
    standing = (t > flight.began_s) & (t < flight.began_s + 0.3)
    held = (t >= flight.hold["time_s"][0]) & (t <= flight.hold["time_s"][-1])
    return float(abs(off[held].mean() - off[standing].mean()))


def level_off_deg(flight: Flight) -> float:
    axes = (("shown_roll_rad", "roll_rad"), ("shown_pitch_rad", "pitch_rad"))
    return max(abs(float(degrees_between(flight.hold, *axis).mean())) for axis in axes)


def nose_deg(flight: Flight) -> float:
    """Return over what angle the nose wandered in the hover."""
    return float(np.degrees(np.ptp(np.unwrap(flight.hold["heading_rad"]))))


def stick_held(flight: Flight) -> float:
    return max(abs(float(flight.hold[f"stick_{axis}"].mean())) for axis in AXES)


ROLL_PITCH = ("roll_rate_rad_s", "pitch_rate_rad_s")
DRIVES = tuple(f"drive_{place}" for place in PLACES)
# what can be measured of a hop; each needs a hop but the first three
MEASURES: dict[str, Callable[[Flight], float]] = {
    "left the floor": lambda f: float(f.took_off_s is not None),
    "crashed or cut": lambda f: float(not f.went_well),
    "alarm": lambda f: float(f.alarm),
    "lift-off s": lambda f: (f.took_off_s or 0.0) - f.began_s,
    "lean at lift-off deg": lambda f: lean_deg(History(f.begin.rows[: round(0.6 / ROW_S)])),
    "lean deg": lambda f: lean_deg(f.begin),
    "climb m/s": lambda f: float((np.diff(f.begin["height_m"]) / ROW_S).max()),
    "away m": most_away_m,
    "turn deg/s": lambda f: float(np.degrees(np.abs(f.up["yaw_rate_rad_s"]).max())),
    "nose deg": nose_deg,
    "wallow rad/s": lambda f: worst(f, ROLL_PITCH, WALLOW_HZ),
    "wobble rad/s": lambda f: worst(f, ROLL_PITCH, WOBBLE_HZ),
    "shake rad/s": lambda f: worst(f, ROLL_PITCH, SHAKE_HZ),
    "kicks rad/s": lambda f: worst(f, ("yaw_rate_rad_s",), SHAKE_HZ),
    "lean held deg": lambda f: float(
        np.degrees(np.hypot(f.hold["roll_rad"].mean(), f.hold["pitch_rad"].mean()))
    ),
    "coarse share": lambda f: worst(f, DRIVES, COARSE_HZ),
    "board shake m/s2": lambda f: worst(f, ("accel_x_m_s2", "accel_y_m_s2"), SHAKE_HZ),
    "roll over pitch": lambda f: float(
        np.log(banded(f.hold[ROLL_PITCH[0]], WALLOW_HZ) / banded(f.hold[ROLL_PITCH[1]], WALLOW_HZ))
    ),
    "stick held share": stick_held,
    "level off deg": level_off_deg,
    "heading off deg": lambda f: float(
        np.abs(degrees_between(f.up, "shown_heading_rad", "heading_rad")).max()
    ),
    "heading swing deg": lambda f: float(
        np.ptp(degrees_between(f.up, "shown_heading_rad", "heading_rad"))
    ),
    "height jump m": height_jump_m,
    "corner off share": corner_off,
    "corner drop share": corner_drop,
    "pair off share": pair_off,
    "throttle share": lambda f: float(f.hold["stick_throttle"].mean()),
    "lowest V": lambda f: float(f.up["pack_v"].min()),
    "ohm": pack_ohm,
    "volts shown off": lambda f: float((f.up["shown_pack_v"] - f.up["pack_v"]).mean()),
    "hottest K": lambda f: max(f.rotors_k),
    "one hotter K": lambda f: max(f.rotors_k) - float(np.median(f.rotors_k)),
}


SOUND_HOPS = Path(__file__).parent / "faults" / "sound_hops.csv"
TABLE_SEEDS = range(1, 25)


class Spread(NamedTuple):
    """How a measure is spread among sound aircraft."""

    mean: float
    deviation: float
    hops: int


def sound_hops() -> dict[str, Spread]:
    """Return how each measure is spread among sound aircraft, as measured."""
    with SOUND_HOPS.open(encoding="utf-8", newline="") as file:
        return {
            row["measure"]: Spread(float(row["mean"]), float(row["deviation"]), int(row["hops"]))
            for row in csv.DictReader(file)
        }


def measure_sound_hops() -> None:
    """Fly sound aircraft and write down how each measure is spread."""
    flights = [flown(None, 0.0, seed) for seed in TABLE_SEEDS]
    with SOUND_HOPS.open("w", encoding="utf-8", newline="\n") as file:
        file.write("measure,mean,deviation,lowest,highest,hops\n")
        for name, measure in MEASURES.items():
            values = [measure(flight) for flight in flights]
            told = (np.mean(values), np.std(values, ddof=1), min(values), max(values))
            file.write(f"{name},{','.join(f'{x:.6g}' for x in told)},{len(values)}\n")


if __name__ == "__main__":
    measure_sound_hops()
