"""Bow-ties for the debrief: what leads to an unwanted event, what holds it back, what follows.

A threat is stopped by any one of its barriers; the top event is softened by mitigations. Each
fault names in its entry the threat it makes way for; each barrier names the check that shows it
holds, where there is one, and what weakens it. The form is the one used in process safety; threats,
barriers and sentences are our own.
"""

from dataclasses import dataclass

from sim.faults.catalogue import CATALOGUE
from sim.keys import BarrierKey, CheckKey, HazardKey, MitigationKey, ThreatKey
from sim.procedure.barriers import BARRIERS, Barrier


@dataclass(frozen=True)
class Threat:
    """A way to the top event, and the barriers on it."""

    key: ThreatKey
    words: str
    barriers: tuple[BarrierKey, ...]

    @property
    def faults(self) -> tuple[str, ...]:
        """Return the faults that make way for it, as their entries say."""
        return tuple(name for name, fault in CATALOGUE.items() if fault.opens == self.key)


@dataclass(frozen=True)
class BowTie:
    """One unwanted event with both its sides.

    hazards : conduct that takes a barrier or a mitigation away, by identifier.
    """

    key: str
    top_event: str
    threats: tuple[Threat, ...]
    mitigations: tuple[MitigationKey, ...]
    consequences: tuple[str, ...]
    hazards: tuple[HazardKey, ...]
    lesson: str


