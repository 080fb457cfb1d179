"""What the controller itself says it was told and taught."""

from sim.aircraft.setup import Unset
from sim.bench.check import Check, Line
from sim.bench.interlocks import UNSET
from sim.bench.reading import Reading
from sim.bench.rig import Rig

LINES: dict[Unset, str] = {
    "layout": "layout_chosen",
    "mode-switch": "mode_switch_assigned",
    "sticks": "sticks_calibrated",
    "drives": "drives_taught",
    "accelerometer": "accelerometer_calibrated",
    "compass": "compass_calibrated",
}


def board_list(rig: Rig) -> Reading:
    """Read the controller's own list of what it was told and taught: 1 done, 0 still wanted."""
    unset = rig.world.setup.unset
    return Reading(
        "board-list",
        {line: float(what not in unset) for what, line in LINES.items()},
        notes=tuple(UNSET[what].words for what in unset) or ("Nothing is wanted.",),
    )


CHECKS = (
    Check(
        "board-list",
        "C25",
        "Read the controller's own list of what it was told and taught",
        0.2,
        ("powered",),
        board_list,
        "What does it still want?",
        lines=(
            Line(
                "board",
                10,
                "load",
                "Pack out, cable in, nothing connected: load; say verified",
                killer=True,
            ),
            Line("board", 20, "connect", "Cable out, pack in, connect by telemetry: say its rate"),
            Line(
                "board",
                30,
                "layout",
                "Choose the layout of the build sheet: say it",
                shows=(LINES["layout"],),
            ),
            Line(
                "board",
                40,
                "mode-switch",
                "Assign the mode switch: say what forward gives",
                shows=(LINES["mode-switch"],),
            ),
            Line(
                "teach",
                10,
                "drives",
                "Propellers off: teach the drives their ends; say the tones",
                killer=True,
                shows=(LINES["drives"],),
            ),
            Line(
                "teach",
                20,
                "sticks",
                "Calibrate the sticks: say the ends",
                shows=(LINES["sticks"],),
            ),
            Line(
                "teach",
                30,
                "faces",
                "Six faces, held still: say how they fit",
                shows=(LINES["accelerometer"],),
            ),
            Line("teach", 40, "level", "Level, as it stands on the plate: say both trims"),
            Line(
                "teach",
                50,
                "compass",
                "Compass, away from steel: say fit and directions",
                shows=(LINES["compass"],),
            ),
            Line(
                "teach",
                60,
                "list",
                "The controller's own list: say that nothing is wanted",
                shows=tuple(LINES.values()),
            ),
        ),
        voided_by=(
            "setup.controller.layout",
            "setup.transmitter.mode_switch_right",
            "calibrate:sticks",
            "calibrate:drives",
            "calibrate:faces",
            "calibrate:compass",
        ),
        caution="Propellers off: drives may run up while they learn.",
    ),
)
