"""What is compared: numbers worked out of a recording and, in the same way, of what the model answers.

plant: changes of rate (`turning`), specific force (`force`), motor speeds where they were kept.
controller: commands of roll, pitch, yaw and throttle (`command`), mean rate error (`error`).
instruments: volts, amps, compass (`field`), shake, and what is shown at rest (`still`, `lean`).
"""

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter1d

from sim.aircraft.airframe import Airframe
from sim.aircraft.avionics import mixing
from sim.aircraft.fields import PLACES
from sim.kernel.clock import TICK_S
from sim.kernel.forced import ANSWER
from sim.reproduce.recorded.flight import Flags, Flight, downwards
from sim.reproduce.recorded.jitter import jitter, swaying
from sim.reproduce.recorded.mounts import logged_turning
from sim.reproduce.recorded.passes import Vehicle
from sim.reproduce.recorded.tipping import turning
from sim.reproduce.recording import Values

TURN_S, FORCE_S, COMMAND_S = 0.05, 0.10, 0.05  # s; recipe: lengths of blocks
PUSH_S = 0.25  # s; own: as long as a hand moves a stick, so when in it hardly matters
SLOW_S, SECOND_S = 0.5, 1.0  # s; recipe: the same of instruments and of rate errors
MEAN_S = 1.0  # s; recipe: mean taken off commands, as integrals are not followed
GUST_S = 0.25  # s; own: how long a gust in a room lasts, an eddy carried past (`sim.kernel.wash`)
SHAKE_MEAN_S, SHAKE_HZ = 0.1, 50.0  # s, Hz; recipe: what is above 10 Hz, in logs quick enough
BEATS_S = (
    4.0  # s; own: rotors that turn nearly alike beat; when, is chance, how much over seconds is not
)
CALMEST = 0.25  # of the power of its own noise; own: no command is calmer than half of that
LEAST_COMMAND = 1e-6  # share; own: less is a log without decimals, whose logarithm has no end
MOST_OFF_RAD = 0.3  # rad; own: a board turned by more shows other angles, not the same ones off
LEAST_RATIO = 0.6  # of the rows a block should have; own: less is a gap
AT = {name: i for i, name in enumerate(ANSWER)}
BODY = ("x", "y", "z")
AXES = ("roll", "pitch", "yaw")


class Feature(NamedTuple):
    """One kind of number: its name (as in the table of noise), which axis, when, s."""

    name: str
    axis: int
    times_s: Values


class Blocks:
    """Rows put together in blocks of even length; only blocks all of whose rows are asked for."""

    def __init__(self, flight: Flight, mask: Flags, seconds: float, before: bool = False) -> None:
        t = flight.times_s
        seconds = max(seconds, flight.step_s)
        rows = max(1, round(seconds / flight.step_s))
        number = np.floor((t - t[0]) / (rows * flight.step_s) + 1e-6).astype(np.int64)
        good = mask.copy()
        if before:
            good[1:] &= mask[:-1]
            good[0] = False
        count = np.bincount(number)
        whole = np.bincount(number, good) == count
        whole &= count >= LEAST_RATIO * rows
        self.chosen = whole[number]
        kept = number[self.chosen]
        self.names, self.which = np.unique(kept, return_inverse=True)
        self.count = np.bincount(self.which, minlength=len(self.names)).astype(np.float64)
        self.times = self.mean(t) if len(self.names) else np.zeros(0)

    def sum(self, x: Values) -> Values:
        """Return the sum of a column in each block."""
        return np.asarray(
            np.bincount(self.which, x[self.chosen], minlength=len(self.names)), np.float64
        )

    def fresh(self, x: Values, memory_s: float) -> Values:
        """Return what each block's number has beyond what the one before lets expect of it.

        memory_s : how long what disturbs the aircraft lasts. Loops answer what disturbed them a
        moment ago; only what is new is independent of what the drives do.
        """
        if len(self.times) < 2:
            return x
        follows = np.diff(self.names, prepend=-9) == 1
        step = float(np.min(np.diff(self.times)))
        before = np.concatenate([[0.0], x[:-1]])
        return np.asarray(x - np.where(follows, np.exp(-step / memory_s), 0.0) * before)

    def mean(self, x: Values) -> Values:
        """Return the mean of a column in each block."""
        return self.sum(x) / self.count

    def deviation(self, x: Values) -> Values:
        """Return the standard deviation of a column in each block."""
        mean = self.mean(x)
        return np.sqrt(np.maximum(self.mean(x * x) - mean * mean, 0.0))


