"""Judgements on pack, leads, rail, voltage reading and alarm."""

from sim.faults.supply import ALARM_HIGH_V, ALARM_LOW_V
from sim.keys import CheckKey, FaultId
from sim.trainees.judges.finding import Finding, Judge, Look, Signs, first, found, set_back, shows

IMPOSSIBLE_V = (3.0, 4.3)  # V; no lithium cell rests outside these
SCALE = 0.012  # share, of two lines; the trade's 1 % and the meter's own error
RUNS_AWAY = 1.8  # times the sheet's current at the hover's throttle; own
WORN = 1.5  # times the sheet's resistance, of three lines; own: a pack on its way out


def impossible(cell_v: float) -> bool:
    """Tell whether no lithium cell rests at a voltage: another number of cells explains it."""
    return cell_v <= IMPOSSIBLE_V[0] or cell_v >= IMPOSSIBLE_V[1]


def from_rest(v: Look) -> list[Finding]:
    """Judge the pack by look, label, cells and feel; the worst thing first."""
    signs: Signs = {
        "pack-swollen-or-dented": v.past("pack-swollen-or-dented", "thicker_than_new_mm"),
        "pack-cell-count-wrong": shows(
            "label_cells", abs(v["label_cells"] - v["sheet_cells"]) > 0.0
        ),
        "pack-cell-weak": v.past("pack-cell-weak", "spread_v"),
        "pack-undercharged": v.past("pack-undercharged", "lowest_cell_v"),
        "pack-cold": v.past("pack-cold", "temperature_degc"),
    }
    worst = first(signs)
    return [found(*worst)] if worst else []


def from_first_power(v: Look) -> list[Finding]:
    """Judge polarity, then the connector by feel and colour."""
    if v["meter_v"] < 0.0:
        return [found("lead-polarity-reversed", "meter_v")]
    worn = v.past("connector-high-resistance", "pull_apart_n", "contact_darkness")
    return [found("connector-high-resistance", worn)] if worn else []


def from_rails(v: Look) -> list[Finding]:
    """Judge the rail: nothing may restart, and it stays above the trade's limit.

    Where the supply itself collapses, no regulator could hold the rail: that is the pack.
    """
    line = v.past("regulator-brownout", "rail_lowest_v") or shows("restarts", v["restarts"] > 0.0)
    if not line:
        return []
    usual = v.usual("supply_lowest_v")
    if usual is not None and usual.side(v["supply_lowest_v"], "outer") == "below":
        return [found("pack-high-resistance", "supply_lowest_v", 3)]
    return [found("regulator-brownout", line)]


def _by_volts(v: Look) -> list[Finding]:
    """Judge the pack by its voltage on the meter: nothing but another count explains the extremes."""
    each = v["meter_pack_v"] / v.sheet.setup.alarm_cells
    if impossible(each):
        return [found("pack-cell-count-wrong", "meter_pack_v")]
    low = v.past("pack-undercharged", "meter_pack_v")
    return [found("pack-undercharged", low)] if low else []


def from_voltage(v: Look) -> list[Finding]:
    """Judge the reading against the meter, then the alarm as it would be with a right reading."""
    ratio = 0.5 * (v["shown_pack_v"] / v["meter_pack_v"] + v["shown_low_v"] / v["meter_low_v"])
    seen = []
    if abs(ratio - 1.0) > SCALE:
        seen.append(found("voltage-scale-wrong", "shown_pack_v"))
    heard = v["alarm_heard_v_cell"] * ratio
    if heard < ALARM_LOW_V or heard > ALARM_HIGH_V:
        seen.append(set_back("low-volt-alarm-unset", "alarm_heard_v_cell", v.sheet))
    return seen + _by_volts(v)


def _under_load(v: Look) -> Signs:
    """Return what heading, current and drop under the hover's throttle say, the pack last.

    The pack's drop is its own: less that of the connector, and for the current of a hover, which
    motors of another kind do not draw.
    """
    theirs = v["connector_drop_mv"] / 1000.0 / v.sheet.setup.alarm_cells
    own = (v["drop_v_cell"] - theirs) / max(v["current_a"], 1.0)
    worn = own * v.sheet.hover_current_a / v.sheet.loaded_drop_v_cell > WORN  # which, not whether
    runs_away = v["current_a"] > RUNS_AWAY * v.sheet.hover_current_a and not worn
    pack: FaultId = "pack-high-resistance" if worn else "pack-undercharged"
    sags = ("drop_v_cell", "resistance_mohm_cell") if worn else ()
    told = v.read("connector_drop_mv", "drop_v_cell", "current_a")  # which of the two it is
    return {
        "mag-current-coupling": v.past("mag-current-coupling", "heading_swing_deg"),
        "hover-throttle-mismatch": shows("current_a", runs_away),
        pack: v.past(pack, *sags, "after_90_s_v_cell") if told else "",
    }


def from_run_up(v: Look) -> list[Finding]:
    """Judge connector, compass, current and pack under the hover's throttle."""
    connector = v.past("connector-high-resistance", "connector_drop_mv")
    seen = [found("connector-high-resistance", connector)] if connector else []
    worst = first(_under_load(v))
    return [*seen, *([found(*worst)] if worst else [])]


JUDGES: dict[CheckKey, Judge] = {
    "pack-at-rest": from_rest,
    "first-power": from_first_power,
    "rails": from_rails,
    "voltage-and-alarm": from_voltage,
    "restrained-run-up": from_run_up,
}
