"""The range walk: reduced power, thirty paces, the aircraft turned to four headings."""

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.check import Check, Line, sticks
from sim.bench.checks.link import transmitter_meter
from sim.bench.person import Subject, senses
from sim.bench.reading import Reading
from sim.bench.rig import Rig
from sim.kernel.clock import TICK_S, ticks
from sim.units import S_PER_MS

PACES = 30.0  # paces; common practice for reduced power
LISTEN_S = 3.0  # s; own: how long each heading is watched
AMBIENT_LOSS = 0.01  # share of frames; own: what any garage does to a link at reduced power
ECHO_LOSS = 0.035  # share of frames; own: spread of what cars and the walker's body take
SHADOW = {
    "ahead": 0.8,
    "right": 1.0,
    "behind": 0.9,
    "left": 0.7,
}  # 1; own: an aerial has a weak side
JERKY_S = 0.08  # s; own: a bar that stands still for longer is seen to jump


def _frames(rig: Rig) -> tuple[float, float]:
    """Return (share of frames lost, longest gap in s) while the sticks are watched."""
    frame_s = rig.world.airframe.link.frame_ms * S_PER_MS
    came = [rig.value("radio.last_frame_tick")]
    for _ in range(round(LISTEN_S / frame_s)):
        rig.run(sticks(), frame_s, every=ticks(frame_s))
        came.append(rig.value("radio.last_frame_tick"))
    gaps = np.diff(np.unique([*came, float(rig.tick)]))
    heard = len(np.unique(came)) - 1
    return 1.0 - heard / (len(came) - 1), float(gaps.max(initial=0.0)) * TICK_S


def echo(rng: np.random.Generator) -> float:
    """Return what cars and the walker's body take from the link at one heading, share of frames."""
    return ECHO_LOSS * abs(float(rng.standard_normal()))


def far_away(world: World, heading: str, echoes: float) -> World:
    """Return the world as the link feels it from thirty paces, the model held to a heading."""
    fitted = world.build.radio
    far = AMBIENT_LOSS + echoes + fitted.loss_at_range * SHADOW[heading]
    return with_value(world, "build.radio.loss_near", min(0.99, max(fitted.loss_near, far)))


def heading_told(heading: str, lost: float, gap_s: float) -> tuple[dict[str, float], str]:
    """Return what is said of one heading, in values and in words."""
    seen = "freeze and jump" if gap_s > JERKY_S else "follow the sticks"
    values = {f"{heading}_lost_share": lost, f"{heading}_longest_gap_s": gap_s}
    return values, f"Model turned {heading}: the bars {seen}."


def range_walk(rig: Rig) -> Reading:
    """Walk away at reduced power while a helper holds the model; watch the bars."""
    before, rng = rig.world, senses(rig, Subject.WALK)
    values, notes = {"paces": PACES}, []
    try:
        for heading in SHADOW:
            rig.change(far_away(before, heading, echo(rng)))
            told, words = heading_told(heading, *_frames(rig))
            values |= told
            notes.append(words)
    finally:
        rig.change(before)
    rig.run(sticks(), 0.2)
    return Reading("range-walk", values | transmitter_meter(rig), notes=tuple(notes))


CHECKS = (
    Check(
        "range-walk",
        "C10",
        "Thirty paces at reduced power, the model held to four headings",
        2.0,
        ("powered", "linked", "props_off"),
        range_walk,
        "Do the bars follow at every heading?",
        lines=(Line("link", 40, "range", "Thirty paces: say what was lost"),),
        voided_by=("swap:aerial", "swap:transmitter-pack"),
        caution="A helper holds the model, propellers off. Full power again afterwards.",
    ),
)
