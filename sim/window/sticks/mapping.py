"""What a device's axes and buttons mean, kept per device, and what they say at a moment."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field, model_validator

from sim.aircraft.fields import CHANNELS, ChannelName, Direction, Line, Share, Strict
from sim.window.sticks.modes import DEFAULT_MODE, MODES, Stick, functions
from sim.window.sticks.positions import Positions, clipped, shape

DeviceKey = tuple[str, str, int]
SwitchName = Literal["arm", "stop", "mode", "pause", "hands", "check"]
SWITCHES: tuple[SwitchName, ...] = ("arm", "stop", "mode", "pause", "hands", "check")

USUAL_DEAD_BAND = 0.02  # 1; own: hides the play of a good gimbal
USUAL_EXPO = 0.2  # 1; own: a little softer in the middle, ends untouched
THUMB_DEAD_BAND = 0.08  # 1; own: thumb sticks rest anywhere within some per cent
THUMB_EXPO = 0.4  # 1; own: thumb sticks have a third of a gimbal's travel
AT_REST = 0.3  # 1; own: a stick this near the middle may be a sprung one at rest
STICK_AXES = 4  # axes; two sticks, two ways each

Raw = Annotated[float, Field(ge=-1.5, le=1.5)]
Index = Annotated[int, Field(ge=0, le=63)]


class Axis(Strict):
    """One function's axis: raw ends and middle, and which way is positive.

    `from_centre`: a throttle whose stick springs back; the middle and below count as shut.
    """

    index: Index
    sign: Direction = 1
    low: Raw = -1.0
    centre: Raw = 0.0
    high: Raw = 1.0
    dead_band: Annotated[float, Field(ge=0.0, le=0.5)] = USUAL_DEAD_BAND
    expo: Share = USUAL_EXPO
    from_centre: bool = False

    @model_validator(mode="after")
    def _in_order(self) -> "Axis":
        if not self.low < self.centre < self.high:
            raise ValueError("low, centre and high must rise in this order")
        return self

    def travel(self, raw: float) -> float:
        """Return the shaped travel about the middle, -1..1."""
        away = raw - self.centre
        reach = self.high - self.centre if away > 0.0 else self.centre - self.low
        return shape(self.sign * away / reach, self.dead_band, self.expo)

    def lever(self, raw: float) -> float:
        """Return the shaped travel from the bottom, 0..1."""
        if self.from_centre:
            return max(0.0, self.travel(raw))
        share = clipped((raw - self.low) / (self.high - self.low), 0.0, 1.0)
        return shape(share if self.sign > 0 else 1.0 - share, self.dead_band, self.expo)


class Button(Strict):
    """A switch that is a button. `momentary`: it springs back, so each press is one flip."""

    kind: Literal["button"] = "button"
    index: Index
    on_when_down: bool = True
    momentary: bool = False

    def is_on(self, axes: Sequence[float | None], buttons: Sequence[bool]) -> bool | None:
        """Tell whether it is on; None if that isn't known yet."""
        return buttons[self.index] == self.on_when_down


class Lever(Strict):
    """A switch that is an axis: on beyond the threshold, upwards (1) or downwards (-1)."""

    kind: Literal["axis"] = "axis"
    index: Index
    sign: Direction = 1
    threshold: Raw = 0.0
    momentary: bool = False

    def is_on(self, axes: Sequence[float | None], buttons: Sequence[bool]) -> bool | None:
        """Tell whether it is on; None if that isn't known yet."""
        raw = axes[self.index]
        return None if raw is None else self.sign * (raw - self.threshold) > 0.0


Switch = Annotated[Button | Lever, Field(discriminator="kind")]


