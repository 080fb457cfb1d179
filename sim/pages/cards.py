"""The cards to print for a real bench: what to do, boxes for values seen, limits of the build sheet.

Each is one of the evening's own cards (`sim/procedure/cards.py`) on a page of A5. The limits are
those of the airframe's build sheet and nothing else; a check with many lines has those that are
worth a pencil.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from sim.aircraft import library
from sim.aircraft.fields import PLACES
from sim.aircraft.library import Design, called
from sim.bench.checklist import CHECKS
from sim.bench.fitting import told as corner
from sim.bench.lines import PLACE
from sim.keys import CheckKey
from sim.pages.render import page
from sim.procedure.cards import BY_KEY, Card, Item
from sim.window.buildsheet import SheetLine, judged, section

ENDS = ("low", "centre", "high")
STICKS = ("roll", "pitch", "throttle", "yaw")
WRITTEN: dict[CheckKey, tuple[str, ...]] = {
    "people-and-room": (
        "people_in_ring",
        "others_without_goggles",
        "loose_pieces_within_3m",
        "abort_try_s",
    ),
    "propellers": (),  # how many should be on depends on the card
    "pad-survey": ("shift_deg",),
    "pack-at-rest": ("lowest_cell_v", "spread_v", "thicker_than_new_mm", "temperature_degc"),
    "restrained-run-up": ("loaded_v_cell", "drop_v_cell", "current_a", "connector_warmer_k"),
    "stick-display": tuple(f"{stick}_{end}_us" for end in ENDS for stick in STICKS),
    "stick-to-motor": ("roll_right_gain_rpm", "pitch_back_gain_rpm", "yaw_right_gain_rpm"),
    "switches": (
        "armed_with_throttle_up",
        "armed_without_link",
        "forward_gives_self_level",
        "stop_switch_s",
    ),
    "failsafe": ("stop_s", "still_turning"),
    "level-and-still": ("roll_ahead_deg", "pitch_ahead_deg", "roll_turned_deg", "pitch_turned_deg"),
    "pad-look": ("roll_deg", "pitch_deg", "heading_deg", "rate_deg_s"),
    "heading-marks": ("north_off_deg", "east_off_deg", "south_off_deg", "west_off_deg"),
    "field-turn": ("once_a_turn_ut", "twice_a_turn_ut"),  # the field itself is the place's
    "settings-sheet": (
        "tilt_limit_deg now",
        "failsafe now",
        "alarm_cells now",
        "low_cell_alarm_v now",
    ),
    "steady-throttle": (f"{PLACE}roughness_share",),
    "light-on-legs": ("lean_deg", "ringing_share", "throttle_share", "shake_m_s2"),
    "six-faces": ("level_m_s2", "on_its_back_m_s2", "nose_down_m_s2", "right_side_m_s2"),
    "hand-tilt": ("right_down_roll_deg", "nose_down_pitch_deg", "twist_right_heading_deg"),
    "board-touch": ("give_mm",),
    "breath-and-torch": ("height_change_m",),
    "warm-creep": ("change_deg_s",),
    "compass-ramp": ("field_per_amp_ut_a", "hover_heading_deg"),
    "tilt-while-armed": (
        "right_down_front_right_rpm",
        "right_down_rear_right_rpm",
        "nose_down_front_left_rpm",
        "nose_down_front_right_rpm",
    ),
    "idle-creep": ("early_spread_share", "late_spread_share"),
    "first-power": ("meter_v", "across_supply_ohm", "idle_current_a"),
    "rails": ("rail_lowest_v", "restarts"),
    "voltage-and-alarm": (
        "meter_pack_v",
        "shown_pack_v",
        "alarm_counts_cells",
        "alarm_heard_v_cell",
    ),
    "range-walk": ("ahead_lost_share", "right_lost_share", "behind_lost_share", "left_lost_share"),
    "look-and-tug": ("pack_slides_mm", "arm_play_mm", "board_play_mm", "aerial_kinks_count"),
    "propellers-in-hand": (f"{PLACE}span_mm", f"{PLACE}heavy_side_g_mm"),
    "weigh-and-balance": ("mass_kg", "heavy_forward_mm", "heavy_right_mm", "rocks_mm"),
    "one-motor": (f"{PLACE}start_us", f"{PLACE}coast_s"),
    "ramp-and-snap": (f"{PLACE}speed_rpm", f"{PLACE}misses_count"),
    "touch-after": (f"{PLACE}drive_degc",),
    "board-list": (),  # an item has its own lines, or none
}  # by check, the measures that a card has boxes for; own choice


class Field(NamedTuple):
    """A value to write down. `boxes`: the captions of its boxes, one empty or the four places."""

    measure: str
    words: str
    limits: str
    boxes: tuple[str, ...]


class Line(NamedTuple):
    """An item of a printed card."""

    asks: str
    can_hurt: bool
    fields: tuple[Field, ...]


class Printed(NamedTuple):
    """A printed card."""

    title: str
    lines: tuple[Line, ...]
    call: str
    cautions: tuple[str, ...]
    turns: bool
    only_new: bool


Sheet = dict[tuple[CheckKey, str], SheetLine]


def sheet_of(design: Design) -> Sheet:
    """Return the judged lines of an airframe's build sheet, by check and measure."""
    airframe, of = library.airframe(design), judged(design)
    parts = [section(airframe, of, at, {}) for at in range(1, 1 + len(of))]
    return {(part.check, line.key): line for part in parts for line in part.lines if part.check}


def fields(item: Item, sheet: Sheet) -> Iterator[Field]:
    """Give the values an item has boxes for, as far as the sheet has them."""
    for measure in item.shows or WRITTEN[item.check]:
        line = sheet.get((item.check, measure))
        if line is not None:
            four = measure.startswith(PLACE)
            words = line.words.removesuffix(", each corner") if four else line.words
            captions = tuple(corner(place) for place in PLACES) if four else ("",)
            yield Field(measure, words, line.limit or line.normal, captions)


def sentences(text: str) -> list[str]:
    """Return the sentences of a text."""
    return [one for one in re.split(r"(?<=\.) ", text) if one]


def printed(card: Card, sheet: Sheet) -> Printed:
    """Return a card as it is printed; each sentence of its checks' cautions stands on it once."""
    checks = [CHECKS[item.check] for item in card.items]
    return Printed(
        title=card.title,
        lines=tuple(Line(i.asks, i.killer, tuple(fields(i, sheet))) for i in card.items),
        call=card.call,
        cautions=tuple(dict.fromkeys(one for check in checks for one in sentences(check.caution))),
        turns=any(check.hurts for check in checks),
        only_new=card.for_blank,
    )


def cards_page(design: Design) -> str:
    """Return all cards for an airframe as one page, a card a sheet of A5."""
    airframe, sheet = library.airframe(design), sheet_of(design)
    first = next(iter(sheet.values()), None)
    return page(
        "cards.html",
        aircraft=called(design),
        origin=airframe.origin,
        source=first.source if first else "",
        cards=[printed(card, sheet) for card in BY_KEY.values()],
    )
