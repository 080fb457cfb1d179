"""Faults between pack and electronics: leads, connector, regulator, voltage reading, alarm."""

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.design import CHARGED_CELL_V
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.kernel import pack
from sim.kernel.linear import hover_trim

CONNECTOR_DROP_V = 0.050  # V; trade experience: more than 50 mV at the hover's current is too much
SCALE_LIMIT = 0.02  # share; own: the trade calibrates to 1 %, 2 % is a tenth of a cell too late
ALARM_LOW_V = 3.4  # V; own: an alarm at 3.5 V a cell under load, less the play of its settings
ALARM_HIGH_V = 3.75  # V; own: an alarm that sounds on a half-full pack is soon ignored

CHARGED = pack.PackState(0.97, 0.97, 0.0, 0.0, 0.0)  # own: a charged pack at rest


def _reversed(world: World, severity: float, rng: np.random.Generator) -> World:
    return with_value(world, "build.leads.polarity_right", False)


def _corroded(world: World, severity: float, rng: np.random.Generator) -> World:
    volts = 0.061 + 0.308 * severity  # V at the hover's current; trade: 5-30 mohm at 12 A
    ohm = volts / world.airframe.sheet.hover_current_a
    return with_value(world, "build.leads.connector_ohm", ohm)


def connector_drop_v(truth: Truth) -> float:
    """Return what the connector takes away at the hover's current, V."""
    amps = hover_trim(truth.craft, truth.tables, CHARGED).pack_a
    return float(amps) * truth.world.build.leads.connector_ohm


def _weak_regulator(world: World, severity: float, rng: np.random.Generator) -> World:
    """Ask more of the regulator than it has: too much headroom needed, too much hung on the rail."""
    needs = world.airframe.electronics
    # V; own: drops out when the pack dips below 81 to 91 % of what it has charged
    dip_v = (0.81 + 0.10 * severity) * CHARGED_CELL_V * world.airframe.cells
    world = with_value(world, "build.leads.regulator_extra_v", dip_v - needs.least_supply_v)
    extra_a = (1.14 + 1.71 * severity) * needs.current_a  # own
    return with_value(world, "build.leads.avionics_extra_a", extra_a)


def lowest_supply_v(truth: Truth) -> float:
    """Return the supply when all drives are thrown open from idle, as in a catch, V.

    The back-EMF of a motor that idles is nearly the share of the supply that its drive applies.
    """
    craft = truth.craft
    volts, ohm = pack.sources(CHARGED, truth.tables, craft.pack)
    back, load = craft.pack.avionics_a, 0.0
    for rotor in craft.rotors:
        m = rotor.motor
        back -= m.gain * craft.controller.idle * volts / m.resistance_ohm
        load += 1.0 / m.resistance_ohm
    return float((volts - ohm * back) / (1.0 + ohm * load))


def _browns_out(truth: Truth) -> bool:
    """Tell whether a punch takes the supply below what the regulator of this aircraft needs.

    The needs of the regulator as designed are left to the pack: a pack that sags that far is a
    fault of its own.
    """
    if truth.world.build.leads.regulator_extra_v == 0.0:
        return False
    return lowest_supply_v(truth) < truth.craft.pack.sag_limit_v


def _flattering(world: World, severity: float, rng: np.random.Generator) -> World:
    scale = 1.03 + 0.07 * severity  # 1; trade experience 1.03-1.10
    return with_value(world, "build.sensors.volt_scale", scale)


def _misreads(truth: Truth) -> bool:
    scale = truth.world.build.sensors.volt_scale * truth.world.setup.controller.volt_scale
    return abs(scale - 1.0) > SCALE_LIMIT


def _no_alarm(world: World, severity: float, rng: np.random.Generator) -> World:
    """Set the alarm low, count a cell too few, or leave it off altogether."""
    if severity > 0.8:  # own: the worst alarm is none
        return with_value(world, "setup.controller.low_cell_alarm_v", 0.0)
    if rng.random() < 0.5 and world.airframe.cells > 1:
        return with_value(world, "setup.controller.alarm_cells", world.airframe.cells - 1)
    return with_value(world, "setup.controller.low_cell_alarm_v", round(3.25 - 0.3 * severity, 2))


