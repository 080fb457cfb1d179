"""The helper's steps for switches, and the last look at the whole."""

from typing import Literal

from sim.aircraft.fields import CHANNELS, ChannelName
from sim.window.sticks import prompts
from sim.window.sticks.mapping import Button, DeviceMapping, Lever, SwitchName, apply
from sim.window.sticks.positions import SAFE, Positions
from sim.window.sticks.watching import ENOUGH, Findings, Sample

BASE_S = 0.4  # s; own: how things stand before the flip
LET_GO_S = 1.0  # s; own: by then a finger is off a button
PUT_BACK_S = 5.0  # s; own: after a refusal, wait so long for things to be put back
SEEN = 0.8  # 1; own: this far out counts as the end
SHUT = 0.05  # 1; own: this low counts as throttle down

Place = tuple[str, int]


class Flip:
    """One switch: which button or axis moves, which way is on, and whether it springs back."""

    def __init__(self, found: Findings, switch: SwitchName) -> None:
        self.found, self.switch = found, switch
        self.prompt = prompts.flip(switch)
        self.trouble: str | None = None
        self._base: Sample | None = None
        self._refused_s: float | None = None
        self._fresh()

    def _fresh(self) -> None:
        self._ready = False
        self._flip: tuple[float, Sample] | None = None
        self._peak: dict[int, float] = {}
        self._went_on: set[int] = set()
        self._went_off: set[int] = set()

    def _refuse(self, words: str, time_s: float) -> None:
        self.trouble, self._refused_s = words, time_s
        self._fresh()

    def feed(self, sample: Sample) -> bool:
        """Take a sample; done a second after something free has been flipped."""
        base = self._base
        if base is not None and self._refused_s is not None:
            put_back = not self._moved(base, sample)
            if not put_back and sample.time_s - self._refused_s < PUT_BACK_S:
                return False
            self._base = base = sample
            self._refused_s = None
        if base is None or (not self._ready and self._moved(base, sample)):
            self._base = sample  # hands still on their way
            return False
        self._ready = self._ready or sample.time_s - base.time_s >= BASE_S
        if not self._ready:
            return False
        self._note(base, sample)
        if self._flip is None:
            if self._peak or self._went_on or self._went_off:
                self._flip = sample.time_s, sample
            return False
        if sample.time_s - self._flip[0] < LET_GO_S:
            return False
        return self._judged(base, sample)

    def _moved(self, base: Sample, sample: Sample) -> bool:
        pairs = zip(base.axes, sample.axes, strict=True)
        return base.buttons != sample.buttons or any(abs(a - b) > 0.5 * ENOUGH for a, b in pairs)

    def _note(self, base: Sample, sample: Sample) -> None:
        for i, (before, now) in enumerate(zip(base.axes, sample.axes, strict=True)):
            away = now - before
            if abs(away) > max(ENOUGH, abs(self._peak.get(i, 0.0))):
                self._peak[i] = away
        for i, (was, down) in enumerate(zip(base.buttons, sample.buttons, strict=True)):
            if was != down:
                (self._went_on if down else self._went_off).add(i)

    def _judged(self, base: Sample, sample: Sample) -> bool:
        # a switch with three places lets one button go as it presses the next
        buttons = self._went_on or self._went_off
        sticks = [owner for i in self._peak if (owner := self.found.owner(i)) is not None]
        if sticks:
            self._refuse(prompts.STICK_MOVED.format(what=sticks[0]), sample.time_s)
        elif len(buttons) + len(self._peak) != 1:
            self._refuse(prompts.SEVERAL_SWITCHES, sample.time_s)
        else:
            switch = self._switch(buttons, base, sample)
            for name, other in self.found.switches.items():
                if (other.kind, other.index) == (switch.kind, switch.index):
                    words = prompts.SWITCH_TAKEN.format(what=prompts.SWITCH_WHAT[name])
                    self._refuse(words, sample.time_s)
                    return False
            self.found.switches[self.switch] = switch
            return True
        return False

    def _switch(self, buttons: set[int], base: Sample, sample: Sample) -> Button | Lever:
        if buttons:
            (index,) = buttons
            momentary = sample.buttons[index] == base.buttons[index]
            return Button(index=index, on_when_down=index in self._went_on, momentary=momentary)
        ((index, peak),) = self._peak.items()
        stayed = sample.axes[index] - base.axes[index]
        momentary = abs(stayed) < 0.5 * abs(peak)
        half = 0.5 * (peak if momentary else stayed)
        sign: Literal[1, -1] = 1 if peak > 0.0 else -1
        threshold = base.axes[index] + half
        return Lever(index=index, sign=sign, threshold=threshold, momentary=momentary)


class Live:
    """The mapping at work, until every function has been seen at both its ends."""

    def __init__(self, draft: DeviceMapping) -> None:
        self.draft = draft
        self.positions: Positions = SAFE
        self.trouble: str | None = None
        self._seen: set[tuple[ChannelName, str]] = set()

    @property
    def left(self) -> list[str]:
        """The functions still to be moved to both ends."""
        ends = ("low", "high")
        return [n for n in CHANNELS if not all((n, end) in self._seen for end in ends)]

    @property
    def prompt(self) -> str:
        """What to do next."""
        left = self.left
        return prompts.LIVE.format(left=", ".join(left)) if left else prompts.LIVE_DONE

    def feed(self, sample: Sample) -> bool:
        """Take a sample; never done by itself: a person confirms."""
        self.positions = apply(self.draft, sample.axes)
        for name in CHANNELS:
            value = self.positions.of(name)
            if value >= SEEN:
                self._seen.add((name, "high"))
            if value <= (SHUT if name == "throttle" else -SEEN):
                self._seen.add((name, "low"))
        if not self.left:
            self.trouble = None
        return False
