"""Checks of the supply: first power, the five-volt rail, the voltage reading and its alarm."""

import numpy as np

from sim.aircraft.build import Leads
from sim.bench.check import Check, Line, armed, disarmed, sticks
from sim.bench.person import Subject, read_off, senses
from sim.bench.reading import Reading, Series
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.kernel.avionics import BOOT_TICKS
from sim.kernel.clock import TICK_S, ticks
from sim.kernel.pack import PackParams, terminal_v

METER_SHARE = 0.001  # share; own: a hand-held meter
TIGHT_N, LOST_N = 16.0, 10.0  # N; own: pull that parts a good connector, and what wear takes of it
BRIGHT, BURNT = 0.05, 0.7  # 0..1; own: darkness of new contacts, and what burning adds
WORN_OHM = 0.03  # ohm; trade experience: the worst connector that still passes current
NO_SHORT_OHM = 2400.0  # ohm; own: what a meter shows across a sound aircraft's supply
RAIL_V = 5.05  # V; own: the regulator as adjusted, nothing drawn
RAIL_ERROR_V = 0.02  # V; own: of the meter and of the regulator as made
CAUGHT_V = 0.05  # V; own: what a meter that holds the lowest value misses of a dip
DROPOUT_V = 4.8  # V; trade practice: the rail at which the electronics are about to restart
RAIL_OHM = 0.15  # ohm; own: the regulator's give under load
SNAPS = 20  # trade practice
PATIENCE = 3  # own: after three restarts nobody goes on snapping
SNAP_S, REST_S = 0.15, 0.25  # s; own: a flick of the stick and back
LOW_V_CELL = 3.6  # V; own: the second voltage, from a test supply
SILENT_V_CELL = 3.0  # V; own: nobody lowers the test supply further than that
STEP_V_CELL = 0.02  # V; own: how finely the test supply is lowered


def first_power(rig: Rig) -> Reading:
    """Meter on the aircraft's lead, feel and look at the connector, power through a limit."""
    eye = senses(rig, Subject.FIRST_POWER)
    leads, cells = rig.world.build.leads, rig.cells()._replace(current_a=0.0)
    worn = leads.connector_ohm / WORN_OHM
    volts = float(terminal_v(cells, rig.tables, rig.craft.pack))
    sign = 1.0 if leads.polarity_right else -1.0
    values = {
        "meter_v": sign * volts * (1.0 + METER_SHARE * eye.standard_normal()),
        "across_supply_ohm": NO_SHORT_OHM * (1.0 + 0.05 * eye.standard_normal()),
        "pull_apart_n": max(0.0, TIGHT_N - LOST_N * worn + 0.7 * eye.standard_normal()),
        "contact_darkness": float(
            np.clip(BRIGHT + BURNT * worn + 0.03 * eye.standard_normal(), 0.0, 1.0)
        ),
    }
    if not leads.polarity_right:
        note = "Red probe on the lead marked plus, black on minus: the needle goes the wrong way."
        return Reading("first-power", values, notes=(note, "Stopped there; nothing connected."))
    alive = not leads.destroyed
    idle = rig.craft.pack.avionics_a * alive
    values["idle_current_a"] = read_off(eye, idle, 0.02, 0.01, 0.0)
    lights = "The lights come on; no smell." if alive else "No light comes on."
    return Reading("first-power", values, notes=("Powered through a current limit.", lights))


def rail_v(supply_v: float, leads: Leads, drawn: PackParams) -> float:
    """Return the five-volt rail for a supply voltage: it gives with load, then drops out."""
    held = RAIL_V - RAIL_OHM * drawn.avionics_a - 0.01 * leads.regulator_extra_v
    return float(max(0.0, min(held, DROPOUT_V + supply_v - drawn.sag_limit_v)))


def _snap(rig: Rig) -> History:
    up = rig.run(sticks(1.0), SNAP_S, every=ticks(0.001))
    down = rig.run(sticks(), REST_S, every=ticks(0.001))
    return History(np.vstack([up.rows, down.rows]))


def _restarted(rig: Rig) -> bool:
    """Tell whether the controller has just restarted; wait for it, arm it again."""
    if rig.value("reset_ticks") == 0.0 and rig.value("powered_ticks") > BOOT_TICKS:
        return False
    rig.run(HANDS_OFF, rig.craft.pack.reset_s + BOOT_TICKS * TICK_S + 0.5)
    armed(rig)
    return True


