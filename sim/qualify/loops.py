"""Radio pulses there and back, and their age; margins of textbook loops and of a pilot."""

from dataclasses import replace
from functools import partial
from math import inf, pi, sqrt
from typing import Any

import numpy as np

from sim.kernel import linear, radio
from sim.kernel.clock import TICK_S
from sim.kernel.frames import UPRIGHT
from sim.kernel.start import initial_state
from sim.qualify import row
from sim.qualify.parts import HANDS_OFF, trainer


def radio_pulses() -> list[row.Row]:
    """Pulses of the shipped transmitter, and what the controller makes of them."""
    t, link = row.table("pulses"), trainer().radio
    sent = [radio.pulse_us(x, link.channels[0]) for x in t.column("stick_ratio")]
    heard = [radio.understood(x, link.inputs[0]) for x in t.column("pulse_us")]
    return [
        t.worst("stick to pulse", "pulse_us", sent),
        t.worst("pulse to stick", "stick_ratio", heard),
    ]


def age_ms(line: dict[str, float]) -> float:
    """Return the mean time from a stick's movement to its arrival, over all ticks of a frame."""
    frame, tick_ms = round(line["frame_ms"]), 1000.0 * TICK_S
    link = trainer().radio._replace(
        frame_ticks=frame / tick_ms,
        latency_ticks=line["latency_ms"] / tick_ms,
        jitter_us=0.0,
        loss_chance=0.0,
    )
    start = initial_state(trainer(), UPRIGHT, 0.9, 1).radio
    waits = []
    for moved in range(10 * frame, 11 * frame):
        random, state = np.uint64(1), start
        for tick in range(1, 13 * frame):
            roll = 1.0 if tick >= moved else 0.0
            sticks = HANDS_OFF._replace(roll=roll, transmitter_on=1.0)
            random, state = radio.relayed(random, tick, state, sticks, link)
            if radio.command(state.pulse_us, link).roll > 0.5:
                waits.append(tick_ms * (tick - moved))
                break
    return sum(waits) / len(waits) if len(waits) == frame else inf


def link_age() -> list[row.Row]:
    """Age of a stick's movement when the controller hears of it."""
    t = row.table("link_age")
    return [t.worst("stick's movement over the link", "age_ms", map(age_ms, t.lines))]


def known_loop(case: str, w: Any) -> Any:
    """Return the open-loop response of a textbook loop at angular frequencies w."""
    s = 1j * w
    rate, plant = 20.0 / (s * (0.05 * s + 1.0)), 1.0 / (s * (s + 1.0) * (s + 5.0))
    period = 2.0 * pi / sqrt(5.0)  # s; of the plant at its limit gain of 30
    tuned = 18.0 * (1.0 + 2.0 / (period * s) + 0.125 * period * s)
    return {
        "rate": rate,
        "rate-delayed": rate * np.exp(-0.01 * s),
        "plant": plant,
        "plant-tuned": plant * tuned,
    }[case]


def hand(crossover_rad_s: float, delay_s: float, w: Any) -> Any:
    """Return the crossover model of a pilot and what he steers at angular frequencies w."""
    return crossover_rad_s / (1j * w) * np.exp(-1j * w * delay_s)


def loop_margins() -> list[row.Row]:
    """Margins of textbook loops and of the crossover model of a pilot."""
    t, pilot = row.table("loop_margins"), row.table("pilot_margins")
    found = [linear.margins(partial(known_loop, case), 0.05, 500.0) for case in t.column("case")]
    turning = [i for i, gain in enumerate(t.column("gain_margin_ratio")) if gain < inf]
    crossing = replace(t, lines=[t.lines[i] for i in turning])
    hands = [
        linear.margins(partial(hand, line["crossover_rad_s"], line["delay_s"]), 0.05, 500.0)
        for line in pilot.lines
    ]
    return [
        t.worst("textbook loops", "gain_margin_ratio", [m.gain for m in found]),
        crossing.worst(
            "textbook loops",
            "phase_crossover_rad_s",
            [found[i].gain_at_rad_s for i in turning],
        ),
        t.worst("textbook loops", "phase_margin_deg", [m.phase_deg for m in found]),
        t.worst("textbook loops", "gain_crossover_rad_s", [m.phase_at_rad_s for m in found]),
        pilot.worst("pilot crossover model", "phase_margin_deg", [m.phase_deg for m in hands]),
        pilot.worst("pilot crossover model", "gain_margin_ratio", [m.gain for m in hands]),
    ]
