"""Checks of the pack: at rest, and under the load of a hover."""

import numpy as np

from sim.aircraft.fields import PLACES
from sim.bench.changes import every
from sim.bench.check import Check, Line, armed, disarmed, sticks
from sim.bench.reading import Reading, Series
from sim.bench.rig import Rig, degrees
from sim.kernel import pack as kernel_pack
from sim.units import C_PER_AH

METER_V = 0.002  # V; own: a cell meter of 2 mV, its last digit
SWOLLEN_MM = 4.0  # mm; own: a puffed cell is seen and felt
CALLIPER_MM = 0.3  # mm; own: soft pouches do not measure better
FEEL_K = 0.5  # K; own: a cheap thermometer strip
WARMS_K_W = 8.0  # K/W; own: a connector in still air, after the run-up
RUN_UP_S = 6.0  # s; own: long enough for the voltage to settle, short enough for cool drives
HOP_S = 90.0  # s; own: a first hop with its nudges, the time the prediction looks ahead
LATER_SAG = 1.35  # 1; own: sag after 90 s over sag after 6 s, by the RC pairs of the pack's kind
FULL_TO_EMPTY_V = 0.9  # V; own: mean slope of the upper part of the cell's rest-voltage curve


def at_rest(rig: Rig) -> Reading:
    """Look at the pack, feel it, read its label and each cell with nothing drawn."""
    eye = np.random.default_rng(rig.tick)
    state, cells = rig.world.build.pack, round(rig.craft.pack.cells)
    good, weak = kernel_pack.cell_voltages_v(
        rig.cells()._replace(current_a=0.0), rig.tables, rig.craft.pack
    )
    volts = [round(float(v) / METER_V) * METER_V for v in [good] * (cells - 1) + [weak]]
    bulge = SWOLLEN_MM if state.swollen else 0.0
    values = {f"cell_{i + 1}_v": v for i, v in enumerate(volts)}
    values["lowest_cell_v"] = min(volts)
    values["spread_v"] = max(volts) - min(volts)
    values["label_cells"] = float(cells)
    values["sheet_cells"] = float(rig.world.airframe.cells)
    values["thicker_than_new_mm"] = bulge + CALLIPER_MM * float(eye.standard_normal())
    values["temperature_degc"] = state.temperature_degc + FEEL_K * float(eye.standard_normal())
    looks = "One side bulges and gives under the thumb." if state.swollen else "No dents, no smell."
    return Reading("pack-at-rest", values, notes=(looks,))


def run_up(rig: Rig) -> Reading:
    """Run the clamped aircraft up to its hover speed from behind a screen and watch the meters."""
    cells = round(rig.craft.pack.cells)
    resting = rig.run(sticks(), 0.5)
    armed(rig)
    throttle = rig.world.airframe.sheet.hover_throttle
    for k in range(1, 20):
        rig.run(sticks(throttle * k / 20), 0.05)
    held = rig.run(sticks(throttle), RUN_UP_S)
    disarmed(rig)
    rest_v = float(resting["shown_pack_v"].mean()) / cells
    loaded = held.last(1.0)
    loaded_v, amps = (
        float(loaded["shown_pack_v"].mean()) / cells,
        float(loaded["shown_pack_a"].mean()),
    )
    speeds = [float(loaded[f"speed_{place}_rad_s"].mean()) for place in PLACES]
    swing = degrees(float(loaded["shown_heading_rad"].mean() - resting["shown_heading_rad"].mean()))
    drop_v = rest_v - loaded_v
    used = amps * HOP_S / (rig.world.pack_spec.capacity_ah * C_PER_AH)
    return Reading(
        "restrained-run-up",
        {
            "rest_v_cell": rest_v,
            "loaded_v_cell": loaded_v,
            "drop_v_cell": drop_v,
            "current_a": amps,
            "resistance_mohm_cell": 1000.0 * drop_v / max(amps, 0.1),
            "after_90_s_v_cell": rest_v - LATER_SAG * drop_v - FULL_TO_EMPTY_V * used,
            "slowest_rotor_rpm": min(speeds) * 60.0 / (2.0 * np.pi),
            "fastest_rotor_rpm": max(speeds) * 60.0 / (2.0 * np.pi),
            "heading_swing_deg": swing,
        }
        | connector(rig, amps),
        series={
            "pack under load": Series(
                "time_s",
                "pack_v",
                tuple(held["time_s"].tolist()),
                tuple(held["shown_pack_v"].tolist()),
            )
        },
    )


def connector(rig: Rig, amps: float) -> dict[str, float]:
    """Return what a meter across the connector and a finger on it say under load."""
    eye = np.random.default_rng(rig.tick)
    ohm = rig.world.build.leads.connector_ohm
    return {
        "connector_drop_mv": max(0.0, 1000.0 * amps * ohm + 2.0 * float(eye.standard_normal())),
        "connector_warmer_k": WARMS_K_W * amps * amps * ohm + FEEL_K * float(eye.standard_normal()),
    }


CHECKS = (
    Check(
        "pack-at-rest",
        "C04",
        "Look at the pack, feel it, read its cells at rest",
        1.0,
        (),
        at_rest,
        "What does each cell read, and how far apart are they?",
        lines=(
            Line(
                "before-power", 10, "pack-cells", "Pack: say looks, cells and spread", killer=True
            ),
        ),
        voided_by=("swap:pack", "prepare:warm-pack", "crash"),
        caution="Never use a swollen, punctured or hot pack. Charge it attended, on a base that cannot burn.",
        touches=True,
    ),
    Check(
        "restrained-run-up",
        "C17",
        "Run it up in the clamp, behind a screen, and read the pack under load",
        4.0,
        ("powered", "linked", "props_on", "clamped"),
        run_up,
        "How far does each cell fall under the hover's current?",
        lines=(Line("load", 10, "load", "Run-up: say drop per cell and current"),),
        voided_by=(
            *every("swap:propeller-"),
            "swap:compass-lead",
            "swap:connector",
            "swap:pack",
            "prepare:warm-pack",
            "crash",
        ),
        caution="Propellers on: screen in place, nobody in line with the discs, goggles on.",
        hurts=True,
    ),
)
