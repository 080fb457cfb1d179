"""Units of recordings: how a number of each becomes ours, (number - zero) times factor."""

from typing import NamedTuple

from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.reproduce.channels import Kind
from sim.units import RAD_PER_DEG, RAD_S_PER_RPM, S_PER_MS


class Unit(NamedTuple):
    """Turns a number into ours: (number - zero) * factor."""

    zero: float
    factor: float

    @property
    def exact(self) -> bool:
        """Whether numbers stay as they are."""
        return self == OURS


OURS = Unit(0.0, 1.0)


def one_sided(low: float, high: float) -> Unit:
    """Return the unit of what runs from 0 at `low` to 1 at `high`."""
    return Unit(low, 1.0 / (high - low))


def two_sided(low: float, high: float) -> Unit:
    """Return the unit of what runs from -1 at `low` to 1 at `high`."""
    return Unit(0.5 * (low + high), 2.0 / (high - low))


# definitions all; us of a stick or a motor: the usual radio pulse, 1000 to 2000
UNITS: dict[Kind, dict[str, Unit]] = {
    "time": {
        "s": OURS,
        "ms": Unit(0.0, S_PER_MS),
        "us": Unit(0.0, 1e-6),
        "ns": Unit(0.0, 1e-9),
    },
    "stick": {
        "share": OURS,
        "percent": two_sided(-100.0, 100.0),
        "percent_of_travel": two_sided(0.0, 100.0),
        "us": two_sided(1000.0, 2000.0),
    },
    "throttle": {
        "share": OURS,
        "share_about_middle": one_sided(-1.0, 1.0),
        "percent": one_sided(0.0, 100.0),
        "percent_about_middle": one_sided(-100.0, 100.0),
        "us": one_sided(1000.0, 2000.0),
    },
    "drive": {
        "share": OURS,
        "percent": one_sided(0.0, 100.0),
        "us": one_sided(1000.0, 2000.0),
    },
    "angle": {"rad": OURS, "deg": Unit(0.0, RAD_PER_DEG)},
    "rate": {"rad_s": OURS, "deg_s": Unit(0.0, RAD_PER_DEG)},
    "position": {"m": OURS, "cm": Unit(0.0, 0.01), "mm": Unit(0.0, 0.001)},
    "speed": {"rad_s": OURS, "rpm": Unit(0.0, RAD_S_PER_RPM)},
    "volt": {"v": OURS, "dv": Unit(0.0, 0.1), "cv": Unit(0.0, 0.01), "mv": Unit(0.0, 0.001)},
    "amp": {"a": OURS, "da": Unit(0.0, 0.1), "ca": Unit(0.0, 0.01), "ma": Unit(0.0, 0.001)},
    "accel": {
        "m_s2": OURS,
        "cm_s2": Unit(0.0, 0.01),
        "g": Unit(0.0, STANDARD_GRAVITY_M_S2),
        "mg": Unit(0.0, 0.001 * STANDARD_GRAVITY_M_S2),
    },
    "field": {
        "ut": OURS,
        "nt": Unit(0.0, 0.001),
        "gauss": Unit(0.0, 100.0),
        "mgauss": Unit(0.0, 0.1),
    },
    "armed": {"flag": OURS},
}


def our_unit(kind: Kind) -> str:
    """Return the unit in which our own columns hold numbers of a kind."""
    return next(name for name, unit in UNITS[kind].items() if unit.exact)


# how units are written in headers, letters and digits alone
SPELT: dict[str, str] = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("ms", "msec", "millis", "millisecond", "milliseconds"), "ms"),
    **dict.fromkeys(("us", "usec", "micros", "microsecond", "microseconds"), "us"),
    **dict.fromkeys(("ns", "nsec", "nanos", "nanosecond", "nanoseconds"), "ns"),
    **dict.fromkeys(("rad", "radian", "radians"), "rad"),
    **dict.fromkeys(("deg", "degree", "degrees"), "deg"),
    **dict.fromkeys(("rads", "rad s", "rad sec", "rad per s", "radians per second"), "rad_s"),
    **dict.fromkeys(("dps", "degs", "deg s", "deg sec", "deg per s", "degrees per second"), "deg_s"),
    **dict.fromkeys(("percent", "pct", "perc"), "percent"),
    **dict.fromkeys(("share", "ratio", "norm", "normalised", "normalized", "unit"), "share"),
    **dict.fromkeys(("v", "volt", "volts"), "v"),
    **dict.fromkeys(("mv", "m v", "millivolt", "millivolts"), "mv"),
    **dict.fromkeys(("a", "amp", "amps", "ampere", "amperes"), "a"),
    **dict.fromkeys(("ma", "m a", "milliamp", "milliamps"), "ma"),
    **dict.fromkeys(("m s2", "m s 2", "ms2", "mss", "m per s2"), "m_s2"),
    **dict.fromkeys(("cm s2", "cm s 2", "cmss"), "cm_s2"),
    **dict.fromkeys(("g", "gee"), "g"),
    "mg": "mg",
    **dict.fromkeys(("ut", "microtesla"), "ut"),
    **dict.fromkeys(("nt", "nanotesla"), "nt"),
    **dict.fromkeys(("gauss", "gs"), "gauss"),
    **dict.fromkeys(("mgauss", "milligauss"), "mgauss"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    "cm": "cm",
    "mm": "mm",
    "rpm": "rpm",
}  # fmt: skip


def stated(words: str, kind: Kind) -> str | None:
    """Return the unit of a kind that some words spell out, if they do."""
    spelt = SPELT.get(words)
    if kind in ("rate", "speed") and spelt in ("rad", "deg"):
        spelt = f"{spelt}_s"  # a rate called by its angle's unit
    return spelt if spelt in UNITS[kind] else None
