"""Facts and what voids them.

A check, once done, is a fact. A change, a re-plug or a crash voids the facts it may have made
untrue, so the checks become due again.
"""

ALWAYS_DUE_ON_CRASH = frozenset(
    {
        "propellers",
        "pack-at-rest",
        "restrained-run-up",
        "stick-to-motor",
        "level-and-still",
        "heading-marks",
        "field-turn",
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
        {"settings-sheet", "stick-to-motor", "steady-throttle", "light-on-legs"}
    ),
    "setup.level_trim": frozenset({"level-and-still", "light-on-legs"}),
    "calibrate:compass": frozenset({"heading-marks", "field-turn", "pad-look"}),
    "calibrate:level": frozenset({"level-and-still", "light-on-legs", "pad-look"}),
    "swap:pack": frozenset({"pack-at-rest", "restrained-run-up", "light-on-legs"}),
    "plug": frozenset({"pad-look"}),
    "crash": ALWAYS_DUE_ON_CRASH,
}


def voided_by(change: str) -> frozenset[str]:
    """Return the checks a change voids; the most particular rule that fits its key counts."""
    for length in range(len(change), 0, -1):
        if change[:length] in VOIDED:
            return VOIDED[change[:length]]
    return frozenset()
