"""Speed of the flight model, in ratios within one run. Run with `--benchmark-enable`."""

import os
import time
from concurrent.futures import ThreadPoolExecutor

import mujoco
import numpy as np
import pytest

from sim.bench.rig import HANDS_OFF, Rig
from sim.kernel.radio import Sticks
from sim.kernel.run import NO_HISTORY, run
from sim.session.scenario import load

pytestmark = pytest.mark.bench

TICKS = 4000
ROUNDS = 15
HOVER = Sticks(
    0.0, 0.0, 0.5, 0.0, 1.0, 1.0, 0.0
)  # share; the trainer hovers at 0.487: it is off its legs
BARE_BODY = """
<mujoco><option integrator="RK4" timestep="0.001"/><worldbody>
<geom type="plane" size="5 5 0.1"/>
<body pos="0 0 0.05"><freejoint/><geom type="box" size="0.12 0.12 0.05" mass="1.5"/></body>
</worldbody></mujoco>
"""  # a box of the trainer's mass on a floor, nothing else


@pytest.fixture(scope="module")
def flying() -> Rig:
    """Return a rig hovering with everything switched on."""
    world = load("quiet-morning").world(np.random.default_rng(1))
    conduct = world.conduct.model_copy(
        update={
            "props_fitted": True,
            "pack_plugged": True,
            "transmitter_on": True,
            "place": "pad",
            "hold": "standing",
        }
    )
    rig = Rig(world.model_copy(update={"conduct": conduct}), 1)
    rig.run(HANDS_OFF, 3.0)
    rig.put("armed", 1.0)
    rig.run(HOVER, 2.0)
    return rig


def best_s(work, rounds: int = ROUNDS) -> float:
    """Return the shortest of several times: the one least disturbed by other work."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def our_step_us(rig: Rig) -> float:
    states, crafts = rig._states.copy(), rig._crafts.copy()
    work = lambda: run(states, crafts, rig.tables, HOVER, TICKS, NO_HISTORY, 1)  # noqa: E731
    return best_s(work) / TICKS * 1e6


def bare_step_us() -> float:
    model = mujoco.MjModel.from_xml_string(BARE_BODY)
    data = mujoco.MjData(model)
    return best_s(lambda: mujoco.mj_step(model, data, nstep=TICKS)) / TICKS * 1e6


def test_step_against_a_general_engine(benchmark, flying):
    ours = benchmark.pedantic(our_step_us, args=(flying,), rounds=1)
    theirs = bare_step_us()
    benchmark.extra_info.update(ours_us=ours, bare_body_us=theirs, ratio=theirs / ours)
    assert ours <= 2.0  # us; design target for the whole aircraft
    assert theirs / ours >= 3.0  # design target, both measured in this run


def test_vehicles_on_two_threads(benchmark, flying):
    if len(os.sched_getaffinity(0)) < 2:
        pytest.skip("one core only")
    count = 16
    crafts = np.repeat(flying._crafts, count)

    def fly(states, i: int) -> None:
        one = slice(i, i + 1)
        run(states[one], crafts[one], flying.tables, HOVER, TICKS, NO_HISTORY, 1)

    def batch_s(threads: ThreadPoolExecutor) -> float:
        states = np.repeat(flying._states, count)
        work = lambda: list(threads.map(lambda i: fly(states, i), range(count)))  # noqa: E731
        return best_s(work, rounds=7)

    with ThreadPoolExecutor(1) as alone, ThreadPoolExecutor(2) as pair:
        one = batch_s(alone)
        two = benchmark.pedantic(batch_s, args=(pair,), rounds=1)
    benchmark.extra_info.update(one_thread_s=one, two_threads_s=two, speed_up=one / two)
    assert one / two >= 1.8  # design target
