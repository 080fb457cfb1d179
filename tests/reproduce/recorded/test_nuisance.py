"""What sound aircraft differ by is what is fitted to them: none of it may be taken for a fault."""

import pytest

from sim.aircraft.fields import PLACES
from sim.aircraft.scatter import spreads
from sim.reproduce.recorded.nuisance import COLUMN_OF, NUISANCES, changes

CHANCE = "chance, which no fit takes up"
STANDS_FOR = {
    "build.frame.strap_shift_m": "balance forward",
    "build.leads.avionics_extra_a": "amps",
    "build.leads.connector_ohm": "pack",
    "build.pack.capacity_factor": "charge",
    "build.pack.temperature_degc": "pack",
    "build.pack.weak_capacity_ratio": "charge",
    "build.pack.weak_charge_gap": "charge",
    "build.pack.weak_resistance_ratio": "pack",
    "build.radio.loss_at_range": CHANCE,
    "build.radio.transmitter_pack_v": CHANCE,
    "build.sensors.gyro_warm_deg_s": "gyro start forward",
    "site.gust_m_s": CHANCE,
    "site.temperature_degc": "thrust",
    **{f"setup.transmitter.{axis}.{end}_us": f"stick {axis}" for axis in ("roll", "pitch", "yaw") for end in ("low", "centre", "high")},
    **{f"setup.transmitter.throttle.{end}_us": "throttle" for end in ("low", "centre", "high")},
    **{f"build.rotors.{place}.motor.{key}": f"{column} {place}" for place in PLACES for key, column in (
        ("bell_unbalance_g_mm", "shake"), ("friction_n_m", "magnets"), ("no_load_factor", "magnets"),
        ("start_extra", "drive"), ("cooling_factor", "drive"),
    )},
    **{f"build.rotors.{place}.motor.command_noise": CHANCE for place in PLACES},
    **{f"build.rotors.{place}.propeller.diameter_ratio": f"blades {place}" for place in PLACES},
}  # fmt: skip
"""Spreads without a column of their own: the column that takes up what they do."""


@pytest.mark.parametrize("spread", spreads(), ids=lambda spread: spread.key)
def test_whatever_scatters_among_sound_aircraft_is_fitted(spread):
    own = {key for nuisance in NUISANCES for key in nuisance.keys}
    if spread.key in own:
        assert spread.key not in STANDS_FOR
    else:
        assert STANDS_FOR[spread.key] in (CHANCE, *COLUMN_OF)


def test_the_steel_under_any_floor_is_fitted_by_more_than_it_scatters(sound):
    """Half-normal, so its rms is its size."""
    (mesh,) = (spread for spread in spreads() if spread.key == "site.pad_steel")
    steel = NUISANCES[COLUMN_OF["steel"]]
    assert 1.0 <= steel.sigma / float(mesh.size) <= 2.0  # own: other rooms have somewhat more
    assert changes(sound, steel, 1.0) == {"site.pad_steel": pytest.approx(steel.sigma)}
