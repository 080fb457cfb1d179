"""An aircraft of one's own in the states of its sheets, made up and always the same."""

from collections.abc import Iterator
from functools import cache

from sim.describe.account import Account, outlook, told
from sim.describe.form import SWUNG_ID, Form
from sim.describe.working import worked
from sim.window.app import App, Screen
from sim.window.screens.own.made import Made
from sim.window.screens.own.sheet import OwnSheet
from tools.samples.sheets import nothing

WRITTEN = {
    "name": "my-own", "about": "wide in front", "mass_g": "620", "frame.front_width_mm": "230",
    "frame.rear_width_mm": "220", "frame.length_mm": "200", "frame.rotors_above_mm": "-5",
    "frame.legs_length_mm": "140", "frame.legs_width_mm": "150", "frame.legs_height_mm": "80",
    "frame.compass_forward_mm": "-30", "frame.compass_above_mm": "60", "front_right_clockwise": "no",
    "propeller.diameter_in": "6", "propeller.pitch_in": "3", "propeller.mass_g": "3.4",
    "motor.kv_rpm_v": "1800", "motor.diameter_mm": "24", "pack.cells": "3",
    "pack.capacity_ah": "1.5", "pack.mass_g": "130", "pack.size_mm": "75, 35, 25",
    "pack.above_mm": "15", "link_frame_ms": "14", "stop_switch": "yes", "hover_current_a": "7.5",
}  # fmt: skip
SWUNG = {
    SWUNG_ID: "yes", "swing.strings_apart_mm": "300", "swing.length_mm": "1500",
    "swing.roll_s": "1.1", "swing.pitch_s": "1.2", "swing.yaw_s": "1.5",
}  # fmt: skip


@cache
def account() -> Account:
    """Return what is worked out of the answers; the readings of its sheet are not taken here."""
    answers = Form(WRITTEN | SWUNG).answers
    assert answers is not None
    found = worked(answers)
    return Account(found.airframe, tuple(map(told, found.estimates)), tuple(outlook(answers)))


def sheet(app: App, marked: str, said: str = "", **changed: str) -> OwnSheet:
    """Return the sheet with answers on it, some of them changed, and one of them in hand."""
    made = OwnSheet(app.screen, nothing)
    made.fill(WRITTEN | changed, marked)
    made.said = said
    return made


def own(app: App) -> Iterator[Screen]:
    """Yield the questions, blank and filled in, with slips and measurements, and what came of them."""
    blank = OwnSheet(app.screen, nothing)
    blank.fill({})
    yield blank
    yield sheet(app, "motor.resistance_ohm")
    yield sheet(app, "pack.cells", "Still open: Cells of the pack in series, 1 to 6.", **{
        "pack.cells": "7", "mass_g": "heavy", "motor.kv_rpm_v": ""})  # fmt: skip
    yield sheet(app, "swing.yaw_s", **SWUNG)
    yield sheet(app, "pack.mass_g", **{"pack.mass_g": "700"})
    yield sheet(app, "motor.kv_rpm_v", **{"motor.kv_rpm_v": "500"})
    yield Made(app.screen, account(), nothing)
    kept = Made(app.screen, account(), nothing)
    kept.kept(app.path.with_name("my-own.yaml"))
    yield kept
    full = Made(app.screen, account(), nothing)
    full.said, full.trouble = "It could not be kept: No space left on device.", True
    yield full
