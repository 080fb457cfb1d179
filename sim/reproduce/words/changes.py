"""What was changed since the last good flight, and which faults that makes likelier.

A fault is concerned by a change if one of the fixes that put it right handles the same thing.
"""

from functools import cache
from typing import Literal

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId

NOTHING = "nothing"
Change = Literal[
    "propellers", "motor", "board", "transmitter", "pack", "layout", "software", "nothing"
]

SAID: dict[str, str] = {
    "propellers": "propellers",
    "motor": "a motor, its leads or its drive",
    "board": "the controller board, or what it is fitted on",
    "transmitter": "the transmitter, its pack or its settings",
    "pack": "the pack or its connector",
    "layout": "where things lie: pack, leads, compass, legs",
    "software": "settings or software of the controller",
    NOTHING: "nothing",
}
RAISED = 5.0  # 1; own: most of what goes wrong after work was done is in what was worked on
HANDLED: dict[str, tuple[str, ...]] = {
    "propellers": ("swap:propeller-",),
    "motor": ("swap:motor-", "swap:phase-leads-", "swap:signal-lead-", "swap:wire-tie-", "calibrate:drives"),
    "board": ("swap:sensor-mount", "swap:barometer-cover", "swap:regulator", "setup.controller.board_",
              "setup.controller.compass_turn", "calibrate:faces", "calibrate:level", "calibrate:compass",
              "calibrate:voltage"),
    "transmitter": ("setup.transmitter.", "setup.inputs.", "swap:transmitter-pack", "swap:aerial",
                    "calibrate:sticks"),
    "pack": ("swap:pack", "swap:connector", "prepare:warm-pack", "prepare:watch-charge",
             "setup.controller.alarm_cells"),
    "layout": ("swap:ballast", "swap:pack-place", "swap:legs", "swap:frame-screws", "swap:compass-lead",
               "swap:lead-polarity", "calibrate:compass", "setup.controller.layout"),
    "software": ("setup.controller.", "setup.inputs."),
    "nothing": (),
}  # fmt: skip
"""What each change has hands on, by the beginnings of the keys of fixes."""


@cache
def concerned(change: str) -> frozenset[FaultId]:
    """Return the faults that a change makes likelier."""
    return frozenset(
        name
        for name, fault in CATALOGUE.items()
        if any(key.startswith(start) for key in fault.fixes for start in HANDLED[change])
    )