def rails(rig: Rig) -> Reading:
    """Read the five-volt rail with everything on, then through twenty snaps of the throttle."""
    leads, drawn, rng = rig.world.build.leads, rig.craft.pack, senses(rig, Subject.RAILS)
    resting = rig.run(HANDS_OFF, 0.5)
    armed(rig)
    rig.run(sticks(), 0.5)
    restarts, lowest, worst = 0, np.inf, None
    for _ in range(SNAPS):
        seen = _snap(rig)
        supply = float(seen["pack_v"].min())
        if supply < lowest:
            lowest, worst = supply, seen
        restarts += _restarted(rig)
        if restarts == PATIENCE:
            break
    disarmed(rig)
    values = {
        "rail_all_on_v": read_off(
            rng, rail_v(float(resting["pack_v"].mean()), leads, drawn), RAIL_ERROR_V, 0.01, 0.0
        ),
        "rail_lowest_v": read_off(rng, rail_v(lowest, leads, drawn), RAIL_ERROR_V, 0.01, 0.0),
        "supply_lowest_v": read_off(rng, lowest, CAUGHT_V, 0.01, 0.0),
        "restarts": float(restarts),
    }
    assert worst is not None
    rail = tuple(rail_v(float(v), leads, drawn) for v in worst["pack_v"])
    trace = Series("time_s", "rail_v", tuple(worst["time_s"].tolist()), rail)
    notes = ("The lights went out and the start-up tune played.",) if restarts else ()
    return Reading("rails", values, notes=notes, series={"rail in the deepest snap": trace})


def _provoked(rig: Rig, scale: float) -> float:
    """Lower a test supply until the alarm sounds; return it in V per cell of the sheet, or 0."""
    control, cells = rig.world.setup.controller, rig.world.airframe.cells
    volts = rig.world.airframe.sheet.setup.low_cell_alarm_v + 0.5
    while volts >= SILENT_V_CELL:
        if scale * volts * cells / control.alarm_cells < control.low_cell_alarm_v:
            return volts
        volts -= STEP_V_CELL
    return 0.0


def voltage_and_alarm(rig: Rig) -> Reading:
    """Compare the voltage shown with a meter, on the pack and on a low supply; hear the alarm."""
    eye = senses(rig, Subject.VOLTAGE)
    control, cells = rig.world.setup.controller, rig.world.airframe.cells
    scale = rig.craft.sensors.volt_scale * control.volt_scale
    seen = rig.run(HANDS_OFF, 1.0)
    meter = 1.0 + METER_SHARE * float(eye.standard_normal())
    low = LOW_V_CELL * cells
    noise = rig.world.airframe.instruments.volt_noise_v / 10.0  # a hundred readings in a second
    return Reading(
        "voltage-and-alarm",
        {
            "meter_pack_v": meter * float(seen["pack_v"].mean()),
            "shown_pack_v": float(seen["shown_pack_v"].mean()),
            "meter_low_v": meter * low,
            "shown_low_v": scale * low + noise * float(eye.standard_normal()),
            "alarm_set_v_cell": control.low_cell_alarm_v,
            "alarm_counts_cells": float(control.alarm_cells),
            "alarm_heard_v_cell": _provoked(rig, scale),
        },
        notes=("Heard at 0 means: silent down to 3.0 V a cell.",),
    )


CHECKS = (
    Check(
        "first-power",
        "C05",
        "Meter on the lead, connector in the hand, then first power through a limit",
        2.0,
        ("unplugged", "props_off"),
        first_power,
        "Which way round is it, does it fit, and what does it draw?",
        lines=(
            Line(
                "before-power",
                20,
                "lead",
                "Lead on the meter: say the sign, then first power",
                killer=True,
            ),
        ),
        voided_by=("swap:connector", "swap:lead-polarity", "swap:regulator"),
        caution="The meter comes before the pack. Hold the aircraft down, keep out of the discs.",
    ),
    Check(
        "rails",
        "C06",
        "Five-volt rail with everything on, and through twenty snaps",
        1.0,
        ("powered", "linked", "props_off"),
        rails,
        "How low does the rail go, and does anything restart?",
        lines=(Line("power", 10, "rails", "Five-volt rail: say the lowest"),),
        voided_by=("swap:connector", "swap:regulator"),
        caution="Propellers off.",
    ),
    Check(
        "voltage-and-alarm",
        "C19",
        "Voltage shown beside a meter at two voltages; provoke the alarm",
        1.0,
        ("powered",),
        voltage_and_alarm,
        "By how much does it differ, and when does the alarm sound?",
        lines=(Line("power", 20, "voltage", "Meter and display: say both, hear the alarm"),),
        voided_by=(
            "setup.controller.alarm_cells",
            "setup.controller.low_cell_alarm_v",
            "setup.controller.volt_scale",
            "calibrate:voltage",
        ),
        touches=True,
    ),
)
