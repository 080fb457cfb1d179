"""Light on its legs, an aircraft with too much gain already rings as it will in the air."""

import numpy as np
import pytest

from sim.aircraft.fields import PLACES
from sim.bench.check import armed, disarmed, sticks
from sim.bench.checklist import CHECKS
from sim.bench.checks.control import shake, shake_band_hz, tap
from sim.bench.rig import History
from sim.faults.catalogue import CATALOGUE

SILENT = 0.01  # of command; sensor noise alone makes 0.001 to 0.006
LOUD = 0.05  # of command; the ear hears a twentieth, a limit cycle makes a quarter
OFF_THE_PAD_M = 0.128  # m; the height at which even a leaning aircraft has all legs clear
LEAST_LOOKS = 125  # own: 0.25 s at 500 Hz, four periods of the ringing
SEEDS = (1, 2, 3)


def rung(rig, lifted):
    """Raise the throttle to a share of hover thrust, tap a stick, listen for two seconds."""
    armed(rig)
    weight = rig.craft.body.mass_kg * rig.craft.body.gravity_m_s2
    throttle = 0.1
    while throttle < 0.9:
        load = rig.run(sticks(throttle), 0.05)["load_n"].mean()
        if load < (1.0 - lifted) * weight:
            break
        throttle += 0.004  # as the check's hand; slower, and the room's air is there before
    airframe = rig.world.airframe
    rig.run(sticks(throttle, roll=tap(airframe)), 0.08)
    rig.run(sticks(throttle, pitch=tap(airframe)), 0.08)
    held = rig.run(sticks(throttle), 2.0, every=2)
    disarmed(rig)
    # only while it stands: ringing adds lift (the mean of squares), so a hand would cut soon
    off = np.flatnonzero(held["height_m"] > OFF_THE_PAD_M)
    on_pad = int(off[0]) if off.size else len(held)
    assert on_pad >= LEAST_LOOKS
    held = History(held.rows[:on_pad])
    size, frequency = max(shake(held, f"drive_{p}", shake_band_hz(airframe)) for p in PLACES)
    return size, frequency, float(held["load_n"].mean() / weight)


@pytest.fixture(scope="module")
def gained(world):
    return CATALOGUE["rate-gain-high"].inject(world, 0.5, np.random.default_rng(1))


@pytest.mark.parametrize("seed", SEEDS)
def test_too_much_gain_rings_light_on_the_legs(gained, ready, seed):
    size, frequency, _ = rung(ready(gained, CHECKS["light-on-legs"], seed), 0.95)
    assert size > LOUD
    # Hz; about the loop's phase crossover (17.7), where delay lets a limit cycle live
    assert 15.0 <= frequency <= 22.0


def test_too_much_gain_is_silent_at_60_percent(gained, ready):
    size, _, load = rung(ready(gained, CHECKS["light-on-legs"], SEEDS[0]), 0.60)
    assert load == pytest.approx(0.40, abs=0.05)
    assert size < SILENT


@pytest.mark.parametrize("lifted", [0.60, 0.95])
def test_a_sound_aircraft_is_silent(world, ready, lifted):
    size, _, load = rung(ready(world, CHECKS["light-on-legs"]), lifted)
    assert size < SILENT
    assert load == pytest.approx(1.0 - lifted, abs=0.05)


def test_it_rings_at_the_same_frequency_in_the_air(gained, craft, quiet, ready, hovering):
    rig = ready(gained, CHECKS["light-on-legs"])
    _, on_legs, _ = rung(rig, 0.95)
    flight, held = hovering(quiet._replace(controller=rig.craft.controller))
    flight.run(1.0, held)
    flight.run(0.08, held._replace(roll=tap(rig.world.airframe)))
    flight.run(0.5, held)
    band_hz = shake_band_hz(rig.world.airframe)
    size, in_air = shake(flight.run(2.0, held, every=2), "drive_front_left", band_hz)
    assert size > LOUD
    # Hz; legs and a resolution of 0.5 Hz (two seconds) part the two
    assert in_air == pytest.approx(on_legs, abs=3.0)
