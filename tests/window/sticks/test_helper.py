"""The mapping helper, taught by a scripted person on made-up devices."""

import numpy as np
import pytest

from sim.aircraft.fields import CHANNELS, ChannelName
from sim.window.sticks import prompts
from sim.window.sticks.helper import ORDER, Helper
from sim.window.sticks.mapping import Button, DeviceMapping, Lever, apply
from sim.window.sticks.modes import MODES
from tests.window.sticks.hands import DOWN, Device, Person, Way

DEVICES = 300  # as many as the thresholds were first measured on


def plain(**changes) -> Device:
    return Device(np.random.default_rng(1), noise=0.004, **changes)


def set_up(device: Device, **person) -> tuple[Helper, Person]:
    mode = person.get("mode", 2)
    helper = Helper(device.axes, len(device.buttons), mode=mode, guid="g", name="Test sticks")
    return helper, Person(device, helper, **person)


def wrong_in(device: Device, mapping: DeviceMapping) -> list[str]:
    """What a mapping gets wrong about a device."""
    wrong = []
    for i, name in enumerate(CHANNELS):
        axis = mapping.axis(name)
        if (axis.index, axis.sign) != (device.spread_over[i], device.sense[i]):
            wrong.append(f"{name}: axis {axis.index} {axis.sign:+d}")
        for end in (-1.0, 1.0):
            seen = apply(mapping, device.raw({**DOWN, name: end}, quiet=True)).of(name)
            if abs(seen - (max(0.0, end) if name == "throttle" else end)) > 0.01:
                wrong.append(f"{name} at {end}: {seen}")
    rest = apply(mapping, device.raw(DOWN, quiet=True))
    wrong += [f"{n} at rest: {rest.of(n)}" for n in CHANNELS if abs(rest.of(n)) > 0.01]
    return wrong


def test_three_hundred_devices_are_all_learned_right():
    wrong = {}
    for seed in range(DEVICES):
        device = Device.random(seed)
        helper, person = set_up(device)
        if not person.whole() or helper.mapping is None:
            wrong[seed] = [helper.prompt, str(helper.trouble)]
        elif found := wrong_in(device, helper.mapping):
            wrong[seed] = found
    assert not wrong


@pytest.mark.parametrize("mode", MODES)
def test_every_stick_mode_works(mode):
    device = plain()
    helper, person = set_up(device, mode=mode)
    assert person.whole()
    assert helper.mapping is not None
    assert not wrong_in(device, helper.mapping)
    assert helper.mapping.key == ("g", "Test sticks", 8)
    assert helper.progress == 1.0
    assert not helper.mapping.unconfirmed


@pytest.mark.parametrize("sprung", [False, True])
def test_a_throttle_that_springs_back_is_told_from_a_lever(sprung):
    helper, person = set_up(plain(), sprung=sprung)
    assert person.whole()
    assert helper.mapping is not None
    assert helper.mapping.throttle.from_centre is sprung
    assert apply(helper.mapping, person.device.raw(person.rest)).throttle == 0.0


def test_the_words_name_the_stick_and_the_way():
    helper, person = set_up(plain())
    assert helper.prompt == prompts.REST
    person.until(lambda: helper.asking == "roll")
    assert "right stick (roll) from side to side" in helper.prompt
    person.until(lambda: helper.prompt == prompts.hold("pitch", 2))
    assert "towards you" in helper.prompt
    assert 0.0 < helper.progress < 1.0
    assert not helper.may_skip
    helper.skip()  # a stick can't be left out
    assert helper.prompt == prompts.hold("pitch", 2)


class Clumsy(Person):
    """Moves wrongly whenever `slip` says how; `slips` counts."""

    slip: str = ""
    until_s = 12.0

    def _wanted(self) -> Way:
        wanted = super()._wanted()
        asked = self.helper.asking
        if self.time_s > self.until_s or not self.slip or asked not in CHANNELS:
            return wanted
        lead = wanted[asked]
        if self.slip == "all":
            return {name: lead for name in CHANNELS}
        if self.slip == "nothing":
            return dict(self.rest)
        if self.slip == "little":
            return {**wanted, asked: 0.15 * lead}
        if self.slip == "half":
            return {n: v if n == "throttle" else abs(v) for n, v in wanted.items()}
        if self.slip == "taken" and asked == "pitch":
            return {**wanted, "pitch": 0.0, "roll": lead}
        return wanted


@pytest.mark.parametrize(
    ("slip", "words"),
    [
        ("all", "Several axes moved together"),
        ("nothing", "Nothing moved far enough"),
        ("little", "Nothing moved far enough"),
        ("half", "Only half the travel"),
        ("taken", "taken: roll"),
    ],
)
def test_a_wrong_move_is_refused_in_words_and_a_right_one_then_taken(slip, words):
    device = plain()
    helper = Helper(device.axes, 8)
    person = Clumsy(device, helper)
    person.slip = slip
    person.until_s = 25.0
    assert person.until(lambda: helper.trouble is not None, 25.0)
    assert words in str(helper.trouble)
    assert helper.asking in ("roll", "pitch")
    assert helper.mapping is None
    person.slip = ""
    person._since_s = person.time_s + 1.0  # takes a breath, then does it right
    assert person.whole()
    assert helper.mapping is not None
    assert not wrong_in(device, helper.mapping)


