"""Sound aircraft are not all alike: how far each value of a good build lies off its design.

All sizes are own: what parts of one kind, put together with care, are judged to differ by. None of
them, nor all together, makes a fault.
"""

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.airframe import Airframe
from sim.aircraft.changes import value_at, with_values
from sim.aircraft.fields import CHANNELS, PLACES
from sim.aircraft.world import World

Kind = Literal["share", "log", "offset", "half", "level", "whole", "diagonal", "symmetric"]


class Spread(NamedTuple):
    """How the value at a key scatters: standard deviation and kind of its normal distribution.

    A size that goes with the aircraft's is the name of a value of its `scatter`.

    A key with {place} or {channel} stands for one key each, drawn for itself. Kinds: `share` of
    the value itself; `log`, the same of its logarithm; `offset`, added, to each number if there are
    several; `half`, added to one side only, that of the sign of `size`; `level`, offset of the first two of three numbers;
    `whole`, an offset in whole units; `diagonal` and `symmetric`, added to a matrix.
    """

    key: str
    size: float | str
    kind: Kind

    def sized(self, airframe: Airframe) -> float:
        """Return the size on an airframe."""
        return (
            float(getattr(airframe.scatter, self.size)) if isinstance(self.size, str) else self.size
        )


MOTOR = "build.rotors.{place}.motor."
PROPELLER = "build.rotors.{place}.propeller."
CHANNEL = "setup.transmitter.{channel}."
SPREADS = (
    Spread(MOTOR + "strength", 0.01, "share"),  # 1; own: magnets of one batch
    Spread(MOTOR + "resistance_factor", 0.02, "share"),  # 1; own: windings of one batch
    Spread(MOTOR + "no_load_factor", 0.05, "share"),  # 1; own: iron and new bearings
    Spread(MOTOR + "gain", 0.005, "share"),  # 1; own: drives that learnt one travel together
    Spread(MOTOR + "start_extra", 0.0025, "offset"),  # of command; own: 2.5 us
    Spread(MOTOR + "friction_n_m", "friction_n_m", "half"),
    Spread(MOTOR + "bell_unbalance_g_mm", "bell_unbalance_g_mm", "half"),
    Spread(MOTOR + "cooling_factor", 0.05, "share"),  # 1; own: where the drive sits in the air
    Spread(MOTOR + "command_noise", 0.0004, "half"),  # of command; own: 0.4 us
    Spread(MOTOR + "axis_lean_deg", 0.2, "offset"),  # deg; own: half a millimetre in 150
    Spread(PROPELLER + "diameter_ratio", 0.0015, "share"),  # 1; own: 0.4 mm in 254
    Spread(PROPELLER + "pitch_ratio", 0.007, "share"),  # 1; own: moulded blades
    Spread(PROPELLER + "extra_unbalance_g_mm", "propeller_unbalance_g_mm", "half"),
    Spread(
        "build.pack.charge", 0.02, "offset"
    ),  # share; own: a charger stopped early, some days' rest
    Spread("build.pack.resistance_factor", 0.12, "share"),  # 1; own: packs of some months
    Spread("build.pack.capacity_factor", 0.03, "share"),  # 1; own: the same
    Spread("build.pack.weak_charge_gap", 0.008, "half"),  # share; own: 7 mV between the cells
    Spread("build.pack.weak_resistance_ratio", 0.05, "half"),  # 1; own: cells of one batch
    Spread("build.pack.weak_capacity_ratio", -0.02, "half"),  # 1; own: the same
    Spread("build.pack.temperature_degc", 1.5, "offset"),  # K; own: from a bag or a shelf
    Spread("build.leads.connector_ohm", "connector_ohm", "half"),
    Spread("build.leads.avionics_extra_a", "electronics_a", "half"),
    Spread("build.frame.mass_factor", 0.015, "share"),  # 1; own: glue, ties, another pack
    Spread("build.frame.cg_offset_m", "balance_m", "offset"),
    Spread("build.frame.strap_shift_m", "strap_m", "level"),
    Spread("build.frame.leg_lift_m", "leg_m", "half"),
    Spread("build.sensors.shake_gain", 0.12, "log"),  # 1; own: foam is cut by hand
    Spread("build.sensors.gyro_bias_deg_s", 0.3, "offset"),  # deg/s; own: consumer part
    Spread("build.sensors.gyro_moved_deg_s", 0.09, "offset"),  # deg/s; own: no bench stands still
    Spread("build.sensors.gyro_warm_deg_s", 0.08, "offset"),  # deg/s; own: a few K after the start
    Spread("build.sensors.accel_bias_m_s2", 0.03, "offset"),  # m/s2; own: left by a calibration
    Spread("build.sensors.accel_matrix", 0.003, "diagonal"),  # 1; own: the same
    Spread("build.sensors.mag_hard_iron_ut", 0.3, "offset"),  # uT; own: left by a calibration
    Spread("build.sensors.mag_soft_iron", 0.005, "symmetric"),  # 1; own: the same
    Spread("build.sensors.mag_per_amp_ut_a", "field_ut_a", "offset"),
    Spread("build.sensors.volt_scale", 0.004, "share"),  # 1; own: calibrated against a club meter
    Spread("build.sensors.amp_scale", 0.02, "share"),  # 1; own: the same
    Spread("build.radio.loss_at_range", 0.01, "half"),  # share of frames; own: one in a hundred
    Spread("build.radio.transmitter_pack_v", 0.18, "offset"),  # V; own: an evening's use or none
    Spread("setup.level_trim_roll_deg", 0.12, "offset"),  # deg; own: a bench level to 1 mm in 500
    Spread("setup.level_trim_pitch_deg", 0.12, "offset"),  # deg; own: the same
    Spread(CHANNEL + "low_us", 3.0, "whole"),  # us; own: ends set by a display
    Spread(CHANNEL + "centre_us", 2.0, "whole"),  # us; own: springs and gears of the sticks
    Spread(CHANNEL + "high_us", 3.0, "whole"),  # us; own: ends set by a display
    *(
        Spread(f"setup.transmitter.{stick}.trim_us", 4.0, "whole")  # us; own: a click or two
        for stick in ("roll", "pitch", "yaw")
    ),
    Spread("site.temperature_degc", 1.0, "offset"),  # K; own: a shut garage
    Spread("site.wind_north_m_s", 0.04, "offset"),  # m/s; own: the air of a shut garage
    Spread("site.wind_east_m_s", 0.04, "offset"),  # m/s; own: the same
    Spread("site.gust_m_s", 0.03, "half"),  # m/s; own: the same
    Spread("site.pad_steel", 0.02, "half"),  # of a plate; own: the mesh in the concrete
)
FULL = {"build.pack.charge": 1.0}  # share; definition: no charger puts in more