BOW_TIES = (
    BowTie(
        key="rotors-turn-unasked",
        top_event="Rotors turn when nobody meant them to",
        threats=(
            Threat(
                "switch-on-at-power",
                "A switch stands at 'on' when power comes",
                (
                    "propellers-off",
                    "arming-rules",
                ),
            ),
            Threat(
                "throttle-astray",
                "Throttle is up, turned round, or on another channel",
                (
                    "propellers-off",
                    "link-first",
                    "arming-rules",
                ),
            ),
            Threat(
                "hand-between-blades",
                "A hand goes between the blades of an armed aircraft",
                (
                    "propellers-off",
                    "hands-agreed",
                ),
            ),
            Threat(
                "link-lost",
                "The link is lost and the last throttle is held",
                (
                    "failsafe-seen",
                    "range-walked",
                    "propellers-off",
                ),
            ),
            Threat(
                "people-in-reach",
                "Somebody stands where it may go, or looks on with bare eyes",
                (
                    "propellers-off",
                    "people-asked",
                ),
            ),
        ),
        mitigations=("distance", "goggles", "stop-switch", "clamp"),
        consequences=("Cuts to hands and arms", "Injured eyes", "A runaway round the bench"),
        hazards=(
            "power-with-props-on",
            "hand-in-disc-armed",
            "hands-on-live",
            "arm-person-inside-ring",
            "arm-failsafe-untested",
            "arm-stop-untested",
            "interlock-defeated",
        ),
        lesson=(
            "Taking the propellers off is the one barrier that does not care what caused the start. "
            "Illustration with made-up odds: if 2 sessions in 100 have a false start, 2 in 100 are "
            "done with propellers on, the interlock fails once in 20 and a hand is there once in 10, harm "
            "comes twice in a million sessions. With propellers always on it is 50 times that."
        ),  # 0.02 x 0.02 x 0.05 x 0.1 = 2e-6, and 1e-4 with propellers on; own, illustrative
    ),
    BowTie(
        key="hover-out-of-control",
        top_event="The aircraft leaves the ground and does not follow the sticks",
        threats=(
            Threat(
                "corrects-wrong-way",
                "It corrects the wrong way",
                (
                    "sense-by-stick",
                    "sense-by-tilt",
                    "light-gate",
                ),
            ),
            Threat(
                "motors-mixed-up",
                "Motors, turns or propellers are mixed up",
                (
                    "motor-places",
                    "blades",
                    "sense-by-tilt",
                    "light-gate",
                ),
            ),
            Threat(
                "attitude-misjudged",
                "It does not know how it sits or where it points",
                (
                    "level-read",
                    "heading-read",
                    "sense-by-tilt",
                    "light-gate",
                ),
            ),
            Threat(
                "senses-led-astray",
                "Warmth, current, steel or wash leads its senses astray",
                (
                    "warmed-up",
                    "compass-under-load",
                    "pad-surveyed",
                    "light-gate",
                ),
            ),
            Threat(
                "shakes-or-slack",
                "The loop shakes, or is too slack to hold",
                (
                    "settings",
                    "tugged",
                    "light-gate",
                ),
            ),
            Threat(
                "answers-unlike-the-hand",
                "It answers more, or less, than the hand expects",
                (
                    "sticks-read",
                    "settings",
                    "light-gate",
                ),
            ),
            Threat(
                "lifts-unevenly",
                "It is too heavy, lifts unevenly or shakes itself",
                (
                    "weighed",
                    "blades",
                    "tugged",
                    "light-gate",
                ),
            ),
            Threat(
                "comes-loose",
                "Something comes loose, or gets into a disc",
                (
                    "blades",
                    "tugged",
                ),
            ),
            Threat(
                "corner-gives-way",
                "A motor or its drive gives way, and a corner drops",
                (
                    "siblings-compared",
                    "snapped",
                    "drives-touched",
                ),
            ),
            Threat(
                "room-takes-part",
                "Draught, ceiling, wall or loose things take a hand",
                (
                    "room-read",
                    "settings",
                ),
            ),
            Threat(
                "cut-too-late",
                "Nobody cuts in time, or the cut does nothing",
                (
                    "cut-tried",
                    "abort-rehearsed",
                ),
            ),
            Threat(
                "repair-untried",
                "A repair did not take, or an item was skipped, and nobody tried it",
                (
                    "log-read",
                    "sense-by-stick",
                    "sense-by-tilt",
                    "settings",
                ),
            ),
        ),
        mitigations=("low", "stop-switch", "spotter", "distance", "goggles"),
        consequences=("Broken blades and legs", "Blows and cuts", "A frightened beginner"),
        hazards=(
            "fly-known-fault",
            "fly-unproved-fix",
            "no-abort-within-2s",
            "flew-too-high",
            "flew-at-pilot",
            "area-unread",
            "no-spotter",
            "no-abort-word",
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
                "hurt-pack",
                "A pack that was hurt is used once more",
                (
                    "pack-look",
                    "load-test",
                ),
            ),
            Threat("plus-and-minus", "Plus and minus are changed over", ("lead-measured",)),
            Threat("charged-alone", "It is charged and nobody is there", ("charge-watched",)),
            Threat(
                "pack-not-up-to-it",
                "The pack is tired, cold, empty or not the one on the sheet",
                (
                    "pack-look",
                    "load-test",
                    "settings",
                ),
            ),
            Threat(
                "power-lost-on-the-way",
                "Between pack and controller power is lost, or misread",
                (
                    "rails-read",
                    "meter-compared",
                    "load-test",
                ),
            ),
        ),
        mitigations=("fire-box", "low", "distance"),
        consequences=("Fire and poisonous smoke", "A fall from the hover", "A burnt garage"),
        hazards=(
            "swollen-pack-plugged",
            "wrong-polarity-plugged",
            "fly-damaged-pack",
            "flew-on-past-alarm",
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
    """Return every threat these faults of the catalogue make way for, with its bow-tie."""
    open_now = {CATALOGUE[name].opens for name in faults if name in CATALOGUE}
    return tuple((t, threat) for t in BOW_TIES for threat in t.threats if threat.key in open_now)


def standing(threat: Threat, facts: frozenset[CheckKey]) -> tuple[Barrier, ...]:
    """Return the barriers on a threat that checks have shown to hold. facts : checks still valid."""
    return tuple(BARRIERS[key] for key in threat.barriers if BARRIERS[key].check in facts)
