"""The aircraft as put together: pack in use, sensor errors, propellers."""

from typing import Annotated

from pydantic import Field

from sim.aircraft.fields import NO_OFFSET, UNIT, Matrix, Positive, Share, Strict, Vector


class PackSpec(Strict):
    """A kind of pack, new, at 20 degC; resistances per cell."""

    name: str
    about: str
    cells: Annotated[int, Field(ge=2, le=6)]
    capacity_ah: Positive
    r0_ohm: Positive
    r1_ohm: Positive
    tau1_s: Positive
    r2_ohm: Positive
    tau2_s: Positive
    lead_ohm: Positive


class Pack(Strict):
    """One pack in the hand: how charged, how worn."""

    charge: Share = 0.97
    resistance_factor: Positive = 1.0
    capacity_factor: Positive = 1.0
    weak_capacity_ratio: Positive = 1.0
    weak_resistance_ratio: Positive = 1.0
    temperature_degc: float = 20.0


class SensorBuild(Strict):
    """Sensor errors as fitted; field distortions in the compass's body axes."""

    gyro_bias_deg_s: Vector = NO_OFFSET
    accel_bias_m_s2: Vector = NO_OFFSET
    accel_matrix: Matrix = UNIT
    mag_hard_iron_ut: Vector = NO_OFFSET
    mag_soft_iron: Matrix = UNIT
    mag_per_amp_ut_a: Vector = NO_OFFSET
    volt_scale: Positive = 1.0
    amp_scale: Positive = 1.0


class Build(Strict):
    """Deviations of this aircraft from its design."""

    pack: Pack = Pack()
    sensors: SensorBuild = SensorBuild()
    cg_offset_m: Vector = NO_OFFSET
