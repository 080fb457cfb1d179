"""What is read without an error is told, set, counted or looked at; all else has an instrument's."""

from collections import defaultdict

import numpy as np
import pytest

from sim.aircraft.fields import PLACES
from sim.aircraft.scatter import scattered
from sim.bench.checklist import CHECKS
from sim.bench.person import SIGHTS
from tests.worlds import sound_world

BUILDS = 8
TOLD = {  # by the sheet, a label, an arrow, the setup page, or by what the check itself does
    "foam_mm", "site_ut", "board_turn_told_deg", "tilt_deg", "twist_deg", "upside_down_told",
    "compass_turn_told_deg", "{place}_arrow_sign", "label_cells", "sheet_cells", "sheet_pitch_in",
    "sheet_span_mm", "{place}_pitch_mark_in", "idle_set_us", "paces", "alarm_counts_cells",
    "alarm_set_v_cell", "waited_s", "sheet_mass_kg", "throttle_trim_us", "position_hold_on",
    "forward_gives_self_level", "back_gives_self_level", "same_abort_word",
    "layout_chosen", "mode_switch_assigned", "sticks_calibrated", "drives_taught",
    "accelerometer_calibrated", "compass_calibrated",
}  # fmt: skip
COUNTED = {  # what nobody miscounts, and what the controller does or does not
    "still_turning", "cut_count", "{place}_dips_count", "{place}_misses_count",
    "{place}_stops_count", "{place}_turns_corner", "restarts", "restarts_count", "armed_askew",
    "armed_with_stop_switch_on", "armed_with_throttle_up", "armed_without_link",
    "roll_moves_bar", "pitch_moves_bar", "throttle_moves_bar", "yaw_moves_bar",
}  # fmt: skip
OWN_STATE = {  # what people know of themselves and of the thing in their hands
    "goggles_on", "spotter_present", "helper_here", "propellers_fitted", "pack_plugged", "clamped",
    "stands_on_pad", "fitted",
}  # fmt: skip
LOOKED_AT = {  # by sight; each has its chances in SIGHTS
    "{place}_hand_sign": "wrong hand",
    "{place}_marks_up_count": "upside down",
    "{place}_edge_catches_count": "nick",
    "aerial_kinks_count": "kinked aerial",
    "{place}_blade_broken_count": "broken blade",
    "pack_moved_count": "slid pack",
    "{place}_turns_sign": "turning the wrong way",
    "screen_names_this_aircraft": "another model's name",
    "people_in_ring": "person in the ring",
    "others_without_goggles": "bare eyes",
    "loose_pieces_within_3m": "litter",
    "nose_mark_seen": "no mark",
    "visitor_steps_in": "habit",
    "hands_between_blades_count": "habit",
    "phone_rings_count": "habit",
    "repairs_without_check": "gap in the log",
    "charger_watched": "charger alone",
}
BESIDE_A_NUMBER = {"rubbing lead", "bulge"}  # sights told as a distance, and as words


def anywhere(line: str) -> str:
    """Return the name of a line without its place."""
    for place in PLACES:
        line = line.replace(f"{place}_", "{place}_")
    return line


@pytest.fixture(scope="module")
def constant(ready):
    """Return the lines that read the same on a few sound builds, at all places."""
    found = set()
    for key in sorted(set(CHECKS) - {"settings-sheet"}):  # settings are read as they are set
        seen = defaultdict(set)
        for seed in range(BUILDS):
            build = scattered(sound_world(), np.random.default_rng(seed))
            values = CHECKS[key].take(ready(build, CHECKS[key], seed)).values
            for line, number in values.items():
                seen[anywhere(line)].add((line, number))
        found |= {
            name for name, told in seen.items() if len(told) == len({line for line, _ in told})
        }
    return found


def test_what_reads_the_same_on_every_build_is_listed(constant):
    listed = TOLD | COUNTED | OWN_STATE | set(LOOKED_AT)
    assert constant <= listed | {"yaw_low_share"}  # a bar at its end shows no more


def test_every_sight_has_its_lines():
    assert set(LOOKED_AT.values()) | BESIDE_A_NUMBER == set(SIGHTS)
    assert len(LOOKED_AT) == 17
