"""Judgements on pack, leads, rail, voltage reading and alarm."""

from sim.bench.checks.pack import LATER_SAG
from sim.faults.power import REST_SPREAD_V
from sim.faults.site import COLD_DEGC
from sim.faults.supply import ALARM_HIGH_V, ALARM_LOW_V
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Look, Signs, first, found, set_back, shows

FULL_V = 4.02  # V; own: trade asks 4.15 of a fresh pack, the bench work takes some of it
LATE_V = 3.95  # V; own: the same after the bench work, with the electronics on
IMPOSSIBLE_V = (3.0, 4.3)  # V; no lithium cell rests outside these
BULGE_MM = 1.5  # mm; own: five times what the callipers err
PULL_N = 13.0  # N; own: a good connector takes 16
DARK = 0.2  # 0..1; own: new contacts are at 0.05
RAIL_LEAST_V = 4.8  # V; trade practice
COLLAPSE_V_CELL = 2.3  # V; own: a sound pack keeps 2.6 V a cell in the deepest snap
SCALE = 0.012  # share; the trade's 1 % and the meter's own error
CONNECTOR_MV = 60.0  # mV; the trade's 50 and the meter's scatter
DROP = 2.0  # times the sheet's drop per cell under the hover's current; own
AFTER_HOP_V = 3.62  # V; own: 3.5 V a cell and a margin for the guess in the prediction
SWING_DEG = 1.3  # deg; own: the heading of a sound aircraft in the clamp stays within 0.8
RUNS_AWAY = 1.8  # times the sheet's current at the hover's throttle; own
WORN = 1.5  # times the sheet's resistance; own: a pack on its way out


def from_rest(v: Look) -> list[Finding]:
    """Judge the pack by look, label, cells and feel; the worst thing first."""
    signs: Signs = {
        "pack-swollen-or-dented": shows("thicker_than_new_mm", v["thicker_than_new_mm"] > BULGE_MM),
        "pack-cell-count-wrong": shows("label_cells", v["label_cells"] != v["sheet_cells"]),
        "pack-cell-weak": shows("spread_v", v["spread_v"] > REST_SPREAD_V),
        "pack-undercharged": shows("lowest_cell_v", v["lowest_cell_v"] < FULL_V),
        "pack-cold": shows("temperature_degc", v["temperature_degc"] < COLD_DEGC),
    }
    worst = first(signs)
    return [found(*worst)] if worst else []


def from_first_power(v: Look) -> list[Finding]:
    """Judge polarity, then the connector by feel and colour."""
    if v["meter_v"] < 0.0:
        return [found("lead-polarity-reversed", "meter_v")]
    worn = shows("pull_apart_n", v["pull_apart_n"] < PULL_N) or shows(
        "contact_darkness", v["contact_darkness"] > DARK
    )
    return [found("connector-high-resistance", worn)] if worn else []


def from_rails(v: Look) -> list[Finding]:
    """Judge the rail: nothing may restart, and it stays above the trade's limit.

    Where the supply itself collapses, no regulator could hold the rail: that is the pack.
    """
    line = shows("rail_lowest_v", v["rail_lowest_v"] < RAIL_LEAST_V) or shows(
        "restarts", v["restarts"] > 0.0
    )
    if not line:
        return []
    if v["supply_lowest_v"] < COLLAPSE_V_CELL * v.sheet.setup.alarm_cells:
        return [found("pack-high-resistance", "supply_lowest_v", 3)]
    return [found("regulator-brownout", line)]


def _by_volts(pack_v: float, cells: int) -> list[Finding]:
    """Judge the pack by its voltage on the meter: nothing but another count explains the extremes."""
    each = pack_v / cells
    if not IMPOSSIBLE_V[0] < each < IMPOSSIBLE_V[1]:
        return [found("pack-cell-count-wrong", "meter_pack_v")]
    return [found("pack-undercharged", "meter_pack_v")] if each < LATE_V else []


def from_voltage(v: Look) -> list[Finding]:
    """Judge the reading against the meter, then the alarm as it would be with a right reading."""
    ratio = 0.5 * (v["shown_pack_v"] / v["meter_pack_v"] + v["shown_low_v"] / v["meter_low_v"])
    seen = []
    if abs(ratio - 1.0) > SCALE:
        seen.append(found("voltage-scale-wrong", "shown_pack_v"))
    if not ALARM_LOW_V <= v["alarm_heard_v_cell"] * ratio <= ALARM_HIGH_V:
        seen.append(set_back("low-volt-alarm-unset", "alarm_heard_v_cell", v.sheet))
    return seen + _by_volts(v["meter_pack_v"], v.sheet.setup.alarm_cells)


def _under_load(v: Look, connector_v: float) -> tuple[FaultId, str] | None:
    """Return what heading, current or drop under the hover's throttle says, the pack last.

    The pack's drop says something of the pack only if the motors draw what a hover draws.
    """
    sheet = v.sheet
    own_drop = v["drop_v_cell"] - connector_v
    after = v["after_90_s_v_cell"] + LATER_SAG * connector_v
    each = own_drop / max(v["current_a"], 1.0) * sheet.hover_current_a / sheet.loaded_drop_v_cell
    if abs(v["heading_swing_deg"]) > SWING_DEG:
        return "mag-current-coupling", "heading_swing_deg"
    if v["current_a"] > RUNS_AWAY * sheet.hover_current_a and each < WORN:
        return "hover-throttle-mismatch", "current_a"
    if own_drop > DROP * sheet.loaded_drop_v_cell or (after < AFTER_HOP_V and each > WORN):
        return "pack-high-resistance", "drop_v_cell"
    return ("pack-undercharged", "after_90_s_v_cell") if after < AFTER_HOP_V else None


def from_run_up(v: Look) -> list[Finding]:
    """Judge connector, compass, current and pack under the hover's throttle."""
    seen: list[tuple[FaultId, str]] = []
    if v["connector_drop_mv"] > CONNECTOR_MV:
        seen.append(("connector-high-resistance", "connector_drop_mv"))
    theirs = v["connector_drop_mv"] / 1000.0 / v.sheet.setup.alarm_cells
    cause = _under_load(v, theirs)
    return [found(*sign) for sign in (*seen, *([cause] if cause else []))]


JUDGES: dict[CheckKey, Judge] = {
    "pack-at-rest": from_rest,
    "first-power": from_first_power,
    "rails": from_rails,
    "voltage-and-alarm": from_voltage,
    "restrained-run-up": from_run_up,
}
