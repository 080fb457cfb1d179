"""The tick may be another: times stay what they are, and half of it moves nothing that counts."""

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from sim.kernel import clock, controller

SCRIPT = Path(__file__).with_name("measures.py")
WITH_TICK = """
import runpy
from sim.kernel import clock
clock.TICK_S = {tick_s!r}
runpy.run_path({script!r}, run_name="__main__")
"""


def test_times_are_whole_ticks():
    assert clock.ticks(0.3) == round(0.3 / clock.TICK_S)
    assert clock.ticks(0.0004 * clock.TICK_S / 0.001) == 0
    assert pytest.approx(controller.PERIOD_S) == controller.PERIOD_TICKS * clock.TICK_S


def flown(tick_s, cache):
    """Return what `measures.py` prints with a tick of this length, as arrays."""
    found = subprocess.run(
        [sys.executable, "-c", WITH_TICK.format(tick_s=tick_s, script=str(SCRIPT))],
        env=os.environ | {"DRYHOP_CACHE_DIR": str(cache)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert found.returncode == 0, found.stderr
    return {name: np.array(values) for name, values in json.loads(found.stdout).items()}


@pytest.mark.slow
def test_half_the_tick_moves_nothing_by_half_a_per_cent_but_the_ultimate_gain(tmp_path):
    whole = flown(clock.TICK_S, tmp_path / "whole")
    half = flown(0.5 * clock.TICK_S, tmp_path / "half")
    assert set(whole) == set(half)
    off = {
        name: float(np.abs(half[name] - values).max() / np.ptp(values))
        for name, values in whole.items()
        if name != "ultimate_gain"
    }
    assert {name: share for name, share in off.items() if share > 0.005} == {}
    # motors answer at the end of a tick, half a tick early: a quarter of a millisecond is lost with
    # half of it, 1.6 degrees of phase where the loop would ring
    bears = half["ultimate_gain"] / whole["ultimate_gain"]
    assert ((bears > 0.97) & (bears < 0.985)).all()
