"""A flight of the model and the recording its logger makes of it, in the columns of `sim.reproduce`."""

from dataclasses import dataclass

import numpy as np

from sim.reproduce.channels import INDEX
from sim.reproduce.recording import Recording, Stretch
from tests.reproduce.twin.controller import PERIOD_S, Attitude, Controller, angles
from tests.reproduce.twin.craft import PLACES, Craft
from tests.reproduce.twin.physics import STEP_S, Physics
from tests.reproduce.twin.pilot import HIGH_M, LOOK_S, Pilot

SETTLE_S = 0.5
STANDING_S, IDLING_S, AFTER_S = 1.8, 1.2, 0.8
LONG_S = {"hover": 16.0, "nudges": 20.0, "takeoff": 4.0}
NUDGE_FROM_S, NUDGE_EVERY_S, NUDGE_S = 7.0, 2.0, 0.35
CUT_RAD, CUT_M, CUT_HIGH_M = 0.6, 2.0, 2.2  # the pilot's own rule, in a room
RATES_HZ = (50, 80, 100, 200)  # divisors of 400
AXES = ("roll", "pitch", "yaw")


@dataclass
class Log:
    """What the logger keeps: rows a second, angles as worked out aboard, or true with position."""

    rate_hz: int = 100
    aboard: bool = False
    position: bool = True


