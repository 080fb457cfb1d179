"""Checks of the pack: at rest, and under the load of a hover."""

from sim.aircraft.fields import PLACES
from sim.bench.changes import every
from sim.bench.check import Check, Line, armed, disarmed, sticks
from sim.bench.person import Subject, noticed, read_off, senses, tachometer_rpm
from sim.bench.reading import Reading, Series
from sim.bench.rig import History, Rig, degrees
from sim.kernel import pack as kernel_pack
from sim.units import C_PER_AH

METER_V = 0.002  # V; own: a cell meter of 2 mV, its last digit
CELL_ERROR_V = 0.005  # V; own: of each of its inputs
CHECKER_ERROR_V = 0.010  # V; own: of its reference, the same for all
SHOWN_V = 0.01  # V; own: last digit of the pack voltage on the display, which flickers by one
SHOWN_A = 0.1  # A; own: that of the current
HEADING_DEG = 0.3  # deg; own: that of the heading
FINGER_K = 1.0  # K; own: a connector between two fingers, before and after
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
    eye = senses(rig, Subject.PACK)
    state, cells = rig.world.build.pack, round(rig.craft.pack.cells)
    good, weak = kernel_pack.cell_voltages_v(
        rig.cells()._replace(current_a=0.0), rig.tables, rig.craft.pack
    )
    off = CHECKER_ERROR_V * float(eye.standard_normal())
    volts = [
        read_off(eye, float(v) + off, CELL_ERROR_V, METER_V) for v in [good] * (cells - 1) + [weak]
    ]
    bulge = SWOLLEN_MM if state.swollen else 0.0
    values = {f"cell_{i + 1}_v": v for i, v in enumerate(volts)}
    values["lowest_cell_v"] = min(volts)
    values["spread_v"] = max(volts) - min(volts)
    values["label_cells"] = float(cells)
    values["sheet_cells"] = float(rig.world.airframe.cells)
    values["thicker_than_new_mm"] = bulge + CALLIPER_MM * float(eye.standard_normal())
    values["temperature_degc"] = state.temperature_degc + FEEL_K * float(eye.standard_normal())
    bulges = noticed(eye, "bulge", state.swollen)
    looks = "One side bulges and gives under the thumb." if bulges else "No dents, no smell."
    return Reading("pack-at-rest", values, notes=(looks,))


def run_up(rig: Rig) -> Reading:
    """Run the clamped aircraft up to its hover speed from behind a screen and watch the meters."""
    resting = rig.run(sticks(), 0.5)
    armed(rig)
    throttle = rig.world.airframe.sheet.hover_throttle
    for k in range(1, 20):
        rig.run(sticks(throttle * k / 20), 0.05)
    held = rig.run(sticks(throttle), RUN_UP_S)
    disarmed(rig)
    return run_up_reading(rig, resting, held)


def run_up_reading(rig: Rig, resting: History, held: History) -> Reading:
    """Return what the meters say of the last second under load, beside those at rest."""
    cells = round(rig.craft.pack.cells)
    loaded, rng = held.last(1.0), senses(rig, Subject.RUN_UP)
    rest_v, loaded_v = (
        read_off(rng, float(seen["shown_pack_v"].mean()), SHOWN_V, SHOWN_V) / cells
        for seen in (resting, loaded)
    )
    amps = read_off(rng, float(loaded["shown_pack_a"].mean()), SHOWN_A, SHOWN_A)
    speeds = [tachometer_rpm(rng, float(loaded[f"speed_{p}_rad_s"].mean())) for p in PLACES]
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
            "slowest_rotor_rpm": min(speeds),
            "fastest_rotor_rpm": max(speeds),
            "heading_swing_deg": read_off(rng, swing, HEADING_DEG, 0.1),
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
    eye = senses(rig, Subject.CONNECTOR)
    ohm = rig.world.build.leads.connector_ohm
    return {
        "connector_drop_mv": max(0.0, 1000.0 * amps * ohm + 2.0 * float(eye.standard_normal())),
        "connector_warmer_k": WARMS_K_W * amps * amps * ohm
        + FINGER_K * float(eye.standard_normal()),
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
            Line(
                "after-hop", 20, "pack", "Pack out: say lowest cell, spread and warmth", killer=True
            ),
        ),
        voided_by=("swap:pack", "prepare:warm-pack", "crash", "hop"),
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
            "hop",
        ),
        caution="Propellers on: screen in place, nobody in line with the discs, goggles on.",
        hurts=True,
    ),
)
