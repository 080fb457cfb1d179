"""Judgements on pack, leads, rail, voltage reading and alarm."""

from sim.aircraft.airframe import BuildSheet
from sim.faults.catalogue import CATALOGUE
from sim.session.actions import Set
from sim.trainees.judges.finding import Finding, Judge, claim

REST_V = 4.02  # V; own: trade asks 4.15 of a fresh pack, the bench work takes some of it
LATE_V = 3.95  # V; own: the same after the bench work, with the electronics on
IMPOSSIBLE_V = (3.0, 4.3)  # V; no lithium cell rests outside these
SPREAD_V = 0.05  # V; trade experience
BULGE_MM = 1.5  # mm; own: five times what the callipers err
COLD_DEGC = 15.0  # degC; trade experience: warm a pack that is colder
PULL_N = 13.0  # N; own: a good connector takes 16
DARK = 0.2  # 0..1; own: new contacts are at 0.05
RAIL_V = 4.8  # V; trade practice
COLLAPSE_V_CELL = 2.3  # V; own: a sound pack keeps 2.6 V a cell in the deepest snap
SCALE = 0.012  # share; the trade's 1 % and the meter's own error
ALARM_V = (3.4, 3.75)  # V; own: around the trade's 3.5 V a cell under load
CONNECTOR_MV = 60.0  # mV; the trade's 50 and the meter's scatter
DROP = 2.0  # times the sheet's drop per cell under the hover's current; own
AFTER_HOP_V = 3.62  # V; own: 3.5 V a cell and a margin for the guess in the prediction
LATER_SAG = 1.35  # 1; own: sag after 90 s over sag in the run-up
SWING_DEG = 1.3  # deg; own: the heading of a sound aircraft in the clamp stays within 0.8
RUNS_AWAY = 1.8  # times the sheet's current at the hover's throttle; own
WORN = 1.5  # times the sheet's resistance; own: a pack on its way out
LOADED_CURES = {
    "mag-current-coupling": "swap:compass-lead",
    "hover-throttle-mismatch": "sheet",
    "pack-high-resistance": "pack",
    "pack-undercharged": "swap:pack",
}


def from_rest(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the pack by look, label, cells and feel; the worst thing first."""
    found = []
    if v["thicker_than_new_mm"] > BULGE_MM:
        found.append("pack-swollen-or-dented")
    elif v["label_cells"] != v["sheet_cells"]:
        found.append("pack-cell-count-wrong")
    elif v["spread_v"] > SPREAD_V:
        found.append("pack-cell-weak")
    elif v["lowest_cell_v"] < REST_V:
        found.append("pack-undercharged")
    if found:
        return [Finding(claim("pack", found[0]), "swap:pack")]
    if v["temperature_degc"] < COLD_DEGC and "pack-cold" in CATALOGUE:
        return [Finding(claim("pack", "pack-cold"), "prepare:warm-pack")]
    return []


def from_first_power(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge polarity, then the connector by feel and colour."""
    if v["meter_v"] < 0.0:
        return [Finding(claim("pack lead", "lead-polarity-reversed"), "swap:lead-polarity")]
    if v["pull_apart_n"] < PULL_N or v["contact_darkness"] > DARK:
        return [Finding(claim("connector", "connector-high-resistance"), "swap:connector")]
    return []


def from_rails(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the rail: nothing may restart, and it stays above the trade's limit.

    Where the supply itself collapses, no regulator could hold the rail: that is the pack.
    """
    if v["restarts"] == 0.0 and v["rail_lowest_v"] >= RAIL_V:
        return []
    if v["supply_lowest_v"] < COLLAPSE_V_CELL * sheet.setup.alarm_cells:
        return [Finding(claim("pack", "pack-high-resistance", 3), "pack")]
    return [Finding(claim("regulator", "regulator-brownout"), "swap:regulator")]


def _by_volts(pack_v: float, cells: int) -> list[Finding]:
    """Judge the pack by its voltage on the meter: nothing but another count explains the extremes."""
    each = pack_v / cells
    if not IMPOSSIBLE_V[0] < each < IMPOSSIBLE_V[1]:
        return [Finding(claim("pack", "pack-cell-count-wrong"), "swap:pack")]
    if each < LATE_V:
        return [Finding(claim("pack", "pack-undercharged"), "swap:pack")]
    return []


def from_voltage(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge the reading against the meter, then the alarm as it would be with a right reading."""
    ratio = 0.5 * (v["shown_pack_v"] / v["meter_pack_v"] + v["shown_low_v"] / v["meter_low_v"])
    found = []
    if abs(ratio - 1.0) > SCALE:
        found.append(Finding(claim("voltage reading", "voltage-scale-wrong"), "calibrate:voltage"))
    heard = v["alarm_heard_v_cell"] * ratio
    if not ALARM_V[0] <= heard <= ALARM_V[1]:
        keys = ("low_cell_alarm_v", "alarm_cells")
        settings = tuple(
            Set(key=f"setup.controller.{key}", value=getattr(sheet.setup, key)) for key in keys
        )
        found.append(Finding(claim("voltage alarm", "low-volt-alarm-unset"), "set", settings))
    return found + _by_volts(v["meter_pack_v"], sheet.setup.alarm_cells)


def _under_load(v: dict[str, float], sheet: BuildSheet, connector_v: float) -> str | None:
    """Return what heading, current and drop under the hover's throttle say, the pack last.

    The pack's drop says something of the pack only if the motors draw what a hover draws.
    """
    own_drop = v["drop_v_cell"] - connector_v
    after = v["after_90_s_v_cell"] + LATER_SAG * connector_v
    each = own_drop / max(v["current_a"], 1.0) * sheet.hover_current_a / sheet.loaded_drop_v_cell
    if abs(v["heading_swing_deg"]) > SWING_DEG:
        return "mag-current-coupling"
    if v["current_a"] > RUNS_AWAY * sheet.hover_current_a and each < WORN:
        return "hover-throttle-mismatch"
    if own_drop > DROP * sheet.loaded_drop_v_cell or (after < AFTER_HOP_V and each > WORN):
        return "pack-high-resistance"
    return "pack-undercharged" if after < AFTER_HOP_V else None


def from_run_up(v: dict[str, float], sheet: BuildSheet) -> list[Finding]:
    """Judge connector, compass, current and pack under the hover's throttle."""
    found = []
    if v["connector_drop_mv"] > CONNECTOR_MV:
        claimed = claim("connector", "connector-high-resistance")
        found.append(Finding(claimed, "swap:connector"))
    theirs = v["connector_drop_mv"] / 1000.0 / sheet.setup.alarm_cells
    cause = _under_load(v, sheet, theirs)
    if cause is not None:
        found.append(Finding(claim(CATALOGUE[cause].item, cause), LOADED_CURES[cause]))
    return found


JUDGES: dict[str, Judge] = {
    "pack-at-rest": from_rest,
    "first-power": from_first_power,
    "rails": from_rails,
    "voltage-and-alarm": from_voltage,
    "restrained-run-up": from_run_up,
}
