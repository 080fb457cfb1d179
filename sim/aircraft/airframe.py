"""The aircraft as designed, and its build sheet: what a correct build reads."""

from math import dist, hypot
from typing import Annotated, Literal

from pydantic import Field, model_validator

from sim.aircraft.build import PackSpec
from sim.aircraft.fields import PLACES, Line, NotNegative, Place, Positive, Share, Strict, Text
from sim.aircraft.setup import ControllerSetup
from sim.kernel.surroundings import BODY_REACH_M

SIDES: dict[Place, tuple[int, int]] = {
    "front_left": (1, -1),  # 1; definition: which way forward and right count
    "front_right": (1, 1),  # 1; definition
    "rear_right": (-1, 1),  # 1; definition
    "rear_left": (-1, -1),  # 1; definition
}
OFF_MIDDLE = 0.01  # of the longest arm; own: what a pack is shifted by to balance it
DIAGONALS = (frozenset(PLACES[0::2]), frozenset(PLACES[1::2]))


class Motor(Strict):
    """Motor and drive, DC-equivalent constants."""

    kv_rpm_v: Positive
    resistance_ohm: Positive
    no_load_a: NotNegative
    bell_inertia_kg_m2: Positive
    start_command: Share
    drive_heat_resistance_k_w: Positive
    drive_heat_capacity_j_k: Positive
    drive_limit_degc: float


class Propeller(Strict):
    """Propeller: which measured table, its diameter, inertia and the unbalance left in it."""

    table: Line
    diameter_m: Positive
    inertia_kg_m2: Positive
    unbalance_g_mm: NotNegative


class Layout(Strict):
    """Where the four rotors stand seen from above: forward and right of the centre of gravity, m.

    Arms may be wide, narrow or uneven, but the middle of the four is the centre of gravity: hovering
    level, all four lift alike.
    """

    front_left: tuple[float, float]
    front_right: tuple[float, float]
    rear_right: tuple[float, float]
    rear_left: tuple[float, float]

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """The four positions in the order of places."""
        return self.front_left, self.front_right, self.rear_right, self.rear_left

    @property
    def longest_m(self) -> float:
        """The longest arm."""
        return max(hypot(*point) for point in self.points)

    @property
    def spacing_m(self) -> float:
        """Mean distance between neighbouring rotors."""
        a, b, c, d = self.points
        return (dist(a, b) + dist(b, c) + dist(c, d) + dist(d, a)) / 4.0

    @property
    def closest_m(self) -> float:
        """Smallest distance between two rotors."""
        a, b, c, d = self.points
        return min(dist(*pair) for pair in ((a, b), (b, c), (c, d), (d, a), (a, c), (b, d)))

    @model_validator(mode="after")
    def _in_its_corner(self) -> "Layout":
        for place, point in zip(PLACES, self.points, strict=True):
            if any(x * side <= 0.0 for x, side in zip(point, SIDES[place], strict=True)):
                ways = ["forward" if SIDES[place][0] > 0 else "back"]
                ways.append("right" if SIDES[place][1] > 0 else "left")
                raise ValueError(
                    f"{place} must lie {' and '.join(ways)} of the centre (forward and right count)"
                )
        return self

    @model_validator(mode="after")
    def _balanced(self) -> "Layout":
        forward, right = (sum(axis) / 4.0 for axis in zip(*self.points, strict=True))
        if hypot(forward, right) > OFF_MIDDLE * self.longest_m:
            raise ValueError(
                "the middle of the four rotors must be the centre of gravity: "
                f"take {forward:+.4f} m off all forward and {right:+.4f} m off all right numbers"
            )
        return self


class Frame(Strict):
    """Where rotors, feet and compass are, from the centre of gravity: forward, right, up, m."""

    rotors_m: Layout
    rotor_up_m: float
    foot_forward_m: Positive
    foot_right_m: Positive
    foot_down_m: Positive
    compass_forward_m: float
    compass_up_m: float
    lateral_drag_n_s2_m: NotNegative  # N per (m/s) and (rad/s), of each rotor
    frame_drag_n_s2_m2: NotNegative


class Electronics(Strict):
    """What controller, receiver and their regulator need of the pack."""

    current_a: NotNegative
    least_supply_v: Positive  # of the pack, below which the regulator's output falls


class Scatter(Strict):
    """How far parts of a sound build of this size differ, standard deviations.

    Only sizes that go with the aircraft's; all others are in `sim/aircraft/scatter.py`.
    """

    friction_n_m: NotNegative
    bell_unbalance_g_mm: NotNegative
    propeller_unbalance_g_mm: NotNegative
    connector_ohm: NotNegative
    electronics_a: NotNegative
    balance_m: NotNegative
    strap_m: NotNegative
    leg_m: NotNegative
    field_ut_a: NotNegative


class Legs(Strict):
    """Compliance and grip of one leg."""

    stiffness_n_m: Positive
    damping_n_s_m: NotNegative
    grip_stiffness_n_m: Positive
    grip_damping_n_s_m: NotNegative
    friction: Positive


class Instruments(Strict):
    """Noise of the instruments, standard deviation per sample."""

    gyro_noise_rad_s: NotNegative
    gyro_walk_rad_s2: NotNegative
    accel_noise_m_s2: NotNegative
    accel_clip_m_s2: Positive
    mag_noise_ut: NotNegative
    baro_noise_m: NotNegative
    baro_wash_m_n: float
    volt_noise_v: NotNegative


class Link(Strict):
    """Radio link timing."""

    frame_ms: Annotated[int, Field(ge=4, le=40)]
    latency_ms: Annotated[int, Field(ge=1, le=40)]
    timeout_ms: Positive
    jitter_us: NotNegative


class BuildSheet(Strict):
    """Readings of a correct build with a charged pack; tolerances are those of the drill's cards."""

    hover_throttle: Share
    hover_current_a: Positive
    roughness_share: Positive
    loaded_drop_v_cell: Positive
    ringing_share: Positive
    setup: ControllerSetup


class Airframe(Strict):
    """A small quadrotor design."""

    name: Line
    about: Text
    mass_kg: Positive
    roll_inertia_kg_m2: Positive
    pitch_inertia_kg_m2: Positive
    yaw_inertia_kg_m2: Positive
    clockwise: tuple[Place, Place]
    cells: Annotated[int, Field(ge=1, le=6)]
    pack: Line | PackSpec  # a shipped kind by name, or its own
    propeller: Propeller
    motor: Motor
    frame: Frame
    legs: Legs
    electronics: Electronics
    instruments: Instruments
    link: Link
    scatter: Scatter
    sheet: BuildSheet
    origin: Literal["invented", "described"]

    @model_validator(mode="after")
    def _fed(self) -> "Airframe":
        if isinstance(self.pack, PackSpec) and self.pack.cells != self.cells:
            raise ValueError("cells must be those of the pack")
        return self

    @model_validator(mode="after")
    def _turning_against_each_other(self) -> "Airframe":
        if frozenset(self.clockwise) not in DIAGONALS:
            raise ValueError("clockwise must name two places across a diagonal")
        return self

    @model_validator(mode="after")
    def _with_room(self) -> "Airframe":
        if self.frame.rotors_m.closest_m <= self.propeller.diameter_m:
            raise ValueError("frame.rotors_m must keep rotors further apart than their diameter_m")
        f = self.frame
        hub = hypot(f.rotors_m.longest_m, f.rotor_up_m)
        if max(hub, hypot(f.foot_forward_m, f.foot_right_m, f.foot_down_m)) >= BODY_REACH_M:
            raise ValueError(f"rotors and feet must lie within {BODY_REACH_M} m of the centre")
        return self
