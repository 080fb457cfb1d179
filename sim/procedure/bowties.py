"""Bow-ties for the debrief: what leads to an unwanted event, what holds it back, what follows.

A threat is stopped by any one of its barriers; the top event is softened by mitigations. Each barrier
names the check that shows it holds, where there is one, and what weakens it. The form is the one
used in process safety; threats, barriers and sentences are our own.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Barrier:
    """Something that stands in the way: what it is, which check shows it, what weakens it."""

    key: str
    words: str
    check: str = ""
    weakened_by: str = ""


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


BARRIERS: dict[str, Barrier] = {
    b.key: b
    for b in (
        Barrier(
            "propellers-off",
            "Propellers lie in another place until all else is done",
            "propellers",
            "just a short try, and they are on already",
        ),
        Barrier(
            "arming-rules",
            "It refuses to arm in the four forbidden cases",
            "switches",
            "a rule switched off because it was in the way",
        ),
        Barrier(
            "clamp",
            "A clamp or two hands hold the frame",
            "",
            "hands that are also needed for the plug",
        ),
        Barrier(
            "link-first",
            "Transmitter on first, with the right model on its screen",
            "stick-display",
            "another model flown since",
        ),
        Barrier(
            "sense-by-stick",
            "Each stick speeds up the right pair",
            "stick-to-motor",
            "judged after the motors have crept apart",
        ),
        Barrier(
            "sense-by-tilt",
            "The low side speeds up when it is tilted by hand",
            "tilt-while-armed",
            "skipped, as the sticks were right",
        ),
        Barrier(
            "motor-places",
            "Each output turns its own motor, the right way round",
            "one-motor",
            "the wires go where they went last time",
        ),
        Barrier(
            "blades",
            "Each propeller in the hand: hand, face, edge, grip",
            "propellers-in-hand",
            "fitted in a hurry on the pad",
        ),
        Barrier(
            "settings",
            "Every setting equals the sheet, or its reason is written down",
            "settings-sheet",
            "seen as expected rather than read",
        ),
        Barrier(
            "level-and-heading",
            "Level and heading agree with plate and marks",
            "heading-marks",
            "calibrated beside steel",
        ),
        Barrier(
            "light-gate",
            "Two seconds light on the legs before lifting",
            "light-on-legs",
            "a quick thumb, straight up",
        ),
        Barrier(
            "pack-look",
            "Pack looked at, felt, and each cell measured",
            "pack-at-rest",
            "the charger said full",
        ),
        Barrier(
            "lead-measured",
            "Lead measured before anything is plugged in",
            "first-power",
            "the plugs only fit one way, it was thought",
        ),
        Barrier(
            "charge-watched",
            "Somebody stays with a pack on the charger",
            "people-and-room",
            "only five minutes for tea",
        ),
        Barrier(
            "load-test",
            "Pack tried under the hover's current behind the screen",
            "restrained-run-up",
            "rest voltage taken for strength",
        ),
        Barrier(
            "failsafe-seen",
            "Motors seen to stop when the link is lost",
            "failsafe",
            "it was set once, long ago",
        ),
        Barrier(
            "range-walked",
            "Link walked at reduced power, four headings",
            "range-walk",
            "the room is small, it was said",
        ),
    )
}

MITIGATIONS: dict[str, Barrier] = {
    b.key: b
    for b in (
        Barrier("distance", "Nobody within the ring", "people-and-room", "a visitor at the door"),
        Barrier("goggles", "Goggles on every face", "people-and-room", "one pair for three people"),
        Barrier("stop-switch", "Stop switch under a thumb, tried", "switches", "never rehearsed"),
        Barrier("spotter", "A spotter who may call the abort", "people-and-room", "filming it"),
        Barrier("low", "Never higher than a metre", "", "climbing away from trouble"),
        Barrier("fire-box", "Packs in a box that can't burn, door free", "people-and-room", ""),
    )
}

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


def standing(threat: Threat, facts: frozenset[str]) -> tuple[Barrier, ...]:
    """Return the barriers on a threat that checks have shown to hold. facts : checks still valid."""
    return tuple(BARRIERS[key] for key in threat.barriers if BARRIERS[key].check in facts)
