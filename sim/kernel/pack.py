"""The battery pack: open-circuit voltage by charge, series resistance and two RC pairs per cell.

Two kinds of cell are followed: the ordinary ones, all alike, and one that may be weaker. The form
is that of Chen and Rincon-Mora, IEEE Trans. Energy Conversion 21(2) 2006.
"""

from math import exp
from typing import NamedTuple

from sim.kernel.jit import compiled
from sim.kernel.tables import interpolate

GAS_J_MOL_K = 8.314462618  # J/(mol K), CODATA 2018
ACTIVATION_J_MOL = 20000.0  # J/mol; PyBaMM Thevenin example set (resistance against temperature)
REFERENCE_K = 293.15  # K; temperature at which resistances are stated


class PackParams(NamedTuple):
    """Pack as put together; resistances per ordinary cell at the present temperature (SI)."""

    cells: float
    capacity_c: float
    r0_ohm: float
    r1_ohm: float
    tau1_s: float
    r2_ohm: float
    tau2_s: float
    weak_capacity_ratio: float  # 1; capacity of the weakest cell over that of the others
    weak_resistance_ratio: float  # 1
    lead_ohm: float  # ohm; wires and connector
    avionics_a: float
    sag_limit_v: float  # V; pack voltage below which the regulator's rail drops out
    reset_s: float  # s; time the electronics take to come back


class PackState(NamedTuple):
    """Charge of the cells 0..1, voltages over the RC pairs of an ordinary cell, current."""

    charge: float
    weak_charge: float
    rc1_v: float
    rc2_v: float
    current_a: float


@compiled
def temperature_factor(temperature_k):
    """Return resistance over resistance at 20 degC (Arrhenius)."""
    return exp(ACTIVATION_J_MOL / GAS_J_MOL_K * (1.0 / temperature_k - 1.0 / REFERENCE_K))


@compiled
def sources(state, tables, params):
    """Return (source voltage in V, series resistance in ohm) seen from the terminals."""
    weak = params.weak_resistance_ratio
    cells = params.cells - 1.0
    volts = cells * interpolate(state.charge, tables.charge, tables.cell_v)
    volts += interpolate(state.weak_charge, tables.charge, tables.cell_v)
    volts -= (cells + weak) * (state.rc1_v + state.rc2_v)
    return volts, (cells + weak) * params.r0_ohm + params.lead_ohm


@compiled
def cell_voltages_v(state, tables, params):
    """Return (ordinary cell, weakest cell) voltage at the present current."""
    good = interpolate(state.charge, tables.charge, tables.cell_v)
    weak = interpolate(state.weak_charge, tables.charge, tables.cell_v)
    drop = state.rc1_v + state.rc2_v + state.current_a * params.r0_ohm
    return good - drop, weak - drop * params.weak_resistance_ratio


@compiled
def drawn(state, amps, params, dt_s):
    """Return the pack one step later at a constant current (exact for the RC pairs).

    Braking rotors send current back for some hundredths of a second. It lifts the voltage, but no
    charge is credited for it (own; at most the rotors' energy of motion, below a thousandth of a
    pack), so charge only falls.
    """
    keep1, keep2 = exp(-dt_s / params.tau1_s), exp(-dt_s / params.tau2_s)
    used = max(0.0, amps) * dt_s / params.capacity_c
    return PackState(
        max(0.0, state.charge - used),
        max(0.0, state.weak_charge - used / params.weak_capacity_ratio),
        state.rc1_v * keep1 + amps * params.r1_ohm * (1.0 - keep1),
        state.rc2_v * keep2 + amps * params.r2_ohm * (1.0 - keep2),
        amps,
    )


@compiled
def terminal_v(state, tables, params):
    """Return the voltage at the pack's connector at the present current."""
    volts, ohm = sources(state, tables, params)
    return volts - ohm * state.current_a
