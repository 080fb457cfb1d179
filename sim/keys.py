"""What the entries of the registries are called, as types; every layer may use them.

Written by `python tools/write_keys.py` from the registries: add an entry there, then run it.
"""

from typing import Literal

CheckKey = Literal[
    "board-touch",
    "breath-and-torch",
    "compass-ramp",
    "failsafe",
    "field-turn",
    "first-power",
    "hand-tilt",
    "heading-marks",
    "idle-creep",
    "level-and-still",
    "light-on-legs",
    "look-and-tug",
    "one-motor",
    "pack-at-rest",
    "pad-look",
    "pad-survey",
    "people-and-room",
    "propellers",
    "propellers-in-hand",
    "rails",
    "ramp-and-snap",
    "range-walk",
    "restrained-run-up",
    "settings-sheet",
    "six-faces",
    "steady-throttle",
    "stick-display",
    "stick-to-motor",
    "switches",
    "tilt-while-armed",
    "touch-after",
    "voltage-and-alarm",
    "warm-creep",
    "weigh-and-balance",
]
"""A check of `sim.bench.checklist`; once done, the fact of the same name."""