def alarm_cell_v(world: World) -> float:
    """Return the voltage of each of the design's cells at which the alarm is meant to sound, V."""
    control = world.setup.controller
    return control.low_cell_alarm_v * control.alarm_cells / world.airframe.cells


def _alarm_off(truth: Truth) -> bool:
    return not ALARM_LOW_V <= alarm_cell_v(truth.world) <= ALARM_HIGH_V


FAULTS = (
    Fault(
        id="lead-polarity-reversed",
        family="power",
        item="pack lead",
        hazard=5,
        opens="plus-and-minus",
        inject=_reversed,
        present=lambda truth: not truth.world.build.leads.polarity_right,
        revealed_by=("first-power",),
        proved_by=("first-power",),
        fixes=("swap:lead-polarity",),
        in_the_air="It never gets there: plugging in destroys the electronics, and may start a fire.",
        explanation=(
            "Plus and minus are changed over on the aircraft's lead. A meter on the lead shows it "
            "before anything is connected; the first power goes through a current limit."
        ),
        caution="Measure before you plug in: the damage is done in a thousandth of a second.",
    ),
    Fault(
        id="connector-high-resistance",
        family="power",
        item="connector",
        hazard=3,
        opens="power-lost-on-the-way",
        inject=_corroded,
        present=lambda truth: connector_drop_v(truth) > CONNECTOR_DROP_V,
        revealed_by=("first-power", "restrained-run-up"),
        proved_by=("first-power", "restrained-run-up"),
        fixes=("swap:connector",),
        in_the_air="It sags at every pull on the throttle; at worst the connector opens.",
        explanation=(
            "The contacts are loose or burnt, so a part of the voltage stays in the connector as "
            "heat. It slides together too easily, looks brown, and is warm after a run."
        ),
        caution="A hot connector can melt its neighbour's insulation: let it cool, then replace it.",
    ),
    Fault(
        id="regulator-brownout",
        family="power",
        item="regulator",
        hazard=5,
        opens="power-lost-on-the-way",
        inject=_weak_regulator,
        present=_browns_out,
        revealed_by=("rails", "ramp-and-snap"),
        proved_by=("rails",),
        fixes=("swap:regulator",),
        in_the_air="At a hard pull on the throttle the controller restarts: all motors stop.",
        lucky="you never pulled hard on the throttle.",
        explanation=(
            "The five-volt rail has no reserve. When the drives pull the supply down for a few "
            "thousandths of a second it drops out, and the controller starts again in the air. "
            "Twenty snaps of the throttle without propellers show it."
        ),
        caution="Propellers off: it may start up again at once.",
    ),
    Fault(
        id="voltage-scale-wrong",
        family="power",
        item="voltage reading",
        hazard=3,
        opens="power-lost-on-the-way",
        inject=_flattering,
        present=_misreads,
        revealed_by=("voltage-and-alarm", "light-on-legs"),
        proved_by=("voltage-and-alarm",),
        fixes=("calibrate:voltage", "setup.controller.volt_scale"),
        in_the_air="The display shows more volts than there are, so the alarm comes late.",
        explanation=(
            "The controller shows more volts than there are, so every limit set in it comes too "
            "late. Compare it with a meter at two voltages and correct the scale."
        ),
    ),
    Fault(
        id="low-volt-alarm-unset",
        family="power",
        item="voltage alarm",
        hazard=3,
        opens="pack-not-up-to-it",
        inject=_no_alarm,
        present=_alarm_off,
        revealed_by=("voltage-and-alarm", "settings-sheet"),
        proved_by=("voltage-and-alarm",),
        fixes=("setup.controller.low_cell_alarm_v", "setup.controller.alarm_cells"),
        in_the_air="The pack runs down without a sound; it drops when a cell gives up.",
        lucky="the pack was full enough to need no alarm.",
        explanation=(
            "The alarm is off, too low, or counts another number of cells than the pack has. Set "
            "it to about 3.5 V a cell under load and hear it once on a low test supply."
        ),
    ),
)