class DeviceMapping(Strict):
    """One device's axes and switches. `unconfirmed`: guessed, nobody has moved it to check."""

    guid: Line
    name: Line
    axes_count: Annotated[int, Field(ge=STICK_AXES, le=64)]
    buttons_count: Annotated[int, Field(ge=0, le=64)] = 0
    roll: Axis
    pitch: Axis
    throttle: Axis
    yaw: Axis
    arm: Switch | None = None
    stop: Switch | None = None
    mode: Switch | None = None
    pause: Switch | None = None
    hands: Switch | None = None
    check: Switch | None = None
    unconfirmed: bool = False

    @model_validator(mode="after")
    def _there_and_apart(self) -> "DeviceMapping":
        sticks = [self.axis(name).index for name in CHANNELS]
        levers = [s.index for s in self.switches().values() if isinstance(s, Lever)]
        pushed = [s.index for s in self.switches().values() if isinstance(s, Button)]
        if max(sticks + levers) >= self.axes_count or max(pushed, default=-1) >= self.buttons_count:
            raise ValueError("an axis or button the device does not have")
        if len(set(sticks)) < STICK_AXES or set(levers) & set(sticks):
            raise ValueError("one axis can't carry two functions")
        return self

    @property
    def key(self) -> DeviceKey:
        """What a device is recognised by when it comes back."""
        return self.guid, self.name, self.axes_count

    def axis(self, function: ChannelName) -> Axis:
        """Return the axis of a function."""
        found: Axis = getattr(self, function)
        return found

    def switches(self) -> dict[SwitchName, Button | Lever]:
        """Return the switches that are assigned."""
        return {n: s for n in SWITCHES if (s := getattr(self, n)) is not None}


@dataclass(frozen=True)
class Switches:
    """Where the switches stand; None: not assigned, or not known until it is moved."""

    arm: bool | None = None
    stop: bool | None = None
    mode: bool | None = None
    pause: bool | None = None
    hands: bool | None = None
    check: bool | None = None


def apply(mapping: DeviceMapping, axes: Sequence[float | None]) -> Positions:
    """Return the functions for raw axes; an axis not known yet (None) counts as hands off."""

    def at(function: ChannelName) -> float:
        axis = mapping.axis(function)
        raw = axes[axis.index]
        if raw is None:
            return 0.0
        return axis.lever(raw) if function == "throttle" else axis.travel(raw)

    return Positions(**{name: at(name) for name in CHANNELS})


def apply_switches(
    mapping: DeviceMapping, axes: Sequence[float | None], buttons: Sequence[bool]
) -> Switches:
    """Return where the switches stand for raw axes and buttons."""
    assigned = mapping.switches().items()
    return Switches(**{name: switch.is_on(axes, buttons) for name, switch in assigned})


def guess(
    guid: str, name: str, resting: Sequence[float], buttons_count: int, mode: int = DEFAULT_MODE
) -> DeviceMapping | None:
    """Return an unconfirmed mapping for a plain pad with two sprung sticks, or None.

    Triggers rest at an end and are passed over; anything but exactly four axes resting in the
    middle is no such pad. The usual order is left x, left y, right x, right y, down positive.
    """
    middles = [i for i, raw in enumerate(resting) if abs(raw) <= AT_REST]
    if len(middles) != STICK_AXES:
        return None

    def axis(function: ChannelName) -> Axis:
        place = MODES[mode].index(function)
        all_raw_up: tuple[Stick, Stick] = ((1.0, -1.0), (1.0, -1.0))
        rises = functions(all_raw_up, mode).of(function) > 0.0
        lever = function == "throttle"
        return Axis(
            index=middles[place],
            sign=1 if rises else -1,
            dead_band=THUMB_DEAD_BAND,
            expo=0.0 if lever else THUMB_EXPO,
            from_centre=lever,
        )

    return DeviceMapping(
        guid=guid,
        name=name,
        axes_count=len(resting),
        buttons_count=buttons_count,
        roll=axis("roll"),
        pitch=axis("pitch"),
        throttle=axis("throttle"),
        yaw=axis("yaw"),
        unconfirmed=True,
    )
