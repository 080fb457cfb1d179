"""Radio pulses there and back; margins of textbook loops and of a pilot."""

from dataclasses import replace
from functools import partial
from math import inf, pi, sqrt
from typing import Any

import numpy as np

from sim.kernel import linear, radio
from sim.qualify import row
from sim.qualify.parts import trainer


def radio_pulses() -> list[row.Row]:
    """Pulses of a transmitter channel as delivered, and what the controller makes of them."""
    t, link = row.table("pulses"), trainer().radio
    channel, expected = link.channels[0], link.inputs[0]
    return [
        t.worst(
            "stick to pulse",
            "pulse_us",
            [radio.pulse_us(x, channel) for x in t.column("stick_ratio")],
        ),
        t.worst(
            "pulse to stick",
            "stick_ratio",
            [radio.understood(x, expected) for x in t.column("pulse_us")],
        ),
    ]


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
