"""Devices through the real joystick library: a virtual device, its events, unplugging, replugging."""

import os
from collections.abc import Callable, Iterator

import pygame
import pytest

from sim.aircraft.fields import CHANNELS
from sim.window.pixels.pads import BACKGROUND_HINT, Lost, Pads, PadState, allow_background
from sim.window.sticks.helper import Helper
from sim.window.sticks.mapping import Axis, Button, DeviceMapping, Lever
from sim.window.sticks.positions import SAFE
from tests.window.sticks.hands import DOWN, Device, Person
from tests.window.virtual_pad import VirtualPad, missing

pytestmark = pytest.mark.skipif(missing() is not None, reason=str(missing()))

Plug = Callable[..., VirtualPad]


@pytest.fixture
def plug() -> Iterator[Plug]:
    """Return a maker of virtual devices; all are unplugged at the end."""
    pygame.display.init()
    pygame.joystick.init()
    pygame.event.clear()
    made = []

    def plugged(**changes) -> VirtualPad:
        made.append(VirtualPad(**changes))
        return made[-1]

    yield plugged
    for pad in made:
        pad.unplug()
    pygame.event.clear()


@pytest.fixture
def pads(plug) -> Iterator[Pads]:
    made = Pads()
    yield made
    made.close()


def mapping(pads: Pads, **changes) -> DeviceMapping:
    """A mapping for the one device there: throttle on axis 2, up is raw up."""
    (device,) = pads.devices
    axes = {name: Axis(index=i, dead_band=0.0, expo=0.0) for i, name in enumerate(CHANNELS)}
    known = {
        "guid": device.guid,
        "name": device.name,
        "axes_count": device.axes_count,
        "buttons_count": device.buttons_count,
    }
    return DeviceMapping.model_validate({**known, **axes, **changes})


def polled(pads: Pads) -> PadState:
    state = pads.poll(pygame.event.get())
    assert isinstance(state, PadState)
    return state


def test_nothing_plugged_in_is_nothing(pads):
    assert pads.poll(pygame.event.get()) is None
    assert pads.devices == ()
    assert pads.guessed() is None


def test_motions_and_presses_arrive(plug, pads):
    pad = plug()
    state = polled(pads)
    assert state.mapping is None
    assert state.positions == SAFE
    assert state.raw == (None,) * 8
    assert (state.device.name, state.device.axes_count) == ("Test sticks", 8)
    pads.learn(mapping(pads))
    for axis, value in enumerate((0.5, -0.25, 1.0, -1.0)):
        pad.move(axis, value)
    pad.press(3)
    state = polled(pads)
    where = state.positions
    assert where.roll == pytest.approx(0.5, abs=1e-3)
    assert where.pitch == pytest.approx(-0.25, abs=1e-3)
    assert where.throttle == pytest.approx(1.0, abs=1e-3)
    assert where.yaw == pytest.approx(-1.0, abs=1e-3)
    assert state.buttons[3]
    assert state.raw[4:] == (None,) * 4


def test_a_device_plugged_in_before_is_found(plug):
    pad = plug()
    pads = Pads()
    assert [device.instance for device in pads.devices] == [pad.instance]
    assert len(pads.devices) == 1
    polled(pads)  # its old plugging-in event comes too and changes nothing
    assert len(pads.devices) == 1
    pads.close()
    assert pads.poll(()) is None


def test_a_device_with_too_few_axes_is_passed_over(plug, pads):
    plug(axes=3)
    assert pads.poll(pygame.event.get()) is None


def test_unplugging_mid_move_is_lost_and_nothing_of_that_batch_is_believed(plug, pads):
    pad = plug()
    polled(pads)
    pads.learn(mapping(pads, arm=Button(index=1)))
    for axis in range(4):
        pad.move(axis, -0.8)
    pad.press(1)
    before = polled(pads)
    assert before.positions.throttle == pytest.approx(0.1, abs=1e-3)
    held = pads._open[pad.instance]
    pad.move(2, 0.9)
    pad.unplug()
    batch = pygame.event.get()
    told = [e.value for e in batch if e.type == pygame.JOYAXISMOTION and e.axis == 2]
    assert told[-1] == 0.0, "the trap is there: the throttle jumps to the middle first"
    assert batch[-1].type == pygame.JOYDEVICEREMOVED
    lost = pads.poll(batch)
    assert isinstance(lost, Lost)
    assert lost.device == before.device
    assert tuple(held.raw) == before.raw
    assert held.buttons[1]
    assert pads.poll(pygame.event.get()) is None
    assert pads.devices == ()


def test_replugged_it_is_recognised_with_its_mapping_and_must_show_the_throttle_again(plug, pads):
    pad = plug()
    polled(pads)
    known = mapping(pads)
    pads.learn(known)
    pad.move(2, -1.0)
    assert polled(pads).throttle_seen_low
    pad.unplug()
    assert isinstance(pads.poll(pygame.event.get()), Lost)
    again = plug()
    assert again.instance != pad.instance
    state = polled(pads)
    assert state.mapping == known
    assert state.positions == SAFE
    assert not state.throttle_seen_low
    again.move(2, 0.5)
    assert not polled(pads).throttle_seen_low
    again.move(2, -0.98)
    assert polled(pads).throttle_seen_low
    again.move(2, 0.5)
    assert polled(pads).throttle_seen_low  # it was seen; where it is now is another matter
    assert pads.mappings == (known,)


