"""The simulated aircraft as something a person can handle: put down, turn, power, record.

A rig owns the truth of one aircraft: the world it is in, the flight model's parameters made from
it, and the state. Everything above (checks, session, stand-ins) moves it through these few calls.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.aircraft import library
from sim.aircraft.assemble import assemble
from sim.aircraft.fields import PLACES, Place
from sim.aircraft.powertrain import pack_at_rest
from sim.aircraft.world import World
from sim.bench.driven_outputs import WIGGLES, driving_only
from sim.bench.inputs import Inputs
from sim.bench.transmitter import transmitted
from sim.kernel import linear, pack, records
from sim.kernel.body import BodyState
from sim.kernel.clock import TICK_S, ticks
from sim.kernel.frames import UPRIGHT, ZERO, Quat, Vec3, from_angles, scale, turned_by
from sim.kernel.history import HISTORY
from sim.kernel.radio import Sticks
from sim.kernel.run import run
from sim.kernel.start import anchored_feet, body_at, initial_state
from sim.kernel.vehicle import Craft, State
from sim.units import RAD_PER_DEG

COLUMN = {name: i for i, name in enumerate(HISTORY)}
POSITION = {
    name.replace(records.SEPARATOR, "."): i for i, (name, _) in enumerate(records.fields(State))
}
ROW_TICKS = ticks(0.01)  # own: a recording holds 100 rows a second unless asked for more
TAPE_ROW_TICKS = ticks(0.002)  # own: while a check is done by hand a row comes this often
STILL_ROW_TICKS = ticks(0.1)  # own: between rows while it is left alone
STILL_LOOK_TICKS = ticks(1.0)  # own: left alone, it is looked at this often
WHOLE = tuple(i for i, (_, kind) in enumerate(records.fields(State)) if kind is not np.float64)
HANDS_OFF = Sticks(0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0)
SETTLED_RAD = 2.0 * RAD_PER_DEG  # rad; own: near enough to a pose asked for
TURN_TIMEOUT_S = 6.0  # s; own: longer than any turn takes


@dataclass(frozen=True)
class History:
    """A recording: one row per sample, columns named in `sim.kernel.history.HISTORY`."""

    rows: NDArray[np.float64]

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        """Return one column."""
        return self.rows[:, COLUMN[name]]

    def __len__(self) -> int:
        return len(self.rows)

    def each(self, ms: int) -> "History":
        """Return the rows at whole multiples of so many milliseconds."""
        return History(self.rows[np.round(self["time_s"] * 1000.0).astype(int) % ms == 0])

    def last(self, seconds: float) -> "History":
        """Return the part recorded in the last `seconds`."""
        return History(self.rows[self["time_s"] > self["time_s"][-1] - seconds])


Tape = Callable[[Inputs, History, bool], None]
"""Takes what the hands did, what came of it, and whether it was armed before."""


class Rig:
    """One aircraft in its world. `seed` fixes all chance in it."""

    def __init__(self, world: World, seed: int) -> None:
        self.world = world
        self.tables = library.tables(world.airframe.propeller.table)
        self.target: Quat = UPRIGHT
        self._craft = assemble(world, self.target)
        self._crafts = records.to_row(Craft, self._craft)
        self.cabled = False  # whether the set-up cable is in
        self.listener: Callable[[History], None] | None = None
        self.tape: Tape | None = None
        self.testing = False  # whether the motor test drives the outputs at this moment
        self.looks = 0  # how often somebody has looked at it
        self.transmitter_s = 0.0  # how long the transmitter has been on with the pack it has
        self.watch_ticks = 0  # how often the listener looks up; 0: after each stretch of time
        start = initial_state(self._craft, self.target, world.build.pack.charge, seed)
        self._hold(records.to_row(State, start))
        self.swap_pack()

    def _hold(self, states: NDArray[np.void]) -> None:
        """Take the state as one row; its numbers are read by position, which is quickest."""
        self._states = states
        self._numbers, self._wholes = states.view(np.float64), states.view(np.int64)

    def __setstate__(self, kept: dict[str, Any]) -> None:
        """Take what a deep copy was made of; the numbers must look at the copy's own state."""
        self.__dict__.update(kept)
        self._hold(self._states)

    @property
    def craft(self) -> Craft:
        """The flight model's parameters now."""
        return self._craft

    @property
    def tick(self) -> int:
        """The clock, in ticks."""
        return int(self._wholes[POSITION["tick"]])

    @property
    def time_s(self) -> float:
        """The clock in seconds."""
        return self.tick * TICK_S

    def value(self, path: str) -> float:
        """Return one number of the state by its path, such as `body.position_m.z`."""
        i = POSITION[path]
        return float(self._states[0][i] if i in WHOLE else self._numbers[i])

    @property
    def shown_pack_v(self) -> float:
        """The pack's voltage as the controller shows it, by its own scale."""
        return self.value("sensors.volt_v") * self.world.setup.controller.volt_scale

    def row(self) -> list[float]:
        """Return every number of the state at once; `POSITION` tells which is which."""
        values: list[float] = self._numbers.tolist()
        for i in WHOLE:
            values[i] = self._states[0][i].item()
        return values

    def put(self, path: str, value: float) -> None:
        """Set one number of the state by its path."""
        self._states[path.replace(".", records.SEPARATOR)][0] = value

    def fingerprint(self) -> bytes:
        """Return every bit of the state."""
        return self._states.tobytes()

    def cells(self) -> pack.PackState:
        """Return charge and inner voltages of the pack now."""
        names = pack.PackState._fields
        return pack.PackState(*(self.value(f"pack.{name}") for name in names))

    def change(self, world: World) -> None:
        """Take a changed world; the state goes on, as it does for a real aircraft."""
        self.world = world
        self._craft = assemble(world, self.target, self.cabled)
        self._crafts = records.to_row(Craft, self._craft)

    def tie(self, cabled: bool) -> None:
        """Tie the aircraft to the bench by the set-up cable, or untie it."""
        self.cabled = cabled
        self.change(self.world)

    def swap_pack(self) -> None:
        """Take up the pack of the build, rested."""
        fresh = pack_at_rest(self.world.build.pack)
        for name, value in zip(fresh._fields, fresh, strict=True):
            self.put(f"pack.{name}", value)

    def swap_transmitter_pack(self) -> None:
        """Put the build's pack into the transmitter, not yet drawn from."""
        self.transmitter_s = 0.0

    def swap_propeller(self, place: Place) -> None:
        """Put on a whole propeller."""
        self.put(f"rotors.{PLACES.index(place)}.broken", 0.0)

    def strap_pack(self) -> None:
        """Put the pack back to where it belongs."""
        self.put("shifted", 0.0)

    def swap_motor(self, place: Place) -> None:
        """Put in another motor and drive, as warm as the air."""
        i = PLACES.index(place)
        self.put(f"rotors.{i}.motor.temperature_k", self._craft.air.temperature_k)

    def place(self, attitude: Quat = UPRIGHT) -> None:
        """Set the aircraft down at rest where its conduct says, in this attitude."""
        self.target = attitude
        self.change(self.world)
        body = body_at(self._craft, attitude)
        for name, value in zip(
            [f for f, _ in records.fields(BodyState)], records.flatten(body), strict=True
        ):
            self.put(f"body.{name}", value)
        for name, value in zip("wxyz", attitude, strict=True):
            self.put(f"hold.attitude.{name}", value)
        for name in ("hold.rate_rad_s", "hold.tremor_rad"):
            for axis in "xyz":
                self.put(f"{name}.{axis}", 0.0)
        feet = anchored_feet(self._craft, body)
        for i, foot in enumerate(feet):
            self.put(f"feet.{i}.north_m", foot.north_m)
            self.put(f"feet.{i}.east_m", foot.east_m)

    def advance(self, inputs: Inputs, seconds: float) -> History:
        """Let time pass with the hands as they are: at the sticks, the aircraft, the motor test."""
        if inputs.turning is not None:
            self._lead(inputs.turning.rate_rad_s(self._craft.hold.turn_limit_rad_s))
        if inputs.motor is not None:
            outputs, command = inputs.motor.outputs, inputs.motor.command
            wiggle = WIGGLES if len(outputs) == 1 else 1.0
            seen = self.drive_only(outputs, command, seconds, wiggle=wiggle, hands=inputs)
        else:
            seen = self.run(inputs.sticks, seconds, hands=inputs)
        if inputs.turning is not None:
            self._keep_pose()
        return seen

    def _lead(self, rate_rad_s: Vec3) -> None:
        """Let the hands turn the aircraft at a rate, until they are given a pose to go to."""
        hold = self._craft.hold._replace(led=1.0, lead_rad_s=rate_rad_s)
        self._craft = self._craft._replace(hold=hold)
        self._crafts["hold__led"][0] = 1.0
        for axis, value in zip("xyz", rate_rad_s, strict=True):
            self._crafts[f"hold__lead_rad_s__{axis}"][0] = value

    def _keep_pose(self) -> None:
        """Let the hands come to rest from the turn they are in; that is the pose they keep."""
        now = Quat(*(self.value(f"hold.attitude.{axis}") for axis in "wxyz"))
        rate = Vec3(*(self.value(f"hold.rate_rad_s.{axis}") for axis in "xyz"))
        self.target = turned_by(now, scale(rate, self._craft.hold.smoothing_s))
        self._lead(ZERO)

    def run(
        self,
        sticks: Sticks,
        seconds: float,
        every: int = ROW_TICKS,
        watch_ticks: int | None = None,
        hands: Inputs | None = None,
    ) -> History:
        """Let time pass with the sticks held; return a recording with a row each `every` ticks.

        watch_ticks : how often the listener looks up meanwhile, if not as always; hands : what they
        do besides, for the tape.
        """
        ticks, hands = round(seconds / TICK_S), hands or Inputs(sticks)
        sticks = transmitted(sticks, self.world, self.transmitter_s)
        self._drain_transmitter(seconds)
        piece = (self.watch_ticks if watch_ticks is None else watch_ticks) or ticks
        parts = [
            self._run_piece(hands, sticks, min(piece, ticks - done), every)
            for done in range(0, ticks, piece)
        ]
        return parts[0] if len(parts) == 1 else History(np.vstack([p.rows for p in parts]))

    def _drain_transmitter(self, seconds: float) -> None:
        if self.world.conduct.transmitter_on:
            self.transmitter_s += seconds

    def wait(self, seconds: float) -> History:
        """Leave the aircraft alone, disarmed: every tick is flown, but looked at now and then."""
        return self.run(HANDS_OFF, seconds, STILL_ROW_TICKS, STILL_LOOK_TICKS)

    def _run_piece(self, hands: Inputs, sticks: Sticks, ticks: int, every: int) -> History:
        return self._flown(hands, self._crafts, sticks, ticks, every)

    def _flown(
        self, hands: Inputs, crafts: NDArray[np.void], sticks: Sticks, ticks: int, every: int
    ) -> History:
        """Fly so many ticks; record, tape and pass on what is seen."""
        armed = self.value("armed") > 0.0
        every = every if self.tape is None else min(every, TAPE_ROW_TICKS)
        rows = np.empty((ticks // every + 1, len(HISTORY)))
        written = run(self._states, crafts, self.tables, sticks, ticks, rows, every)
        return self._seen(hands, rows[:written], armed)

    def drive_only(
        self,
        outputs: Iterable[Place],
        command: float,
        seconds: float,
        every: int = ROW_TICKS,
        wiggle: float = 1.0,
        hands: Inputs | None = None,
    ) -> History:
        """Give some controller outputs a command (0..1) by its motor test; the others stay mute.

        wiggle : how many times more often a bad joint opens because its leads are moved; hands :
        what they do, for the tape.
        """
        ticks = round(seconds / TICK_S)
        crafts = records.to_row(Craft, driving_only(self._craft, outputs, wiggle))
        sticks = HANDS_OFF._replace(throttle=command)
        self._drain_transmitter(seconds)
        self.put("armed", 1.0)
        self.testing = True
        seen = self._flown(hands or Inputs(HANDS_OFF), crafts, sticks, ticks, every)
        self.testing = False
        self.put("armed", 0.0)
        return seen

    def _seen(self, hands: Inputs, history: NDArray[np.float64], armed: bool) -> History:
        """Return a recording as the controller shows it, its level trim taken off; pass it on."""
        trim = self.world.setup
        history[:, COLUMN["shown_roll_rad"]] -= trim.level_trim_roll_deg * RAD_PER_DEG
        history[:, COLUMN["shown_pitch_rad"]] -= trim.level_trim_pitch_deg * RAD_PER_DEG
        history[:, COLUMN["shown_pack_v"]] *= trim.controller.volt_scale
        seen = History(history)
        if self.tape is not None:
            self.tape(hands, seen, armed)
        if self.listener is not None:
            self.listener(seen)
        return seen

    def turn(self, roll_deg: float, pitch_deg: float, heading_deg: float) -> History:
        """Turn the aircraft in the hands to a pose, the short way, and hold it; return the way."""
        angles = (a * RAD_PER_DEG for a in (roll_deg, pitch_deg, heading_deg))
        self.target = from_angles(*angles)
        self.change(self.world)
        parts = []
        waited = 0.0
        while waited < TURN_TIMEOUT_S:
            parts.append(self.run(HANDS_OFF, 0.25).rows)
            waited += 0.25
            if self._away_rad() < SETTLED_RAD:
                break
        parts.append(self.run(HANDS_OFF, 0.5).rows)
        return History(np.vstack(parts))

    def taut(self) -> bool:
        """Tell whether the cable keeps the hands from turning it on to where they want it."""
        return self.cabled and self._away_rad() > SETTLED_RAD

    def _away_rad(self) -> float:
        held = [self.value(f"hold.attitude.{axis}") for axis in "wxyz"]
        cosine = abs(sum(a * b for a, b in zip(held, self.target, strict=True)))
        return 2.0 * float(np.arccos(min(1.0, cosine)))

    def trim(self) -> linear.Trim:
        """Return the hover this aircraft would have on its pack as it is now."""
        return linear.hover_trim(self._craft, self.tables, self.cells())

    def copy(self) -> "Rig":
        """Return an independent twin, down to the state of its random numbers."""
        twin = object.__new__(Rig)
        twin.world, twin.tables, twin.target = self.world, self.tables, self.target
        twin._craft, twin.listener, twin.watch_ticks = self._craft, None, 0
        twin.cabled, twin.tape, twin.testing = self.cabled, None, False
        twin.transmitter_s, twin.looks = self.transmitter_s, self.looks
        twin._crafts = self._crafts.copy()
        twin._hold(self._states.copy())
        return twin


def degrees(angle_rad: float) -> float:
    """Return an angle in degrees, -180..180."""
    return float((angle_rad * 180.0 / pi + 180.0) % 360.0 - 180.0)
