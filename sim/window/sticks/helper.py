"""The mapping helper: a person moves one thing at a time and it learns what each axis is.

Rest; each function's stick to both ends twice, then held at its positive end; rest; the switches;
then a live picture the person confirms. Pure: time and samples come in, words come out.
"""

from collections.abc import Sequence

from sim.aircraft.fields import ChannelName
from sim.window.sticks import prompts
from sim.window.sticks.flips import Flip, Live
from sim.window.sticks.mapping import STICK_AXES, SWITCHES, DeviceMapping, SwitchName
from sim.window.sticks.modes import DEFAULT_MODE
from sim.window.sticks.positions import Positions
from sim.window.sticks.steps import Hold, Rest, Settle, Step, Sweep
from sim.window.sticks.watching import Findings, Sample

# the throttle last: it may stay up when let go, and would move again while another is shown
ORDER: tuple[ChannelName, ...] = ("roll", "pitch", "yaw", "throttle")


class Helper:
    """Learns a device by asking for one motion at a time.

    Parameters
    ----------
    axes_count, buttons_count : int
        What the device has.
    mode : int
        Stick mode 1 to 4, for the words.
    guid, name : str
        What the device is recognised by later.
    wanted : sequence of str
        The switches to ask for.
    """

    def __init__(
        self,
        axes_count: int,
        buttons_count: int,
        *,
        mode: int = DEFAULT_MODE,
        guid: str = "",
        name: str = "",
        wanted: Sequence[SwitchName] = SWITCHES,
    ) -> None:
        if axes_count < STICK_AXES:
            raise ValueError(f"a device needs {STICK_AXES} axes, this one has {axes_count}")
        self._counts = axes_count, buttons_count
        self._mode, self._guid, self._name = mode, guid, name
        self._wanted = tuple(wanted)
        self.again()

    def again(self) -> None:
        """Start from the beginning."""
        found = self._found = Findings(self._counts[0])
        steps: list[Step] = [Rest(found)]
        for function in ORDER:
            steps += [Sweep(found, function, self._mode), Hold(found, function, self._mode)]
        steps.append(Settle(found))
        steps += [Flip(found, switch) for switch in self._wanted]
        self._steps = steps
        self._at = 0
        self._live: Live | None = None
        self._mapping: DeviceMapping | None = None

    def feed(self, time_s: float, axes: Sequence[float], buttons: Sequence[bool]) -> None:
        """Take the raw axes and buttons as they are at a time; times never go back."""
        sample = Sample(time_s, tuple(axes), tuple(buttons))
        step = self._step
        if step is not None and step.feed(sample):
            self._next()

    @property
    def _step(self) -> Step | None:
        return self._steps[self._at] if self._at < len(self._steps) else self._live

    def _next(self) -> None:
        self._at += 1
        if self._at == len(self._steps):
            self._live = Live(self._draft())

    def _draft(self) -> DeviceMapping:
        found = self._found
        device: dict[str, object] = {
            "guid": self._guid,
            "name": self._name,
            "axes_count": self._counts[0],
            "buttons_count": self._counts[1],
        }
        return DeviceMapping.model_validate(device | {**found.axes} | {**found.switches})

    @property
    def prompt(self) -> str:
        """What the person should do now."""
        step = self._step
        return prompts.DONE if self._mapping is not None or step is None else step.prompt

    @property
    def progress(self) -> float:
        """The share done, 0..1."""
        return 1.0 if self._mapping is not None else self._at / (len(self._steps) + 1)

    @property
    def trouble(self) -> str | None:
        """What was wrong with the last try, if anything."""
        step = self._step
        return None if self._mapping is not None or step is None else step.trouble

    @property
    def asking(self) -> SwitchName | ChannelName | None:
        """The function or switch being asked for, for the picture."""
        step = self._step
        if isinstance(step, Sweep | Hold):
            return step.function
        return step.switch if isinstance(step, Flip) else None

    @property
    def may_skip(self) -> bool:
        """Whether what is asked for can be left out: switches can."""
        return isinstance(self._step, Flip)

    def skip(self) -> None:
        """Leave the switch asked for out; nothing else can be left out."""
        if self.may_skip:
            self._next()

    @property
    def live(self) -> Positions | None:
        """The functions as the new mapping sees them, once it is whole."""
        return None if self._live is None else self._live.positions

    @property
    def ready(self) -> bool:
        """Whether every function has been seen at its ends and the mapping can be confirmed."""
        return self._live is not None and not self._live.left

    def confirm(self) -> bool:
        """Keep the mapping if it is ready; tell whether it was."""
        if self._live is None:
            return False
        if self._live.left:
            self._live.trouble = prompts.NOT_YET.format(left=", ".join(self._live.left))
            return False
        self._mapping = self._live.draft
        return True

    @property
    def mapping(self) -> DeviceMapping | None:
        """The mapping, once the person has confirmed it."""
        return self._mapping
