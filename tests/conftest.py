"""A sound aircraft of ours in the shipped garage, and short ways to run it."""

import subprocess
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import settings

from sim.aircraft import library
from sim.aircraft.assemble import assemble
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.bench.check import Check, brought
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.faults.fault import Truth
from sim.kernel import records
from sim.kernel.cache import is_warm
from sim.kernel.clock import TICK_S
from sim.kernel.frames import UPRIGHT, ZERO
from sim.kernel.history import HISTORY
from sim.kernel.linear import hover_trim
from sim.kernel.radio import Sticks
from sim.kernel.run import run
from sim.kernel.start import initial_state
from sim.kernel.tables import Tables
from sim.kernel.vehicle import Craft, State
from tests.worlds import ready_on_pad

# the first call of a kernel function compiles it, so a time limit per example would be by chance
settings.register_profile("kernel", deadline=None, derandomize=True)
settings.load_profile("kernel")


@pytest.hookimpl(tryfirst=True)
def pytest_sessionstart(session: pytest.Session) -> None:
    """Compile the flight model once, before several processes would each do it."""
    if getattr(session.config.option, "numprocesses", None) and not is_warm():
        subprocess.run([sys.executable, "-m", "sim.commands.compiling"], check=True)


class Flight:
    """One craft and its state, run with any parameters, sound or not."""

    def __init__(self, craft: Craft, tables: Tables, state: State) -> None:
        self.tables = tables
        self.crafts = records.to_row(Craft, craft)
        self.states = records.to_row(State, state)

    def change(self, craft: Craft) -> None:
        self.crafts = records.to_row(Craft, craft)

    def value(self, path: str) -> Any:
        return self.states[path.replace(".", records.SEPARATOR)][0]

    def vector(self, path: str, axes: str = "xyz") -> np.ndarray:
        return np.array([self.value(f"{path}.{axis}") for axis in axes])

    def put(self, path: str, value: float) -> None:
        self.states[path.replace(".", records.SEPARATOR)][0] = value

    def run(self, seconds: float, sticks: Sticks = HANDS_OFF, every: int = 1) -> History:
        ticks = round(seconds / TICK_S)
        history = np.empty((ticks // every + 1, len(HISTORY)))
        rows = run(self.states, self.crafts, self.tables, sticks, ticks, history, every)
        return History(history[:rows])


@pytest.fixture(scope="session")
def world() -> World:
    """A sound aircraft on the pad, propellers on, powered."""
    return ready_on_pad()


@pytest.fixture(scope="session")
def tables(world) -> Tables:
    return library.tables(world.airframe.propeller.table)


@pytest.fixture(scope="session")
def craft(world) -> Craft:
    return assemble(world, UPRIGHT)


@pytest.fixture(scope="session")
def quiet(craft) -> Craft:
    """The same far from every wall, in still air, without noise, tremor or unbalance."""
    return craft._replace(
        room=craft.room._replace(north_m=1e3, south_m=-1e3, east_m=1e3, west_m=-1e3, ceiling_m=1e3),
        rotors=tuple(place._replace(unbalance_kg_m=0.0) for place in craft.rotors),
        air=craft.air._replace(gust_m_s=0.0, wash=0.0),
        radio=craft.radio._replace(jitter_us=0.0),
        sensors=craft.sensors._replace(
            gyro_noise_rad_s=0.0,
            gyro_walk_rad_s2=0.0,
            accel_noise_m_s2=0.0,
            mag_noise_ut=0.0,
            baro_noise_m=0.0,
            volt_noise_v=0.0,
        ),
        field=craft.field._replace(
            steel=tuple(s._replace(moment_ut_m3=ZERO) for s in craft.field.steel)
        ),
    )


@pytest.fixture(scope="session")
def flight(tables) -> Callable[..., Flight]:
    """Return a flight that begins at rest: flight(craft, attitude, seed)."""

    def made(craft: Craft, attitude=UPRIGHT, seed: int = 7, charge: float = 0.97) -> Flight:
        return Flight(craft, tables, initial_state(craft, attitude, charge, seed))

    return made


@pytest.fixture(scope="session")
def hovering(flight, tables) -> Callable[..., tuple[Flight, Sticks]]:
    """Return a flight already in hover, and the sticks that keep it there."""

    def made(craft: Craft, height_m: float = 100.0, seed: int = 7) -> tuple[Flight, Sticks]:
        start = flight(craft, seed=seed, charge=0.9)
        state = initial_state(craft, UPRIGHT, 0.9, seed)
        trim = hover_trim(craft, tables, state.pack)
        start.put("armed", 1.0)
        start.put("powered_ticks", 5000.0)
        start.put("body.position_m.z", -height_m)
        start.put("radio.linked", 1.0)
        start.put("radio.last_frame_tick", 1.0)
        for name in ("radio.on_way_us.2", "radio.pulse_us.2"):
            start.put(name, 1000.0 + 1000.0 * trim.command)
        for i in range(4):
            start.put(f"rotors.{i}.motor.speed_rad_s", trim.speed_rad_s)
            start.put(f"rotors.{i}.thrust_n", trim.thrust_n)
            for k in range(8):
                start.put(f"line.{k}.{i}", trim.command)
        return start, HANDS_OFF._replace(throttle=trim.command)

    return made


@pytest.fixture(scope="session")
def placed(world) -> Callable[..., World]:
    """Return a world with its conduct changed: placed(hold="hands", ...) or placed(world, ...)."""

    def made(base: World = world, **conduct: Any) -> World:
        changed = Conduct.model_validate(base.conduct.model_dump() | conduct)
        return base.model_copy(update={"conduct": changed})

    return made


@pytest.fixture(scope="session")
def ready() -> Callable[..., Rig]:
    """Return a rig brought to where a check can be done, its controller started."""

    def made(base: World, check: Check, seed: int = 3) -> Rig:
        rig = brought(base, check, seed)
        assert not check.missing(rig.world.conduct)
        return rig

    return made


@pytest.fixture(scope="session")
def truth(placed) -> Callable[..., Truth]:
    """Return what presence is computed from, for a world as it would fly a hop of 75 s."""

    def made(base: World) -> Truth:
        rig = Rig(placed(base, props_fitted=True), 1)
        return Truth(rig.world, rig.craft, rig.tables, rig.cells(), 75.0)

    return made