@cache
def spreads() -> tuple[Spread, ...]:
    """Return the spreads of sound aircraft, spelled out, in the order they are drawn."""
    return spelled_out(SPREADS)


def spelled_out(some: tuple[Spread, ...]) -> tuple[Spread, ...]:
    """Return spreads with each place and channel spelled out."""
    return tuple(
        spread._replace(key=key)
        for spread in some
        for key in dict.fromkeys(
            spread.key.format(place=place, channel=channel)
            for place in PLACES
            for channel in CHANNELS
        )
    )


def _symmetric(draw: NDArray[np.float64]) -> NDArray[np.float64]:
    full: NDArray[np.float64] = np.triu(draw) + np.triu(draw, 1).T
    return full


_MOVED: dict[Kind, Callable[[Any, Any], Any]] = {
    "share": lambda value, draw: value * (1.0 + draw),
    "log": lambda value, draw: value * np.exp(draw),
    "offset": lambda value, draw: value + draw,
    "half": lambda value, draw: value + draw,
    "level": lambda value, draw: value + draw * (1.0, 1.0, 0.0),
    "whole": lambda value, draw: value + np.round(draw),
    "diagonal": lambda value, draw: value + np.diag(np.diag(draw)),
    "symmetric": lambda value, draw: value + _symmetric(draw),
}


def _plain(value: NDArray[np.float64]) -> Any:
    """Return a number, or tuples of numbers as the files have them."""
    listed = value.tolist()
    if value.ndim == 2:
        return tuple(tuple(row) for row in listed)
    return tuple(listed) if value.ndim else listed


def drawn(spread: Spread, world: World, rng: np.random.Generator) -> Any:
    """Return the value of a world at a spread's key, moved by the spread."""
    there = np.asarray(value_at(world, spread.key), dtype=np.float64)
    draw = rng.standard_normal(there.shape)
    draw = spread.sized(world.airframe) * (np.abs(draw) if spread.kind == "half" else draw)
    moved = np.asarray(_MOVED[spread.kind](there, draw))
    return _plain(np.minimum(moved, FULL.get(spread.key, np.inf)))


def _lies(key: str, below: str) -> bool:
    return not below or f"{key}.".startswith(f"{below}.")


def scattered(world: World, rng: np.random.Generator, below: str = "") -> World:
    """Return a sound world with each value of the table moved by its own draw.

    Parameters
    ----------
    below : dotted key; only values there are moved. Each value has its draw all the same, so that
        one generator gives a part the same scatter whatever else is moved with it.
    """
    moved = {s.key: drawn(s, world, rng) for s in spreads()}
    return with_values(world, {key: new for key, new in moved.items() if _lies(key, below)})


def renewed(world: World, values: Mapping[str, Any], rng: np.random.Generator) -> World:
    """Return the world with these values, by dotted key, as good work leaves them: scattered."""
    world = with_values(world, values)
    for key in values:
        world = scattered(world, rng, key)
    return world
