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
    by: str = ""  # how the measurement becomes the value
    by_source: str = ""


SWING = (
    "Propellers off, pack strapped in but unplugged: hang the aircraft by two equal strings, the same "
    "distance either side of the balance point, with the axis upright; twist it a few degrees, time "
    "ten swings and divide by ten."
)
SHAPES = "scaling of alike shapes; the constant is own"
BOOKS = "mechanics books"
MODEL = "flight model of this program"
_SWUNG = "m g d^2 T^2/(16 pi^2 l)", "bifilar pendulum; Jardin and Mueller, AIAA 2007-6822"
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
        "moment of inertia of a motor's bell", "g mm2", 1e9, "a ring of 55 % of the motor's mass: m r^2", BOOKS,
        "No simple way; motor mass and diameter make it better.",
    ),
    "resistance_ohm": Formula(
        "resistance of a motor with its drive", "ohm", 1.0, "Kt^2/(0.118 m^(5/3)), Kt = 1/Kv, m its mass, all SI",
        f"{SHAPES}, within a factor of 1.5",
        "Unplugged: a meter made for milliohms between two of the three leads, and 0.005 to 0.01 ohm for "
        "the drive.",
        "R between two leads + R of the drive", "current flows through two leads at a time; trade experience",
    ),
    "no_load_a": Formula(
        "current of a motor with nothing to drive", "A", 1.0, "0.094 N m/kg x m/Kt, m its mass",
        f"{SHAPES}, within a factor of 2",
        "Propellers off, aircraft held fast, fingers away: the pack's current with all four at half "
        "throttle, and at rest; take half the difference.",
        "(I_half - I_rest)/(4 x 1/2)", "a drive at half throttle takes half the motor's current; converter theory",
    ),
    "propeller_mass_kg": Formula(
        "mass of a propeller", "g", 1e3, "0.307 kg/m^2.5 x D^2.5", f"{SHAPES}, within a factor of 1.5",
        "Weigh all four together.", "sum/4", "mean of four",
    ),
    "propeller_inertia_kg_m2": Formula(
        "moment of inertia of a propeller", "g mm2", 1e9, "m D^2/19", "own: between a rod, 1/12, and a blade, 1/20",
        "No simple way; its weight makes it better.",
    ),
    "cell_ohm": Formula(
        "resistance of a cell", "ohm", 1.0, "0.0099 ohm Ah/capacity", f"{SHAPES}: used, of a high rate",
        "Many chargers show it, cell by cell; take the largest.",
    ),
    "lead_ohm": Formula(
        "resistance of leads and plugs", "ohm", 1.0, "0.0089 ohm Ah^0.5/sqrt(capacity)", SHAPES,
        "No simple way.",
    ),
    "roll_inertia_kg_m2": Formula("moment of inertia about roll", "g m2", 1e3, _INERTIA, BOOKS, SWING, *_SWUNG),
    "pitch_inertia_kg_m2": Formula("moment of inertia about pitch", "g m2", 1e3, _INERTIA, BOOKS, SWING, *_SWUNG),
    "yaw_inertia_kg_m2": Formula("moment of inertia about yaw", "g m2", 1e3, _INERTIA, BOOKS, SWING, *_SWUNG),
    "hover_throttle": Formula(
        "throttle in hover", "of full", 1.0, "speed whose thrust is a quarter of the weight each; its voltage "
        "over the pack's", MODEL,
        "From the log of a hover flown by somebody who is allowed to; never found by trying alone.",
    ),
    "hover_current_a": Formula(
        "current in hover", "A", 1.0, "four times I0 + Q Kv, times the duty, and what the electronics take", MODEL,
        "From the same log, or what a charger puts back over the time flown.",
        "charge put back/time flown", "definition",
    ),
}  # fmt: skip