class Flight:
    def __init__(self, craft: Craft, hover: float, rng: np.random.Generator) -> None:
        self.craft, self.rng = craft, rng
        self.physics = Physics(craft, rng)
        self.attitude = Attitude()
        told = [1 if place in ("front_right", "rear_left") else -1 for place in PLACES]
        self.controller = Controller(craft.settings, craft.body.rotors_m, told)
        self.pilot = Pilot(np.radians(20.0), np.radians(90.0), hover, rng)
        self.sticks = np.zeros(4)
        self.out = self.driven = np.zeros(4)
        self.gyro, self.force, self.field = np.zeros(3), np.zeros(3), np.zeros(3)
        self.armed = False
        self.rows: list[np.ndarray] = []

    def settle(self) -> None:
        """Let it sink into its legs; the attitude starts level, its heading that of the compass."""
        for _ in range(round(SETTLE_S / STEP_S)):
            self.physics.step(self.driven)
        self.sense()
        heading = np.arctan2(-self.field[1], self.field[0])
        self.attitude.q = np.array([np.cos(0.5 * heading), 0.0, 0.0, np.sin(0.5 * heading)])

    def sense(self) -> None:
        """Read the sensors, as the board is mounted."""
        s, p, normal = self.craft.sensors, self.physics, self.rng.normal
        c, k = np.cos(s.board_turn_rad), np.sin(s.board_turn_rad)
        board = np.array([[c, k, 0.0], [-k, c, 0.0], [0.0, 0.0, 1.0]])
        self.gyro = board @ p.rates + s.gyro_bias + s.gyro_noise * normal(size=3)
        self.force = board @ p.force() + s.accel_bias + s.accel_noise * normal(size=3)
        c, k = np.cos(s.compass_turn_rad), np.sin(s.compass_turn_rad)
        compass = np.array([[c, k, 0.0], [-k, c, 0.0], [0.0, 0.0, 1.0]])
        drawn = p.amps - self.craft.pack.electronics_a
        earth = p.matrix.T @ self.craft.earth_ut
        self.field = compass @ (earth + s.iron_ut + s.per_amp_ut * drawn) + s.mag_noise * normal(size=3)  # fmt: skip

    def received(self) -> np.ndarray:
        """Return the sticks as the controller gets them, roll, pitch, yaw, throttle."""
        r = self.craft.radio
        moved = self.sticks[r.order]
        about = np.where(np.array(r.sense) > 0, moved, -moved)
        return np.clip(np.array(r.share) * about + np.array(r.offset), -1.0, 1.0)

    def run(self, seconds: float, log: Log, flying: bool = False, nudges: bool = False) -> bool:
        """Let time pass; return False if the pilot cut it."""
        every, looks = round(1.0 / STEP_S / log.rate_hz), round(LOOK_S / STEP_S)
        for n in range(round(seconds / STEP_S)):
            if flying and n % looks == 0:
                self._look(n * STEP_S, nudges)
                if self._out_of_hand():
                    return False
            if n % round(PERIOD_S / STEP_S) == 0:
                self.sense()
                self.attitude.update(self.gyro, self.force, self.field)
                self.out, self.driven = self.controller.outputs(self.received(), self.attitude.q, self.gyro, self.armed)  # fmt: skip
            if n % every == 0:
                self._row(log)
            self.physics.step(self.driven)
        return True

    def _out_of_hand(self) -> bool:
        roll, pitch, _ = angles(self.physics.quaternion)
        north, east, down = self.physics.position
        away = np.hypot(north, east) > CUT_M or -down > CUT_HIGH_M
        return bool(max(abs(roll), abs(pitch)) > CUT_RAD or away)

    def _look(self, since_s: float, nudges: bool) -> None:
        p = self.physics
        self.sticks = self.pilot.sticks(p.position, p.velocity, angles(p.quaternion)[2], HIGH_M)
        if nudges and since_s > NUDGE_FROM_S:
            n, within = divmod(since_s - NUDGE_FROM_S, NUDGE_EVERY_S)
            way = 1.0 if within < NUDGE_S else -1.0
            if within < 2.0 * NUDGE_S and n < 6:
                axis = int(n) % 3
                self.sticks[axis] = np.clip(self.sticks[axis] + 0.45 * way, -1.0, 1.0)

    def _row(self, log: Log) -> None:
        p, row, normal = self.physics, np.full(len(INDEX), np.nan), self.rng.normal
        put: dict[str, float] = dict(
            zip((f"stick_{a}" for a in (*AXES, "throttle")), self.sticks, strict=True)
        )
        seen = self.attitude.q if log.aboard else p.quaternion
        put |= dict(zip(("roll_rad", "pitch_rad", "heading_rad"), angles(seen), strict=True))
        rates = self.gyro if log.aboard else p.rates + 0.002 * normal(size=3)
        put |= dict(zip((f"{a}_rate_rad_s" for a in AXES), rates, strict=True))
        put |= dict(zip((f"drive_{place}" for place in PLACES), self.out, strict=True))
        put |= dict(zip((f"accel_{a}_m_s2" for a in "xyz"), self.force, strict=True))
        put |= dict(zip((f"field_{a}_ut" for a in "xyz"), self.field, strict=True))
        put |= {"pack_v": p.volts + 0.01 * normal(), "pack_a": p.amps + 0.1 * normal()}
        put["armed"] = float(self.armed)
        if log.position and not log.aboard:
            north, east, down = p.position + 0.002 * normal(size=3)
            put |= {"north_m": north, "east_m": east, "height_m": -down}
        for name, value in put.items():
            row[INDEX[name]] = value
        row[INDEX["time_s"]] = len(self.rows) / log.rate_hz
        self.rows.append(row)


def flown(craft: Craft, name: str, hover: float, manoeuvre: str, log: Log, rng: np.random.Generator) -> Recording:  # fmt: skip
    """Return the recording of one hop."""
    flight = Flight(craft, hover, rng)
    flight.settle()
    flight.run(STANDING_S, log)
    flight.armed = True
    flight.run(IDLING_S, log)
    if flight.run(LONG_S[manoeuvre], log, flying=True, nudges=manoeuvre == "nudges"):
        flight.sticks[3] *= 0.85  # and down
        flight.run(1.2, log)
    flight.armed, flight.sticks = False, np.zeros(4)
    flight.run(AFTER_S, log)
    rows = np.round(np.array(flight.rows), 6)
    return Recording(rows, "aboard" if log.aboard else "outside", name, Stretch(np.arange(len(rows)), 0, 0, 0, 0, 0.0))  # fmt: skip
