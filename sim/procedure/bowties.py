"""Bow-ties for the debrief: what leads to an unwanted event, what holds it back, what follows.

A threat is stopped by any one of its barriers; the top event is softened by mitigations. Each barrier
names the check that shows it holds, where there is one, and what weakens it. The form is the one
used in process safety; threats, barriers and sentences are our own.
"""

from dataclasses import dataclass

from sim.keys import CheckKey
from sim.procedure.barriers import BARRIERS, Barrier


@dataclass(frozen=True)
class Threat:
    """A way to the top event, the faults that open it, and the barriers on it."""

    words: str
    faults: tuple[str, ...]
    barriers: tuple[str, ...]


@dataclass(frozen=True)
class BowTie:
    """One unwanted event with both its sides.

    hazards : conduct that takes a barrier or a mitigation away, by identifier.
    """

    key: str
    top_event: str
    threats: tuple[Threat, ...]
    mitigations: tuple[str, ...]
    consequences: tuple[str, ...]
    hazards: tuple[str, ...]
    lesson: str


BOW_TIES = (
    BowTie(
        key="rotors-turn-unasked",
        top_event="Rotors turn when nobody meant them to",
        threats=(
            Threat(
                "A switch stands at 'on' when power comes",
                ("arm-lock-absent", "flight-mode-swapped"),
                ("propellers-off", "arming-rules", "clamp"),
            ),
            Threat(
                "Throttle is up, turned round, or on another channel",
                ("throttle-channel-reversed", "channel-order-mixed", "model-memory-wrong"),
                ("propellers-off", "link-first", "arming-rules"),
            ),
            Threat(
                "A hand goes between the blades of an armed aircraft",
                ("hand-in-disc-armed", "props-on-at-bench"),
                ("propellers-off", "clamp"),
            ),
            Threat(
                "The link is lost and the last throttle is held",
                ("failsafe-holds-last", "antenna-damaged", "transmitter-pack-low"),
                ("failsafe-seen", "range-walked", "propellers-off"),
            ),
        ),
        mitigations=("distance", "goggles", "stop-switch"),
        consequences=("Cuts to hands and arms", "Injured eyes", "A runaway round the bench"),
        hazards=(
            "power-with-props-on",
            "hand-in-disc-armed",
            "arm-person-inside-ring",
            "arm-failsafe-untested",
            "arm-stop-untested",
            "interlock-defeated",
        ),
        lesson=(
            "Taking the propellers off is the one barrier that does not care what caused the start. "
            "Illustration with made-up odds: if 2 sessions in 100 have a false start, 2 in 100 are "
            "done with propellers on, the interlock fails once in 20 and the clamp once in 10, harm "
            "comes twice in a million sessions. With propellers always on it is 50 times that."
        ),  # 0.02 x 0.02 x 0.05 x 0.1 = 2e-6, and 1e-4 with propellers on; own, illustrative
    ),
    BowTie(
        key="hover-out-of-control",
        top_event="The aircraft leaves the ground and does not follow the sticks",
        threats=(
            Threat(
                "It corrects the wrong way",
                ("pitch-channel-reversed", "roll-channel-reversed", "loop-sign-reversed"),
                ("sense-by-stick", "sense-by-tilt", "light-gate"),
            ),
            Threat(
                "Motors, turns or propellers are mixed up",
                ("motor-order-swapped", "motor-spin-reversed", "prop-wrong-hand"),
                ("motor-places", "blades", "sense-by-tilt", "light-gate"),
            ),
            Threat(
                "It does not know how it sits or where it points",
                ("board-rotation-untold", "mag-hard-iron-offset", "accel-cal-bad"),
                ("level-and-heading", "sense-by-tilt", "light-gate"),
            ),
            Threat(
                "The loop shakes, or is too slack to hold",
                ("rate-gain-high", "rate-gain-low", "arm-joint-loose"),
                ("settings", "light-gate"),
            ),
            Threat(
                "A repair did not take, and nobody tried it",
                ("repair-not-reverified", "checklist-interrupted"),
                ("sense-by-stick", "sense-by-tilt", "settings"),
            ),
        ),
        mitigations=("low", "stop-switch", "spotter", "distance", "goggles"),
        consequences=("Broken blades and legs", "Blows and cuts", "A frightened beginner"),
        hazards=(
            "fly-known-fault",
            "fly-unproved-fix",
            "no-abort-within-2s",
            "area-unread",
            "no-spotter",
            "no-goggles",
            "crashed",
        ),
        lesson=(
            "Stick sense and stabiliser sense are two barriers, not one: a reversed channel and a "
            "reversed loop can hide each other from either. Light on the legs is the last place "
            "where stopping costs nothing."
        ),
    ),
    BowTie(
        key="pack-on-fire",
        top_event="A pack burns, or lets the aircraft fall",
        threats=(
            Threat(
                "A pack that was hurt is used once more",
                ("pack-swollen-or-dented", "pack-cell-weak"),
                ("pack-look", "load-test"),
            ),
            Threat(
                "Plus and minus are changed over",
                ("lead-polarity-reversed",),
                ("lead-measured",),
            ),
            Threat(
                "It is charged and nobody is there",
                ("pack-charged-unattended",),
                ("charge-watched",),
            ),
            Threat(
                "Tired, cold or empty cells give up in the air",
                ("pack-high-resistance", "pack-cold", "pack-undercharged", "low-volt-alarm-unset"),
                ("pack-look", "load-test", "settings"),
            ),
        ),
        mitigations=("fire-box", "low", "distance"),
        consequences=("Fire and poisonous smoke", "A fall from the hover", "A burnt garage"),
        hazards=(
            "swollen-pack-plugged",
            "wrong-polarity-plugged",
            "fly-damaged-pack",
            "charge-unattended",
            "still-plugged",
        ),
        lesson=(
            "Rest voltage tells how full a pack is, not how strong. Once a pack burns nobody puts it "
            "out: unplug if that is safe, get everybody out, keep the rest from catching."
        ),
    ),
)


def about(hazard: str) -> BowTie | None:
    """Return the bow-tie a kind of unsafe conduct belongs to, or None."""
    return next((tie for tie in BOW_TIES if hazard in tie.hazards), None)


def opened(faults: frozenset[str]) -> tuple[tuple[BowTie, Threat], ...]:
    """Return every threat these faults open, with its bow-tie."""
    return tuple(
        (tie, threat) for tie in BOW_TIES for threat in tie.threats if faults & set(threat.faults)
    )


def standing(threat: Threat, facts: frozenset[CheckKey]) -> tuple[Barrier, ...]:
    """Return the barriers on a threat that checks have shown to hold. facts : checks still valid."""
    return tuple(BARRIERS[key] for key in threat.barriers if BARRIERS[key].check in facts)