def test_hands_on_the_sticks_at_the_start_are_noticed():
    helper, person = set_up(plain())
    for i in range(60):
        person.way["roll"] = (-1.0) ** (i // 10)
        person.deliver()
        person.time_s += 0.03
    assert helper.trouble == prompts.SHAKY
    assert person.whole()


def test_a_stick_too_noisy_is_refused():
    device = plain(reach=(0.3, 1.0, 1.0, 1.0))
    device.noise = 0.03
    helper, person = set_up(device)
    assert person.until(lambda: helper.asking == "roll")
    helper._found.noise = [0.06] * device.axes
    assert person.until(lambda: helper.trouble is not None, 30.0)
    assert helper.trouble == prompts.TOO_NOISY


def test_another_stick_held_is_refused():
    helper, person = set_up(plain())
    person.until(lambda: helper.prompt == prompts.hold("roll", 2))
    person.wait(0.1)
    for _ in range(60):
        person.way = {**DOWN, "yaw": 1.0}
        person.time_s += 0.03
        person.deliver()
    assert "Another stick is held" in str(helper.trouble)
    assert "right stick (roll)" in str(helper.trouble)


class Reversed(Person):
    """Pulls the throttle down where it should be pushed up."""

    def held(self, name: ChannelName) -> float:
        return -1.0 if name == "throttle" else 1.0

    def way_of_sweep(self, name: ChannelName, after_s: float) -> float:
        value = super().way_of_sweep(name, after_s)
        return -value if name == "throttle" else value  # begins and ends at the top


def test_a_throttle_left_at_an_end_does_not_count_as_held_there():
    """A lever that rests at an end after its sweep must first be seen away from it."""
    device = plain()
    helper, person = set_up(device)
    person.until(lambda: helper.prompt == prompts.hold("throttle", 2))
    assert person.way["throttle"] < -0.9
    for _ in range(200):  # still down: the wrong end, long and steady
        person.time_s += 0.03
        person.deliver()
    assert helper.prompt == prompts.hold("throttle", 2)
    assert helper.trouble is not None
    assert person.whole()
    assert helper.mapping is not None
    assert not wrong_in(device, helper.mapping)


def test_a_throttle_learned_upside_down_is_caught_when_hands_are_off():
    device = plain()
    helper = Helper(device.axes, 0)
    device.buttons = []
    person = Reversed(device, helper)
    assert not person.to_switches()
    assert helper.trouble == prompts.THROTTLE_UP


def test_it_is_kept_only_after_all_ends_were_seen():
    helper, person = set_up(plain())
    assert not helper.confirm()
    person.to_switches()
    person.skip_all()
    assert helper.live is not None
    assert not helper.confirm()
    assert "throttle" in str(helper.trouble)
    assert helper.mapping is None
    person.until(lambda: helper.ready)
    assert helper.trouble is None
    assert helper.prompt == prompts.LIVE_DONE
    assert helper.confirm()
    helper.again()
    assert helper.mapping is None
    assert helper.prompt == prompts.REST


def test_switches_are_learned():
    device = plain(levers={6: -1.0})
    helper, person = set_up(device)
    assert person.to_switches()
    person.flip(3)
    person.flip(5, momentary=True)
    assert helper.asking == "mode"
    person.wait(0.8)
    device.levers[6] = 1.0
    assert person.until(lambda: helper.asking == "pause", 3.0)
    person.skip_all()
    assert person.until(lambda: helper.ready)
    assert helper.confirm()
    known = helper.mapping
    assert known is not None
    assert known.arm == Button(index=3)
    assert known.stop == Button(index=5, momentary=True)
    assert isinstance(known.mode, Lever)
    assert (known.mode.index, known.mode.sign) == (6, 1)
    assert known.mode.threshold == pytest.approx(0.0, abs=0.05)
    assert known.pause is None


def test_a_switch_whose_button_is_let_go_when_on():
    device = plain()
    device.buttons[2] = True
    helper, person = set_up(device)
    person.to_switches()
    person.wait(0.8)
    device.buttons[2] = False
    assert person.until(lambda: helper.asking == "stop", 3.0)
    person.skip_all()
    assert person.until(lambda: helper.ready)
    assert helper.confirm()
    assert helper.mapping is not None
    assert helper.mapping.arm == Button(index=2, on_when_down=False)


def test_wrong_switches_are_refused():
    device = plain()
    helper, person = set_up(device)
    person.to_switches()
    person.flip(3)
    assert helper.asking == "stop"
    person.wait(0.8)
    device.buttons[3] = False  # the one already taken
    assert person.until(lambda: helper.trouble is not None, 3.0)
    assert "already arms the motors" in str(helper.trouble)
    device.buttons[3] = True
    person.wait(1.5)
    device.buttons[4] = device.buttons[5] = True
    assert person.until(lambda: helper.trouble == prompts.SEVERAL_SWITCHES, 3.0)
    device.buttons[4] = False
    person.wait(0.5)
    device.buttons[5] = False  # put back one by one: not taken for a flip
    person.wait(1.5)
    assert helper.asking == "stop"
    person.rest = {**DOWN, "yaw": 1.0}
    assert person.until(lambda: helper.trouble == prompts.STICK_MOVED.format(what="yaw"), 3.0)
    person.rest = dict(DOWN)
    person.wait(1.5)
    device.buttons[6] = True
    assert person.until(lambda: helper.asking == "mode", 3.0)


def test_too_few_axes_are_refused():
    with pytest.raises(ValueError, match="needs 4 axes"):
        Helper(3, 2)


def test_the_throttle_is_asked_for_last():
    assert ORDER[-1] == "throttle"
    assert set(ORDER) == set(CHANNELS)