def test_kept_mappings_are_used_for_a_device_plugged_in_later(plug, pads):
    plug()
    polled(pads)
    known = mapping(pads)
    later = Pads([known])
    state = later.poll(())
    assert isinstance(state, PadState)
    assert state.mapping == known
    later.close()


def test_another_device_in_use_is_not_lost_with_the_first(plug, pads):
    pad = plug()
    polled(pads)
    pads.learn(mapping(pads))
    other = plug(name="Other sticks", product=8)
    polled(pads)
    pad.move(0, 0.5)
    other.unplug()
    state = polled(pads)
    assert state.device.instance == pad.instance
    assert state.positions.roll == pytest.approx(0.5, abs=1e-3)


def test_a_known_device_goes_before_an_unknown_one_unless_chosen(plug, pads):
    first = plug()
    polled(pads)
    known = mapping(pads)
    pads.learn(known)
    first.unplug()
    pads.poll(pygame.event.get())
    stranger = plug(name="Other sticks", product=8)
    assert polled(pads).device.instance == stranger.instance
    back = plug()
    assert polled(pads).device.instance == back.instance
    pads.use(stranger.instance)
    assert polled(pads).device.instance == stranger.instance
    with pytest.raises(KeyError):
        pads.use(first.instance)


def test_switches_flip_only_once_known(plug, pads):
    pad = plug()
    pad.press(1)
    polled(pads)
    pads.learn(mapping(pads, arm=Button(index=1), stop=Lever(index=5, threshold=0.5)))
    state = polled(pads)
    assert state.switches.arm  # on from the start is no flip
    assert state.switches.stop is None
    assert not state.went_on
    pad.press(1, False)
    pad.move(5, -1.0)
    state = polled(pads)
    assert (state.switches.arm, state.switches.stop) == (False, False)
    assert state.went_off == {"arm"}
    assert not state.went_on
    pad.press(1)
    pad.move(5, 1.0)
    assert polled(pads).went_on == {"arm", "stop"}
    assert not polled(pads).went_on


def test_a_tap_within_one_frame_is_seen(plug, pads):
    pad = plug()
    polled(pads)
    pads.learn(mapping(pads, stop=Button(index=0)))
    events = []
    pad.press(0)
    events += pygame.event.get()
    pad.press(0, False)
    events += pygame.event.get()
    state = pads.poll(events)
    assert isinstance(state, PadState)
    assert state.went_on == state.went_off == {"stop"}


def test_a_plain_pad_is_guessed_but_not_taken_by_itself(plug, pads):
    plug(axes=4)
    assert polled(pads).mapping is None
    made = pads.guessed()
    assert made is not None
    assert made.unconfirmed
    pads.learn(made)
    assert polled(pads).mapping == made


def test_sticks_work_while_another_window_has_the_focus(monkeypatch):
    monkeypatch.delenv(BACKGROUND_HINT, raising=False)
    allow_background()
    assert os.environ[BACKGROUND_HINT] == "1"


class WithEvents(Person):
    """A person whose device is real to the library: motions go through it as events."""

    def __init__(self, device: Device, helper: Helper, pad: VirtualPad, pads: Pads) -> None:
        super().__init__(device, helper)
        self.pad, self.pads = pad, pads

    def deliver(self) -> None:
        for axis, value in enumerate(self.device.raw(self.way)):
            self.pad.move(axis, value)
        for button, down in enumerate(self.device.buttons):
            self.pad.press(button, down)
        state = polled(self.pads)
        self.helper.feed(self.time_s, state.axes, state.buttons)


@pytest.mark.parametrize("seed", range(5))
def test_the_mapping_helper_works_from_end_to_end(plug, pads, seed):
    device = Device.random(seed)
    pad = plug(axes=device.axes)
    there = polled(pads).device
    helper = Helper(device.axes, 8, guid=there.guid, name=there.name)
    person = WithEvents(device, helper, pad, pads)
    assert person.to_switches()
    person.flip(4)
    person.skip_all()
    assert person.until(lambda: helper.ready)
    assert helper.confirm()
    known = helper.mapping
    assert known is not None
    assert [known.axis(name).index for name in CHANNELS] == list(device.spread_over)
    assert [known.axis(name).sign for name in CHANNELS] == list(device.sense)
    assert known.arm == Button(index=4)
    pads.learn(known)
    for name in CHANNELS:
        person.way = {**DOWN, name: 1.0}
        person.deliver()
        assert polled(pads).positions.of(name) > 0.97
    person.way = dict(DOWN)
    person.deliver()
    assert polled(pads).throttle_seen_low