def unmixer(airframe: Airframe) -> Values:
    """Return the (4, 4) matrix that turns four drives into throttle, roll, pitch and yaw."""
    return np.linalg.inv(np.column_stack([np.ones(4), np.array(mixing(airframe))]))


Maker = Callable[[Values, Vehicle], list[Values]]
Made = Iterator[tuple[list[Feature], list[Values], Maker]]


class Features:
    """Works the same numbers out of a recording (`recorded`) and of answers (`predicted`)."""

    def __init__(self, flight: Flight, airframe: Airframe) -> None:
        self.flight, self.unmix = flight, unmixer(airframe)
        self.steps = (
            np.diff(flight.ends, prepend=flight.ends[0] - round(flight.step_s / TICK_S)) * TICK_S
        )
        self.list: list[Feature] = []
        recorded: list[Values] = []
        self._makers: list[Maker] = []
        for build in (self._turning, self._tipping, self._force, self._speed, self._command,
                      self._busy, self._throttle, self._error, self._pack, self._field, self._shake,
                      self._rest):  # fmt: skip
            for features, values, maker in build():
                self.list += features
                recorded += values
                self._makers.append(maker)
        self.recorded = np.concatenate(recorded) if recorded else np.zeros(0)
        sizes = [len(f.times_s) for f in self.list]
        self.which: NDArray[np.int64] = np.repeat(np.arange(len(sizes)), sizes)
        self.times_s = np.concatenate([f.times_s for f in self.list]) if sizes else np.zeros(0)

    def predicted(self, answers: Values, vehicle: Vehicle) -> Values:
        """Return the same numbers of what a vehicle answered, (rows, ANSWER)."""
        return np.concatenate([x for make in self._makers for x in make(answers, vehicle)])

    def _column(self, name: str) -> Values | None:
        x = self.flight.recording[name]
        if not np.isfinite(x).all():
            there = np.isfinite(x)
            if there.mean() < LEAST_RATIO:
                return None
            at = np.arange(len(x))
            x = np.interp(at, at[there], x[there])
        return x

    def _three(self, names: list[str]) -> list[Values] | None:
        found = [self._column(name) for name in names]
        return None if any(x is None for x in found) else [x for x in found if x is not None]

    def _turning(self) -> Made:
        blocks = Blocks(
            self.flight, self.flight.air, max(TURN_S, 2.0 * self.flight.step_s), before=True
        )
        rates = self._three([f"{axis}_rate_rad_s" for axis in AXES])
        if rates is None or not len(blocks.names):
            return
        made = [blocks.fresh(blocks.sum(np.diff(x, prepend=x[0])), GUST_S) for x in rates]

        def make(answers: Values, vehicle: Vehicle) -> list[Values]:
            turning = answers[:, :3]
            if self.flight.aboard:
                turning = turning @ vehicle.mounting.T
                turning = logged_turning(turning, vehicle.mount, self.flight.step_s)
            return [blocks.fresh(blocks.sum(turning[:, i] * self.steps), GUST_S) for i in range(3)]

        yield [Feature("turning", i, blocks.times) for i in range(3)], made, make

    def _tipping(self) -> Made:
        flight = self.flight
        blocks = Blocks(flight, flight.tip, max(TURN_S, 2.0 * flight.step_s), before=True)
        rates = self._three([f"{axis}_rate_rad_s" for axis in AXES])
        if rates is None or not len(blocks.names):
            return
        tip = flight.tip
        made = [blocks.sum(np.diff(x, prepend=x[0])) for x in rates]
        spin = np.column_stack(rates)

        def make(answers: Values, vehicle: Vehicle) -> list[Values]:
            change = np.zeros((len(tip), 3))
            down = downwards(flight.angles[tip, :2] + self._shown_off(vehicle))
            change[tip] = turning(answers[tip, :3], answers[tip, 3:6], down, spin[tip], vehicle)
            return [blocks.sum(change[:, i] * self.steps) for i in range(3)]

        yield [Feature("tipping", i, blocks.times) for i in range(3)], made, make

    def _shown_off(self, vehicle: Vehicle) -> Values:
        """Return what to add to (roll, pitch) shown, rad: aboard, so that at rest it stands on its legs."""
        rest = self.flight.rest
        if not self.flight.aboard or not rest.any():
            return np.zeros(2)
        off = np.array(vehicle.lean) - self.flight.angles[rest, :2].mean(axis=0)
        return off if np.abs(off).max() < MOST_OFF_RAD else np.zeros(2)

    def _force(self) -> Made:
        accel = self._three([f"accel_{axis}_m_s2" for axis in BODY])
        blocks = Blocks(self.flight, self.flight.air | self.flight.rest, FORCE_S)
        if accel is None or not len(blocks.names):
            return

        def make(answers: Values, _: Vehicle) -> list[Values]:
            return [blocks.fresh(blocks.mean(answers[:, 3 + i]), GUST_S) for i in range(3)]

        yield (
            [Feature("force", i, blocks.times) for i in range(3)],
            [blocks.fresh(blocks.mean(x), GUST_S) for x in accel],
            make,
        )

    def _means(self, name: str, blocks: Blocks, recorded: list[Values], first: int) -> Made:
        """Give a feature of columns compared by their means. first : where they begin in the answers."""

        def make(answers: Values, _: Vehicle) -> list[Values]:
            return [blocks.mean(answers[:, first + i]) for i in range(len(recorded))]

        features = [Feature(name, i, blocks.times) for i in range(len(recorded))]
        yield features, [blocks.mean(x) for x in recorded], make

    def _speed(self) -> Made:
        speeds = self._three([f"speed_{place}_rad_s" for place in PLACES])
        blocks = Blocks(self.flight, self.flight.armed, FORCE_S)
        if speeds is not None and len(blocks.names):
            yield from self._means("speed", blocks, speeds, AT["speed_0_rad_s"])

    def _commands(self, outputs: Values) -> Values:
        """Return throttle, roll, pitch and yaw of four outputs, (rows, 4)."""
        return outputs @ self.unmix.T

    def _quick(self, x: Values) -> Values:
        """Return a column less its mean over a second, within the rows in which motors turn."""
        on = np.flatnonzero(self.flight.armed)
        out = np.zeros(len(x))
        if on.size:
            part = slice(on[0], on[-1] + 1)
            rows = max(3, round(MEAN_S / self.flight.step_s))
            out[part] = x[part] - uniform_filter1d(x[part], rows, mode="nearest")
        return out

    def _command(self) -> Made:
        yield from self._asked("command", COMMAND_S)
        yield from self._asked("push", PUSH_S)

    def _asked(self, name: str, seconds: float) -> Made:
        """Give commands in blocks: short ones show their shape, long ones how much in all, whenever."""
        blocks = Blocks(self.flight, self.flight.armed, seconds)
        drives = self._three([f"drive_{place}" for place in PLACES])
        if drives is None or not len(blocks.names):
            return
        recorded = self._commands(np.column_stack(drives))

        def make(answers: Values, vehicle: Vehicle) -> list[Values]:
            sums = answers[:, AT["integral_roll"] : AT["integral_yaw"] + 1]
            commands = self._commands(answers[:, 9:13] + sums @ vehicle.steer.T)
            return [blocks.mean(self._quick(commands[:, 1 + i])) for i in range(3)]

        made = [blocks.mean(self._quick(recorded[:, 1 + i])) for i in range(3)]
        yield [Feature(name, i, blocks.times) for i in range(3)], made, make

    def _busy(self) -> Made:
        """Give how restless commands are: what the gyro's noise and unbalanced rotors become by gains and filters."""
        flight = self.flight
        blocks = Blocks(flight, flight.air, SLOW_S)
        drives = self._three([f"drive_{place}" for place in PLACES])
        if drives is None or not len(blocks.names) or flight.step_s * SHAKE_HZ > 1.01:
            return
        rows = max(3, round(SHAKE_MEAN_S / flight.step_s))
        recorded = self._commands(np.column_stack(drives))

        def rough(x: Values) -> Values:
            return blocks.deviation(x - uniform_filter1d(x, rows))

        def make(answers: Values, vehicle: Vehicle) -> list[Values]:
            noise = jitter(vehicle, rows, flight.step_s, flight.aboard)
            moved = self._commands(answers[:, 9:13])
            speeds = answers[:, AT["speed_0_rad_s"] : AT["speed_3_rad_s"] + 1]
            sway = swaying(vehicle, speeds, rows, flight.step_s, flight.aboard)
            beyond = [noise.beyond[i] + blocks.mean(sway[:, i]) for i in range(3)]
            power = [rough(moved[:, 1 + i]) ** 2 + beyond[i] for i in range(3)]
            least = CALMEST * noise.whole
            return [0.5 * np.log(np.maximum(x, y)) for x, y in zip(power, least, strict=True)]

        made = [np.log(np.maximum(rough(recorded[:, 1 + i]), LEAST_COMMAND)) for i in range(3)]
        yield [Feature("busy", i, blocks.times) for i in range(3)], made, make

    def _throttle(self) -> Made:
        blocks = Blocks(self.flight, self.flight.armed, FORCE_S)
        drives = self._three([f"drive_{place}" for place in PLACES])
        if drives is None or not len(blocks.names):
            return
        recorded = self._commands(np.column_stack(drives))[:, 0]

        def make(answers: Values, _: Vehicle) -> list[Values]:
            return [blocks.mean(self._commands(answers[:, 9:13])[:, 0])]

        yield [Feature("throttle", 0, blocks.times)], [blocks.mean(recorded)], make

    def _error(self) -> Made:
        blocks = Blocks(self.flight, self.flight.air, SECOND_S)
        if not len(blocks.names):
            return

        def make(answers: Values, vehicle: Vehicle) -> list[Values]:
            out = []
            for i, gain in enumerate(vehicle.integral_gains):
                x = answers[:, AT["integral_roll"] + i]
                change = blocks.sum(np.diff(x, prepend=x[0])) / (blocks.count * self.flight.step_s)
                out.append(change / gain if gain else np.zeros(len(blocks.names)))
            return out

        zeros = [np.zeros(len(blocks.names)) for _ in range(3)]
        yield [Feature("error", i, blocks.times) for i in range(3)], zeros, make

    def _pack(self) -> Made:
        blocks = Blocks(self.flight, self.flight.armed | self.flight.rest, SLOW_S)
        for name, column, at in (("volt", "pack_v", "shown_v"), ("amp", "pack_a", "shown_a")):
            x = self._column(column)
            if x is None or not len(blocks.names):
                continue

            def make(answers: Values, vehicle: Vehicle, at: str = at) -> list[Values]:
                scale = vehicle.volt_scale if at == "shown_v" else 1.0
                return [blocks.mean(answers[:, AT[at]]) * scale]

            yield [Feature(name, 0, blocks.times)], [blocks.mean(x)], make

    def _field(self) -> Made:
        blocks = Blocks(self.flight, self.flight.armed | self.flight.rest, SLOW_S)
        field = self._three([f"field_{axis}_ut" for axis in BODY])
        steered = np.isfinite(self.flight.recording["heading_rad"]).any()
        if field is None or not steered or not len(blocks.names):
            return  # a heading summed up from rates strays further than a compass does
        yield from self._means("field", blocks, field, AT["field_x_ut"])

    def _shake(self) -> Made:
        accel = self._three([f"accel_{axis}_m_s2" for axis in BODY])
        blocks = Blocks(self.flight, self.flight.air, SLOW_S)
        if accel is None or not len(blocks.names) or self.flight.step_s * SHAKE_HZ > 1.01:
            return
        rows = max(3, round(SHAKE_MEAN_S / self.flight.step_s))
        beats = round(BEATS_S / SLOW_S)

        def rough(x: Values) -> Values:
            return blocks.deviation(x - uniform_filter1d(x, rows))

        def make(answers: Values, vehicle: Vehicle) -> list[Values]:
            noise = vehicle.accel_noise_m_s2
            power = (
                uniform_filter1d(rough(answers[:, 6 + i]) ** 2, beats, mode="nearest")
                for i in range(2)
            )
            return [0.5 * np.log(x + noise**2) for x in power]

        made = [np.log(np.maximum(rough(x), 1e-3)) for x in accel[:2]]
        yield [Feature("shake", i, blocks.times) for i in range(2)], made, make

    def _rest(self) -> Made:
        rest = self.flight.rest
        if rest.sum() * self.flight.step_s < 0.3:
            return
        at = np.array([self.flight.times_s[rest].mean()])
        angles = self.flight.angles[rest, :2].mean(axis=0)

        def lean(answers: Values, vehicle: Vehicle) -> list[Values]:
            if not self.flight.aboard:
                return [np.array([x]) for x in vehicle.lean]
            accel = answers[rest][:, 3:6].mean(axis=0) @ vehicle.mounting
            shown = np.array(
                [
                    np.arctan2(-accel[1], -accel[2]),
                    np.arctan2(accel[0], np.hypot(accel[1], accel[2])),
                ]
            )
            pose = vehicle.lean + shown - angles - np.array(vehicle.trim)
            return [np.array([x]) for x in pose]

        yield [Feature("lean", i, at) for i in range(2)], [np.array([x]) for x in angles], lean
        rates = self._three([f"{axis}_rate_rad_s" for axis in AXES])
        if rates is None:
            return

        def still(answers: Values, _: Vehicle) -> list[Values]:
            if not self.flight.aboard:
                return [np.zeros(1)] * 3
            return [np.array([answers[rest, AT["gyro_x_rad_s"] + i].mean()]) for i in range(3)]

        made = [np.array([x[rest].mean()]) for x in rates]
        yield [Feature("still", i, at) for i in range(3)], made, still
