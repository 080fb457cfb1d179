"""A check knows where, how and in what state of the aircraft it is best done."""

from itertools import pairwise

import pytest

from sim.bench.changes import STICKS, every
from sim.bench.checklist import CHECKS


@pytest.mark.parametrize(
    ("check", "stance"),
    [
        ("people-and-room", ("bench", "hands", False, None)),
        ("first-power", ("bench", "hands", False, False)),
        ("stick-display", ("bench", "hands", False, True)),
        ("level-and-still", ("bench", "standing", False, True)),
        ("compass-ramp", ("bench", "clamp", False, True)),
        ("heading-marks", ("open_floor", "hands", False, True)),
        ("restrained-run-up", ("bench", "clamp", True, True)),
        ("pad-survey", ("pad", "hands", False, True)),  # lifted off it: no propellers
        ("pad-look", ("pad", "standing", True, True)),  # as it will fly
        ("light-on-legs", ("pad", "standing", True, True)),
    ],
)
def test_where_and_how_it_is_done(check, stance):
    assert CHECKS[check].stance == stance


def test_which_checks_put_a_hand_where_propellers_may_have_power():
    """The others that power and propellers allow are read, looked at, or stood back from."""
    live = {k for k, c in CHECKS.items() if not {"props_off", "unplugged"} & set(c.needs)}
    assert {k for k in live if not CHECKS[k].hands_on} == {
        "people-and-room",
        "propellers",
        "settings-sheet",
        "board-list",
        "pad-look",
        "restrained-run-up",
        "light-on-legs",
    }
    assert CHECKS["six-faces"].hands_on  # held, though not said to be touched
    assert not CHECKS["failsafe"].hands_on


@pytest.mark.parametrize("check", CHECKS.values(), ids=list(CHECKS))
def test_its_stance_is_all_it_needs(check, placed):
    place, hold, props, power = check.stance
    best = placed(
        place=place,
        hold=hold,
        props_fitted=props,
        pack_plugged=power is True,
        transmitter_on=True,
    )
    assert not check.missing(best.conduct)
    assert not (props and power and hold == "hands")  # never by hand with propellers and power


def test_changes_are_named_by_how_they_begin():
    assert len(STICKS) == 3 + 4 * 5 + 4  # whole transmitter, its four channels, four inputs
    assert all(a < b for a, b in pairwise(every("swap:motor-")))
    assert len(every("swap:motor-")) == 4
    with pytest.raises(ValueError, match="begins with 'swap:moter-'"):
        every("swap:motor-", "swap:moter-")


def test_what_is_felt_after_a_run_follows_it():
    assert {key: check.follows for key, check in CHECKS.items() if check.follows} == {
        "touch-after": ("ramp-and-snap", "restrained-run-up")
    }
