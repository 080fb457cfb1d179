"""Facts and what voids them.

A check, once done, is a fact. A change, a re-plug or a crash voids the facts it may have made
untrue, so the checks become due again; so does a run of the motors for what is felt after it.
"""

ALWAYS_DUE_ON_CRASH = frozenset(
    {
        "propellers",
        "look-and-tug",
        "propellers-in-hand",
        "weigh-and-balance",
        "one-motor",
        "ramp-and-snap",
        "touch-after",
        "pack-at-rest",
        "restrained-run-up",
        "stick-to-motor",
        "level-and-still",
        "heading-marks",
        "field-turn",
        "six-faces",
        "hand-tilt",
        "board-touch",
        "tilt-while-armed",
        "steady-throttle",
        "light-on-legs",
        "pad-look",
    }
)

VOIDED: dict[str, frozenset[str]] = {
    "setup.transmitter": frozenset({"stick-display", "stick-to-motor", "switches", "failsafe"}),
    "setup.inputs": frozenset({"stick-display", "stick-to-motor", "switches", "failsafe"}),
    "setup.controller.failsafe": frozenset({"failsafe", "settings-sheet"}),
    "setup.controller.stop_switch": frozenset({"switches", "settings-sheet"}),
    "setup.controller": frozenset(
        {
            "settings-sheet",
            "stick-to-motor",
            "tilt-while-armed",
            "idle-creep",
            "steady-throttle",
            "light-on-legs",
        }
    ),
    "setup.level_trim": frozenset({"level-and-still", "light-on-legs"}),
    "calibrate:compass": frozenset({"heading-marks", "field-turn", "pad-look"}),
    "calibrate:level": frozenset({"level-and-still", "light-on-legs", "pad-look"}),
    "calibrate:faces": frozenset({"six-faces", "level-and-still", "light-on-legs", "pad-look"}),
    "setup.controller.board": frozenset(
        {
            "hand-tilt",
            "level-and-still",
            "six-faces",
            "tilt-while-armed",
            "settings-sheet",
            "pad-look",
        }
    ),
    "setup.controller.compass_turn": frozenset(
        {"heading-marks", "field-turn", "settings-sheet", "pad-look"}
    ),
    "swap:sensor-mount": frozenset(
        {
            "board-touch",
            "hand-tilt",
            "level-and-still",
            "six-faces",
            "heading-marks",
            "light-on-legs",
        }
    ),
    "swap:compass-lead": frozenset({"compass-ramp", "heading-marks", "restrained-run-up"}),
    "swap:barometer-cover": frozenset({"breath-and-torch", "light-on-legs"}),
    "wait": frozenset({"warm-creep", "level-and-still", "pad-look"}),
    "setup.controller.arming_rules": frozenset({"switches", "settings-sheet"}),
    "setup.controller.low_cell_alarm_v": frozenset({"voltage-and-alarm", "settings-sheet"}),
    "setup.controller.alarm_cells": frozenset({"voltage-and-alarm", "settings-sheet"}),
    "setup.controller.volt_scale": frozenset({"voltage-and-alarm", "settings-sheet"}),
    "calibrate:sticks": frozenset({"stick-display", "stick-to-motor", "switches", "failsafe"}),
    "calibrate:voltage": frozenset({"voltage-and-alarm"}),
    "swap:lead-polarity": frozenset({"first-power"}),
    "swap:connector": frozenset({"first-power", "rails", "restrained-run-up"}),
    "swap:regulator": frozenset({"first-power", "rails"}),
    "swap:aerial": frozenset({"range-walk"}),
    "swap:transmitter-pack": frozenset({"stick-display", "range-walk"}),
    "swap:pack": frozenset({"pack-at-rest", "restrained-run-up", "light-on-legs"}),
    "swap:propeller": frozenset(
        {"propellers", "propellers-in-hand", "restrained-run-up", "light-on-legs"}
    ),
    "swap:motor": frozenset(
        {"look-and-tug", "one-motor", "ramp-and-snap", "touch-after", "light-on-legs"}
    ),
    "swap:signal-lead": frozenset({"one-motor", "ramp-and-snap", "stick-to-motor"}),
    "swap:phase-leads": frozenset({"one-motor", "ramp-and-snap"}),
    "swap:wire-tie": frozenset({"propellers-in-hand"}),
    "swap:frame-screws": frozenset({"look-and-tug", "light-on-legs"}),
    "swap:pack-strap": frozenset({"look-and-tug", "weigh-and-balance"}),
    "swap:pack-place": frozenset({"weigh-and-balance", "light-on-legs"}),
    "swap:ballast": frozenset({"weigh-and-balance", "light-on-legs"}),
    "swap:legs": frozenset({"weigh-and-balance", "light-on-legs"}),
    "calibrate:drives": frozenset({"one-motor", "ramp-and-snap", "light-on-legs"}),
    "setup.controller.idle": frozenset({"ramp-and-snap", "settings-sheet", "light-on-legs"}),
    "setup.controller.position_hold": frozenset({"people-and-room", "settings-sheet"}),
    "fit-props": frozenset({"propellers", "people-and-room"}),
    "prepare": frozenset({"people-and-room"}),
    "prepare:warm-pack": frozenset({"pack-at-rest", "restrained-run-up"}),
    "prepare:move-pad": frozenset({"people-and-room", "pad-survey", "pad-look"}),
    "prepare:bigger-room": frozenset(
        {"people-and-room", "pad-survey", "pad-look", "heading-marks", "field-turn"}
    ),
    "plug": frozenset({"pad-look"}),
    "read:ramp-and-snap": frozenset({"touch-after"}),  # the drives have got warm again
    "read:restrained-run-up": frozenset({"touch-after"}),
    "crash": ALWAYS_DUE_ON_CRASH,
}


def voided_by(change: str) -> frozenset[str]:
    """Return the checks a change voids; the most particular rule that fits its key counts."""
    for length in range(len(change), 0, -1):
        if change[:length] in VOIDED:
            return VOIDED[change[:length]]
    return frozenset()
