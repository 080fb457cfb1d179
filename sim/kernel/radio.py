"""From stick to command: transmitter channel, frames over the air, controller input, failsafe.

Pulses follow the trade's convention: 1000 to 2000 us, 1500 us neutral, one set a frame, with a
resolution of 1 us (common practice, no formal standard).
"""

from math import floor
from typing import NamedTuple

from sim.kernel import noise
from sim.kernel.jit import compiled


class Channel(NamedTuple):
    """One transmitter channel: direction +1 or -1, end points, centre and trim in us."""

    direction: float
    low_us: float
    centre_us: float
    high_us: float
    trim_us: float


class Input(NamedTuple):
    """What the controller makes of the pulse: direction +1 or -1, expected pulses in us."""

    direction: float
    low_us: float
    centre_us: float
    high_us: float


class RadioParams(NamedTuple):
    """Channels and inputs in the order roll, pitch, throttle, yaw; times in ticks."""

    channels: tuple[Channel, Channel, Channel, Channel]
    inputs: tuple[Input, Input, Input, Input]
    order: tuple[float, float, float, float]  # which channel each input listens to
    frame_ticks: float
    latency_ticks: float
    timeout_ticks: float
    loss_chance: float  # 1; per frame
    jitter_us: float
    failsafe_stops: float  # 1: motors stop on link loss; 0: the last command is held


class Sticks(NamedTuple):
    """Stick positions -1..1 (throttle 0..1): roll right, nose up, yaw right positive; switches."""

    roll: float
    pitch: float
    throttle: float
    yaw: float
    transmitter_on: float
    self_level: float
    stop: float


class RadioState(NamedTuple):
    """Pulses on the way and received (us), and when the last frame came."""

    on_way_us: tuple[float, float, float, float]
    pulse_us: tuple[float, float, float, float]
    due_tick: float
    last_frame_tick: float
    linked: float


class Command(NamedTuple):
    """What the controller understands: -1..1, throttle 0..1."""

    roll: float
    pitch: float
    throttle: float
    yaw: float


@compiled
def pulse_us(stick, channel):
    """Return the pulse a channel sends for a stick position -1..1."""
    s = channel.direction * stick
    reach = channel.high_us - channel.centre_us if s > 0.0 else channel.centre_us - channel.low_us
    return channel.centre_us + channel.trim_us + s * reach


@compiled
def understood(pulse, expected):
    """Return what the controller makes of a pulse, -1..1."""
    away = pulse - expected.centre_us
    if away > 0.0:
        reach = expected.high_us - expected.centre_us
    else:
        reach = expected.centre_us - expected.low_us
    return expected.direction * min(1.0, max(-1.0, away / reach))


@compiled
def sent(random, sticks, params):
    """Return (random state, pulses in us) of one frame, rounded to whole microseconds."""
    random, a, b = noise.gaussian_pair(random)
    random, c, d = noise.gaussian_pair(random)
    k = params.jitter_us
    ch = params.channels
    return random, (
        floor(pulse_us(sticks.roll, ch[0]) + k * a + 0.5),
        floor(pulse_us(sticks.pitch, ch[1]) + k * b + 0.5),
        floor(pulse_us(2.0 * sticks.throttle - 1.0, ch[2]) + k * c + 0.5),
        floor(pulse_us(sticks.yaw, ch[3]) + k * d + 0.5),
    )


@compiled
def relayed(random, tick, state, sticks, params):
    """Return (random state, radio state) after one tick: frames leave, arrive, get lost."""
    on_way, received = state.on_way_us, state.pulse_us
    due, last = state.due_tick, state.last_frame_tick
    if tick >= due > 0.0:
        received, last, due = on_way, float(tick), 0.0
    free = due == 0.0  # the air carries one frame at a time
    if sticks.transmitter_on > 0.0 and free and tick % int(params.frame_ticks) == 0:
        random, on_way = sent(random, sticks, params)
        random, chance = noise.uniform(random)
        if chance >= params.loss_chance:
            due = tick + params.latency_ticks
    linked = 1.0 if last > 0.0 and tick - last <= params.timeout_ticks else 0.0
    return random, RadioState(on_way, received, due, last, linked)


@compiled
def command(pulses_us, params):
    """Return the command the controller takes from a set of pulses."""
    i, o = params.inputs, params.order
    return Command(
        understood(pulses_us[int(o[0])], i[0]),
        understood(pulses_us[int(o[1])], i[1]),
        0.5 * (understood(pulses_us[int(o[2])], i[2]) + 1.0),
        understood(pulses_us[int(o[3])], i[3]),
    )


@compiled
def stick_sense(channel, expected):
    """Return what a full stick to the positive side becomes after both reversals, -1..1."""
    return understood(pulse_us(1.0, channel), expected)
