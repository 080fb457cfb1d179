"""A few measures of flights, printed; run as a script by the test of another tick."""

import json

import numpy as np

from sim.aircraft import library
from sim.aircraft.build import Build
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.world import World
from sim.bench.check import armed, sticks
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.kernel import clock
from sim.kernel.linear import craft_margins
from sim.kernel.pack import PackState

RESTED = PackState(0.9, 0.9, 0.0, 0.0, 0.0)
HIGH_M = 2.0  # m; out of reach of the floor's effect, below the ceiling's
REST_V = 12.56  # V; before it is armed
FALL_M = 0.16  # m; falls four centimetres on to its legs


def noiseless() -> World:
    """Return a sound aircraft on the pad in still air, without noise, jitter or unbalance."""
    design = library.airframe(library.TRAINER)
    still = {
        name: 0.0
        for name in type(design.instruments).model_fields
        if "noise" in name or "walk" in name
    }
    airframe = design.model_copy(
        update={
            "instruments": design.instruments.model_copy(update=still),
            "link": design.link.model_copy(update={"jitter_us": 0.0}),
            "propeller": design.propeller.model_copy(update={"unbalance_g_mm": 0.0}),
        }
    )
    site = library.site("lockup-garage").model_copy(update={"gust_m_s": 0.0, "wash": 0.0})
    conduct = Conduct(
        props_fitted=True, pack_plugged=True, transmitter_on=True, place="pad", hold="standing"
    )
    return World(
        airframe=airframe,
        pack_spec=library.pack(airframe.pack),
        build=Build(),
        setup=Setup(controller=airframe.sheet.setup),
        site=site,
        conduct=conduct,
    )


def started() -> Rig:
    rig = Rig(noiseless(), 1)
    rig.run(HANDS_OFF, 2.5)
    return rig


def light(rig: Rig) -> float:
    """Arm and raise the throttle to the hover's in a second; return it."""
    armed(rig)
    hover = rig.trim().command
    for share in np.linspace(0.1, 0.97, 20):
        rig.run(sticks(float(share) * hover), 0.05)
    return hover


def on_legs() -> dict[str, list[float]]:
    """Load on the legs and lean after a tap of the stick, at nine tenths of the hover's throttle."""
    rig = started()
    hover = light(rig)
    parts = [rig.run(sticks(low * hover), 0.2) for low in (0.3, 0.6, 0.9)]
    parts += [rig.run(sticks(0.9 * hover, roll=0.3), 0.08), rig.run(sticks(0.9 * hover), 1.0)]
    seen = History(np.vstack([part.rows for part in parts]))
    return {"legs_load_n": seen["load_n"].tolist(), "legs_roll_rad": seen["roll_rad"].tolist()}


def airborne() -> tuple[Rig, float]:
    """Return an aircraft in hover and its throttle: spun up on the pad, then put up high."""
    rig = started()
    hover = light(rig)
    rig.put("body.position_m.z", -HIGH_M)
    rig.put("body.velocity_m_s.z", 0.0)
    return rig, hover


def in_air() -> dict[str, list[float]]:
    """A climb and the pack's sag in it, then a step of roll and the lift."""
    rig, hover = airborne()
    climb = rig.run(sticks(1.1 * hover), 0.6)
    rig.put("body.position_m.z", -HIGH_M)
    rig.put("body.velocity_m_s.z", 0.0)
    step = rig.run(sticks(hover, roll=0.3), 0.6)
    lift = sum(rig.value(f"rotors.{i}.thrust_n") for i in range(4))
    return {
        "hover_lift_n": [0.0, lift],
        "climb_height_m": climb["height_m"].tolist(),
        "sag_v": [0.0, *(REST_V - climb["pack_v"]).tolist()],
        "roll_rad": step["roll_rad"].tolist(),
        "roll_rate_rad_s": step["roll_rate_rad_s"].tolist(),
    }


def landing() -> dict[str, list[float]]:
    """A fall on to the legs with the motors off: height, load, and the hardest touchdown."""
    rig = Rig(noiseless(), 1)
    rig.put("body.position_m.z", -FALL_M)
    rig.put("clear_ticks", float(clock.ticks(0.5)))
    seen = rig.run(HANDS_OFF, 1.0)
    return {
        "fall_height_m": seen["height_m"].tolist(),
        "touchdown_m_s": [0.0, rig.value("touchdown_m_s")],
    }


def gain() -> dict[str, list[float]]:
    """The factor of gain at which roll and pitch begin to ring."""
    rig = Rig(noiseless(), 1)
    return {"ultimate_gain": [m.gain for m in craft_margins(rig.craft, rig.tables, RESTED)]}


if __name__ == "__main__":
    print(json.dumps(on_legs() | in_air() | landing() | gain()))
