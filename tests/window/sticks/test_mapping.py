"""What a device's axes and buttons mean."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from sim.aircraft.fields import CHANNELS
from sim.window.sticks.mapping import (
    Axis,
    Button,
    DeviceMapping,
    Lever,
    Switches,
    apply,
    apply_switches,
    guess,
)
from sim.window.sticks.modes import MODES, on_sticks
from sim.window.sticks.positions import SAFE


def straight(index: int, **changes) -> Axis:
    return Axis(index=index, **({"dead_band": 0.0, "expo": 0.0} | changes))


def device(**changes) -> DeviceMapping:
    known: dict[str, object] = {
        "guid": "g",
        "name": "Test",
        "axes_count": 8,
        "buttons_count": 6,
        **{name: straight(i) for i, name in enumerate(CHANNELS)},
    }
    return DeviceMapping.model_validate({**known, **changes})


def test_an_axis_is_stretched_to_its_ends_on_both_sides():
    axis = straight(0, low=-0.6, centre=0.1, high=0.9)
    assert [axis.travel(raw) for raw in (-0.6, 0.1, 0.5, 0.9)] == [-1.0, 0.0, 0.5, 1.0]
    turned = straight(0, low=-0.6, centre=0.1, high=0.9, sign=-1)
    assert turned.travel(0.9) == -1.0


def test_a_lever_goes_from_the_bottom_and_a_sprung_one_from_the_middle():
    lever = straight(0, low=-0.8, centre=0.0, high=0.8)
    assert [lever.lever(raw) for raw in (-1.0, -0.8, 0.0, 0.8)] == [0.0, 0.0, 0.5, 1.0]
    turned = straight(0, low=-0.8, centre=0.0, high=0.8, sign=-1)
    assert [turned.lever(raw) for raw in (-1.0, 0.0, 0.8)] == [1.0, 0.5, 0.0]
    sprung = straight(0, from_centre=True)
    assert [sprung.lever(raw) for raw in (-1.0, 0.0, 0.5, 1.0)] == [0.0, 0.0, 0.5, 1.0]


@given(
    st.floats(-1.0, 1.0), st.floats(-1.0, -0.3), st.floats(-0.1, 0.1), st.floats(0.3, 1.0),
    st.sampled_from([1, -1]), st.floats(0.0, 0.2), st.floats(0.0, 1.0), st.booleans(),
)  # fmt: skip
def test_no_raw_value_leaves_the_sticks(raw, low, centre, high, sign, dead, expo, sprung):
    axis = Axis(
        index=0, sign=sign, low=low, centre=centre, high=high, dead_band=dead, expo=expo,
        from_centre=sprung,
    )  # fmt: skip
    assert -1.0 <= axis.travel(raw) <= 1.0
    assert 0.0 <= axis.lever(raw) <= 1.0
    assert axis.travel(centre) == 0.0


def test_axes_become_functions_and_unknown_ones_hands_off():
    raw = (0.5, -0.5, 1.0, -1.0, 0.0, 0.0, 0.0, 0.0)
    where = apply(device(), raw)
    assert (where.roll, where.pitch, where.throttle, where.yaw) == (0.5, -0.5, 1.0, -1.0)
    assert apply(device(), (None,) * 8) == SAFE


def test_switches_are_buttons_or_axes():
    known = device(
        arm=Lever(index=5, threshold=0.4),
        stop=Button(index=2),
        mode=Button(index=3, on_when_down=False),
        pause=Lever(index=6, sign=-1, threshold=-0.5),
    )
    off = apply_switches(known, (0.0,) * 8, (False,) * 6)
    assert off == Switches(arm=False, stop=False, mode=True, pause=False)
    axes = (0.0, 0.0, 0.0, 0.0, 0.0, 0.9, -0.9, 0.0)
    on = apply_switches(known, axes, (False, False, True, True, False, False))
    assert on == Switches(arm=True, stop=True, mode=False, pause=True)
    unknown = apply_switches(known, (None,) * 8, (False,) * 6)
    assert unknown.arm is None
    assert apply_switches(device(), axes, (False,) * 6) == Switches()


def test_a_mapping_is_kept_and_read_back():
    known = device(arm=Lever(index=5), stop=Button(index=2, momentary=True), unconfirmed=True)
    assert DeviceMapping.model_validate_json(known.model_dump_json()) == known
    assert DeviceMapping.model_validate(known.model_dump()) == known
    assert known.key == ("g", "Test", 8)


@pytest.mark.parametrize(
    "changes",
    [
        {"roll": straight(8)},
        {"roll": straight(1)},
        {"stop": Button(index=6)},
        {"arm": Lever(index=0)},
        {"arm": Lever(index=8)},
        {"axes_count": 3},
        {"colour": "none"},
        {"roll": {"index": 0, "low": 0.2, "centre": 0.1}},
        {"roll": {"index": 0, "expo": 1.5}},
        {"roll": {"index": 0, "low": float("nan")}},
        {"arm": {"kind": "wheel", "index": 0}},
    ],
)
def test_what_cannot_be_is_refused(changes):
    with pytest.raises(ValidationError):
        device(**changes)


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("resting", [(0.0,) * 4, (0.0, 0.0, -1.0, 0.0, 0.0, -1.0)])
def test_a_plain_pad_is_guessed_in_every_mode(mode, resting):
    known = guess("g", "Pad", resting, 10, mode)
    assert known is not None
    assert known.unconfirmed
    sticks = [i for i, raw in enumerate(resting) if raw == 0.0]
    for place, (side, way) in enumerate(((0, 0), (0, 1), (1, 0), (1, 1))):
        for push in (-1.0, 1.0):  # right, or up which is raw down
            raw = list(resting)
            raw[sticks[place]] = push if way == 0 else -push
            seen = on_sticks(apply(known, raw), mode)[side][way]
            if MODES[mode][place] == "throttle" and push < 0.0:
                assert seen == -1.0
            else:
                assert seen == push
    assert apply(known, resting) == SAFE


@pytest.mark.parametrize(
    "resting",
    [(0.0,) * 3, (0.0,) * 5, (0.0, 0.0, -1.0, 0.0), (-1.0,) * 6],
    ids=["too few", "too many", "a lever down", "nothing sprung"],
)
def test_anything_else_is_not_guessed(resting):
    assert guess("g", "Sticks", resting, 0) is None
