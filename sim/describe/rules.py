"""What follows from the answers without a flight: each estimate, and the measurement that goes before it."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, cast

from sim.aircraft.estimates import inertia, parts
from sim.describe.answers import Answers
from sim.units import KG_PER_G, M_PER_IN, M_PER_MM

ARMS_SHARE = 0.35  # of what is neither motors nor pack; own: the rest sits in the middle
MIDDLE_ARM = 0.9  # of the mean arm; own: length and width of what sits in the middle
MIDDLE_FLAT = 0.25  # of that length; own: its height


class Estimate(NamedTuple):
    """One value that was worked out, and whether it was measured instead."""

    key: str
    value: float
    measured: bool


class Rule(NamedTuple):
    """How one value is estimated, and what was measured of it, or None; both SI."""

    estimate: Callable[[Answers], float]
    measured: Callable[[Answers], float | None]


def layout(a: Answers) -> dict[str, tuple[float, float]]:
    """Return the rotors' places, m, the centre of gravity half-way between front and rear."""
    half = 0.5 * a.frame.length_mm * M_PER_MM
    front, rear = (0.5 * w * M_PER_MM for w in (a.frame.front_width_mm, a.frame.rear_width_mm))
    return {
        "front_left": (half, -front),
        "front_right": (half, front),
        "rear_right": (-half, rear),
        "rear_left": (-half, -rear),
    }


def parts_of(a: Answers, motor_kg: float, propeller_kg: float) -> list[inertia.Part]:
    """Return the aircraft as motors, arms, pack and what sits in the middle."""
    up = a.frame.rotors_above_mm * M_PER_MM
    ends = [(x, y, up) for x, y in layout(a).values()]
    corner, pack = motor_kg + propeller_kg, a.pack.mass_g * KG_PER_G
    rest = max(0.0, a.mass_g * KG_PER_G - pack - 4.0 * corner)
    side = MIDDLE_ARM * sum((x * x + y * y) ** 0.5 for x, y, _ in ends) / 4.0
    long, wide, high = (x * M_PER_MM for x in a.pack.size_mm)
    return [
        *(inertia.Part(corner, end) for end in ends),
        *(inertia.rod(ARMS_SHARE * rest / 4.0, end) for end in ends),
        inertia.box(pack, (0.0, 0.0, a.pack.above_mm * M_PER_MM), (long, wide, high)),
        inertia.box((1.0 - ARMS_SHARE) * rest, (0.0, 0.0, 0.0), (side, side, MIDDLE_FLAT * side)),
    ]


def _scaled(factor: float, measured: float | None) -> float | None:
    return None if measured is None else factor * measured


def _moment(axis: str) -> Rule:
    """Return the rule of one moment of inertia: of parts, or of a swing on two strings."""

    def estimate(a: Answers) -> float:
        found = parts_of(a, value(a, "motor_mass_kg"), value(a, "propeller_mass_kg"))
        return float(getattr(inertia.of_parts(found), axis))

    def measured(a: Answers) -> float | None:
        if a.swing is None:
            return None
        apart, length = a.swing.strings_apart_mm * M_PER_MM, a.swing.length_mm * M_PER_MM
        return inertia.of_swing(
            a.mass_g * KG_PER_G, apart, length, getattr(a.swing, f"{axis}_s")
        )  # fmt: skip

    return Rule(estimate, measured)


def _never(a: Answers) -> None:
    return None


def _across_m(a: Answers) -> float:
    return a.propeller.diameter_in * M_PER_IN


RULES: dict[str, Rule] = {
    "motor_mass_kg": Rule(
        lambda a: parts.motor_mass_kg(a.mass_g * KG_PER_G),
        lambda a: _scaled(KG_PER_G, a.motor.mass_g),
    ),
    "bell_diameter_m": Rule(
        lambda a: parts.bell_diameter_m(value(a, "motor_mass_kg")),
        lambda a: _scaled(M_PER_MM, a.motor.diameter_mm),
    ),
    "resistance_ohm": Rule(
        lambda a: parts.motor_resistance_ohm(a.motor.kv_rpm_v, value(a, "motor_mass_kg")),
        lambda a: a.motor.resistance_ohm,
    ),
    "no_load_a": Rule(
        lambda a: parts.no_load_current_a(a.motor.kv_rpm_v, value(a, "motor_mass_kg")),
        lambda a: a.motor.no_load_a,
    ),
    "bell_inertia_kg_m2": Rule(
        lambda a: parts.bell_inertia_kg_m2(value(a, "motor_mass_kg"), value(a, "bell_diameter_m")),
        _never,
    ),
    "propeller_mass_kg": Rule(
        lambda a: parts.propeller_mass_kg(_across_m(a)),
        lambda a: _scaled(KG_PER_G, a.propeller.mass_g),
    ),
    "propeller_inertia_kg_m2": Rule(
        lambda a: parts.propeller_inertia_kg_m2(value(a, "propeller_mass_kg"), _across_m(a)), _never
    ),
    "cell_ohm": Rule(
        lambda a: parts.cell_resistance_ohm(a.pack.capacity_ah), lambda a: a.pack.cell_ohm
    ),
    "lead_ohm": Rule(lambda a: parts.lead_resistance_ohm(a.pack.capacity_ah), _never),
    **{f"{axis}_inertia_kg_m2": _moment(axis) for axis in ("roll", "pitch", "yaw")},
}
OF_THE_PACK = ("cell_ohm", "lead_ohm")  # a shipped kind of pack has its own


def estimate(a: Answers, key: str) -> Estimate:
    """Return one estimate; a measurement goes before it."""
    rule = RULES[key]
    found = rule.measured(a)
    return Estimate(key, float(rule.estimate(a) if found is None else found), found is not None)


def value(a: Answers, key: str) -> float:
    """Return the value of one estimate, SI."""
    return estimate(a, key).value


def estimates(a: Answers) -> tuple[Estimate, ...]:
    """Return every estimate of these answers."""
    none = OF_THE_PACK if a.kind_of_pack is not None else ()
    return tuple(estimate(a, key) for key in RULES if key not in none)


class Missing(AttributeError):
    """An answer that is not there yet was asked for."""


class _SoFar:
    """Answers as far as they go; asked for one that is not there, they raise `Missing`."""

    def __init__(self, given: Mapping[str, Any]) -> None:
        self._given = given

    def __getattr__(self, name: str) -> Any:
        try:
            found = self._given[name]
        except KeyError:
            raise Missing(name) from None
        return _SoFar(found) if isinstance(found, Mapping) else found


def so_far(given: Mapping[str, Any]) -> dict[str, Estimate]:
    """Return, by key, the estimates that follow from answers which need not be complete.

    given : data of `Answers`, each value good by itself; what is missing is left out.
    """
    answers = cast(Answers, _SoFar({"swing": None, "kind_of_pack": None, **given}))
    found = {}
    for key in RULES:
        try:
            found[key] = estimate(answers, key)
        except Missing:
            continue
    return found
