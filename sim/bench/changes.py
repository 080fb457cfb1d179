"""The changes that make checks due again, by their keys."""

from typing import Literal, get_args

from sim.keys import FixKey

Change = FixKey | Literal["crash", "fit-props", "hop"]


def every(*beginnings: str) -> tuple[FixKey, ...]:
    """Return all keys of fixes that begin like one of these; ValueError if one begins none."""
    keys: tuple[FixKey, ...] = get_args(FixKey)
    for beginning in beginnings:
        if not any(key.startswith(beginning) for key in keys):
            raise ValueError(f"no fix has a key that begins with {beginning!r}")
    return tuple(key for key in keys if key.startswith(beginnings))


STICKS = every("setup.transmitter.", "setup.inputs.")
FELT_APART: tuple[FixKey, ...] = (
    "setup.controller.failsafe",
    "setup.controller.stop_switch",
    "setup.controller.arming_rules",
    "setup.controller.board_turn_deg",
    "setup.controller.board_upside_down",
    "setup.controller.compass_turn_deg",
    "setup.controller.low_cell_alarm_v",
    "setup.controller.alarm_cells",
    "setup.controller.volt_scale",
    "setup.controller.idle",
    "setup.controller.position_hold",
)  # settings that checks of their own show; they leave the loop as it was
LOOP = tuple(key for key in every("setup.controller.") if key not in FELT_APART)
PEOPLE_AND_ROOM = tuple(key for key in every("prepare:") if key != "prepare:warm-pack")
