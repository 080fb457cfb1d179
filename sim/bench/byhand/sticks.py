"""By hand: the stick display."""

import numpy as np
from numpy.typing import NDArray

from sim.aircraft.fields import CHANNELS
from sim.bench.checks.link import (
    DISPLAY_S,
    POSITIONS,
    Pulses,
    channel_lines,
    display_reading,
    screen_lines,
)
from sim.bench.reading import Reading, not_read
from sim.bench.recorded import Form, Mask, Recorded, Span, longest
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.keys import CheckKey

AT_REST = 0.1  # of stick; own: a thumb off a stick leaves it nearer its middle than this
MOVED = 0.5  # of stick; own: moved less, nobody reads it as an end
SAME = 0.03  # of stick; own: a thumb that rests
US_PER_SHARE = 500.0  # us; trade's convention: from the middle to an end


def position(history: History, channel: str) -> NDArray[np.float64]:
    """Return where a stick is, -1..1; the throttle's low end is -1."""
    stick = history[f"stick_{channel}"]
    return 2.0 * stick - 1.0 if channel == "throttle" else stick


def others_at_rest(history: History, channel: str) -> Mask:
    """Tell for each row whether no other stick is moved; the throttle rests at its low end."""
    mask = np.ones(len(history), bool)
    for other in CHANNELS:
        if other != channel:
            rest = -1.0 if other == "throttle" else 0.0
            mask &= np.abs(position(history, other) - rest) <= AT_REST
    return mask


def _resting(recorded: Recorded, channel: str) -> dict[str, Span]:
    """Return where a stick was let rest long enough to read the display, by position."""
    whole = recorded.whole
    alone, at = others_at_rest(whole, channel), position(whole, channel)
    moved = at[alone]
    if moved.size == 0 or np.ptp(moved) < MOVED:
        return {}
    masks = {"centre": np.abs(at) <= SAME}
    if moved.min() <= -MOVED:
        masks["low"] = at <= moved.min() + SAME
    if moved.max() >= MOVED:
        masks["high"] = at >= moved.max() - SAME
    found = {
        name: longest(recorded.where(alone & masks[name], DISPLAY_S))
        for name, _ in POSITIONS
        if name in masks
    }
    return {name: span for name, span in found.items() if span is not None}


def _arrived(span: Span, channel: str, name: str) -> Pulses:
    """Return the pulses at the end of a rest; a thumb a little off the middle is allowed for."""
    pulses = [float(span.history[f"pulse_{other}_us"][-1]) for other in CHANNELS]
    if name == "centre":
        off = float(position(span.history, channel)[-1])
        pulses[CHANNELS.index(channel)] -= US_PER_SHARE * off
    return tuple(pulses)


def _lines(channel: str) -> list[str]:
    """Return every line that a stick has."""
    ends = [f"{channel}_{name}_{unit}" for name, _ in POSITIONS for unit in ("us", "share")]
    return [
        *ends,
        *(f"{channel}_{what}" for what in ("moves_others_share", "moves_bar", "trim_us")),
    ]


def stick_display(rig: Rig, recorded: Recorded) -> Reading:
    """Read what arrived while each stick rested at an end or in the middle, the others at rest.

    An end is as far as the stick was moved: half way gives the pulses of half way.
    """
    arrived = {
        channel: {name: _arrived(span, channel, name) for name, span in spans.items()}
        for channel in CHANNELS
        if len(spans := _resting(recorded, channel)) > 1
    }
    if not arrived:
        raise Refusal(
            "No stick has moved: take each alone to both its ends and let it rest there.", "moved"
        )
    values = screen_lines(rig)
    for channel, pulses in arrived.items():
        values |= channel_lines(rig, channel, pulses)
    every = [line for channel in CHANNELS for line in _lines(channel)]
    return display_reading(rig, values, not_read(every, values))


FORMS: dict[CheckKey, Form] = {"stick-display": stick_display}
