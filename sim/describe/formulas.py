"""What each estimate is, by which formula, from which source, and how to measure it instead."""

from typing import NamedTuple


class Formula(NamedTuple):
    """How one value is estimated; factor : from SI to the unit shown."""

    what: str
    unit: str
    factor: float
    formula: str
    source: str
    measure: str


SWING = (
    "Propellers off, pack strapped in but unplugged: hang the aircraft by two equal strings, the same "
    "distance either side of the balance point, with the axis upright; twist it a few degrees, time "
    "ten swings and divide by ten."
)
SHAPES = "scaling of alike shapes; the constant is own"
BOOKS = "mechanics books"
MODEL = "flight model of this program"
_INERTIA = "motors as points, arms as rods, pack and middle as boxes: sum of own + m d^2"

FORMULAS: dict[str, Formula] = {
    "motor_mass_kg": Formula(
        "mass of one motor", "g", 1e3, "3.8 % of the whole", "own: 3 to 5 % are common",
        "Weigh one motor with its leads.",
    ),
    "bell_diameter_m": Formula(
        "diameter of a motor", "mm", 1e3, "74 mm x (mass in kg)^(1/3)", f"{SHAPES}, within a fifth",
        "Measure across the bell with callipers.",
    ),
    "bell_inertia_kg_m2": Formula(
        "moment of a bell", "g mm2", 1e9, "a ring of 55 % of the motor's mass: m r^2", BOOKS,
        "No simple way; motor mass and diameter make it better.",
    ),
    "resistance_ohm": Formula(
        "resistance of a motor with its drive", "mohm", 1e3, "Kt^2/(0.118 m^(5/3)), Kt = 1/Kv",
        f"{SHAPES}, within a factor of 1.5",
        "Unplugged: a meter made for milliohms between two of the three leads, and 5 to 10 mohm for "
        "the drive.",
    ),
    "no_load_a": Formula(
        "current of a motor with nothing to drive", "A", 1.0, "0.094 N m/kg x m/Kt",
        f"{SHAPES}, within a factor of 2",
        "Propellers off, aircraft held fast, fingers away: the current at half throttle less that at "
        "rest, over four.",
    ),
    "propeller_mass_kg": Formula(
        "mass of a propeller", "g", 1e3, "0.307 kg/m^2.5 x D^2.5", f"{SHAPES}, within a factor of 1.5",
        "Weigh all four and divide.",
    ),
    "propeller_inertia_kg_m2": Formula(
        "moment of a propeller", "g mm2", 1e9, "m D^2/19", "own: between a rod, 1/12, and a blade, 1/20",
        "Weigh the propeller: its mass counts most.",
    ),
    "cell_ohm": Formula(
        "resistance of a cell", "mohm", 1e3, "9.9 mohm Ah/capacity", f"{SHAPES}: used, of a high rate",
        "Many chargers show it, cell by cell; take the largest.",
    ),
    "lead_ohm": Formula(
        "resistance of leads and plugs", "mohm", 1e3, "8.9 mohm Ah^0.5/sqrt(capacity)", SHAPES,
        "No simple way.",
    ),
    "roll_inertia_kg_m2": Formula("moment about roll", "g m2", 1e3, _INERTIA, BOOKS, SWING),
    "pitch_inertia_kg_m2": Formula("moment about pitch", "g m2", 1e3, _INERTIA, BOOKS, SWING),
    "yaw_inertia_kg_m2": Formula("moment about yaw", "g m2", 1e3, _INERTIA, BOOKS, SWING),
    "hover_throttle": Formula(
        "throttle in hover", "%", 1e2, "speed whose thrust is a quarter of the weight each; its voltage "
        "over the pack's", MODEL,
        "From the log of a hover flown by somebody who is allowed to; never found by trying alone.",
    ),
    "hover_current_a": Formula(
        "current in hover", "A", 1.0, "four times I0 + Q Kv, over duty, and the electronics", MODEL,
        "From the same log, or what a charger puts back over the minutes flown.",
    ),
}  # fmt: skip
MEASURED = "m g d^2 T^2/(16 pi^2 l)"  # a swing on two strings
SWING_SOURCE = "bifilar pendulum; Jardin and Mueller, AIAA 2007-6822"
