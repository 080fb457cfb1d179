"""The sound aircraft of the tests: the shipped trainer as designed, in the shipped garage."""

from typing import Any

import numpy as np

from sim.aircraft import library
from sim.aircraft.build import Build
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.world import World
from sim.bench.checklist import CHECKS
from sim.bench.evidence import measured
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, Rig
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.trainees.judgement import judged
from sim.trainees.judges.finding import Finding

TRAINER = library.TRAINER


def sound_world(**conduct: Any) -> World:
    """Return the sound aircraft, with the conduct given."""
    airframe = library.airframe(TRAINER)
    return World(
        airframe=airframe,
        pack_spec=library.pack(airframe.pack),
        build=Build(),
        setup=Setup(controller=airframe.sheet.setup),
        site=library.site("lockup-garage"),
        conduct=Conduct(**conduct),
    )


def ready_on_pad() -> World:
    """Return the sound aircraft on the pad, propellers on, powered."""
    return sound_world(
        props_fitted=True,
        pack_plugged=True,
        transmitter_on=True,
        place="pad",
        hold="standing",
    )


def powered_rig(fault: FaultId | None = None, severity: float = 0.5, seed: int = 1) -> Rig:
    """Return that aircraft at the bench, sound or with a fault, its controller started."""
    where = sound_world(pack_plugged=True, transmitter_on=True)
    if fault:
        where = CATALOGUE[fault].inject(where, severity, np.random.default_rng(seed))
    rig = Rig(where, seed)
    rig.run(HANDS_OFF, 2.5)  # s; start-up takes 2
    return rig


def suspected(check: CheckKey, rig: Rig) -> set[str]:
    """Return the causes the careful suspect after a check."""
    return {finding.squawk.cause for finding in suspects(CHECKS[check].take(rig))}


def suspects(reading: Reading) -> list[Finding]:
    """Return what the careful make of a reading of that aircraft."""
    return judged(reading, library.airframe(TRAINER), measured(TRAINER))
