"""Faults of people: who stands where, what they wear, what they do by habit.

A habit, a visitor in the ring, or something missing from the evening is a fault from the start,
whether the aircraft has power or not. Propellers with power in the hands are one where they come
about. The pilot's own goggles, and a spotter not yet asked, are steps of the procedure; their
hazards are logged.
"""

from collections.abc import Callable

import numpy as np

from sim.aircraft.changes import with_value
from sim.aircraft.conduct import Conduct
from sim.aircraft.world import World
from sim.faults.fault import Fault, Truth
from sim.keys import CheckKey, FaultId

Inject = Callable[[World, float, np.random.Generator], World]
LOOK: tuple[CheckKey, ...] = ("people-and-room",)
SLOW_S = 0.3  # s; training practice: from the word to the cut a second, trained hands need 0.7


def live(conduct: Conduct) -> bool:
    """Tell whether propellers are on and have power."""
    return conduct.props_fitted and conduct.pack_plugged


def loose(conduct: Conduct) -> bool:
    """Tell whether live propellers are out of the clamp and off the pad."""
    on_pad = conduct.place == "pad" and conduct.hold == "standing"
    return live(conduct) and conduct.hold != "clamp" and not on_pad


def somebody_in_ring(conduct: Conduct) -> bool:
    """Tell whether somebody stands in the ring, or walks in now and then."""
    return conduct.person_in_ring or conduct.strays > 0


def unrehearsed(conduct: Conduct) -> bool:
    """Tell whether the abort word is not agreed and tried: hands need longer than trained ones."""
    return conduct.abort_late_s > SLOW_S


def _on_the_bench(conduct: Conduct) -> bool:
    return conduct.props_fitted and conduct.place != "pad"


TRULY: dict[FaultId, Callable[[Conduct], bool]] = {
    "props-on-at-bench": _on_the_bench,
    "no-eye-protection": lambda c: not c.goggles_on or c.others_ungoggled > 0,
    "no-spotter": lambda c: not c.spotter_present,
}  # what is so and may be said, though it endangers nobody yet


def said_truly(cause: FaultId, conduct: Conduct) -> bool:
    """Tell whether a claim about people is true as words go, whether or not it is a fault yet."""
    return cause in TRULY and TRULY[cause](conduct)


def _having(**changes: object) -> Inject:
    """Return an inject that sets these values: of things that are so or not, whatever the severity.

    Propellers are on or off, a spotter or a watch by the charger is there or is not.
    """

    def inject(world: World, severity: float, rng: np.random.Generator) -> World:
        """Set these values of conduct."""
        for key, value in changes.items():
            world = with_value(world, f"conduct.{key}", value)
        return world

    return inject


def _crowd(world: World, severity: float, rng: np.random.Generator) -> World:
    """Let one to four visitors walk about."""
    world = with_value(world, "conduct.person_in_ring", True)
    return with_value(world, "conduct.strays", 1 + round(3.0 * severity))


def _bare_eyes(world: World, severity: float, rng: np.random.Generator) -> World:
    """Leave one to four of the others without goggles."""
    return with_value(world, "conduct.others_ungoggled", 1 + round(3.0 * severity))


def _reaching(world: World, severity: float, rng: np.random.Generator) -> World:
    often = 0.3 + 3.0 * severity  # 1/min; own: now and then, to all the time
    return with_value(world, "conduct.reaches_per_min", often)


def _unrehearsed(world: World, severity: float, rng: np.random.Generator) -> World:
    late = 1.0 + severity  # s; trade experience: untried hands need one to two seconds longer
    return with_value(world, "conduct.abort_late_s", late)


def _ringing(world: World, severity: float, rng: np.random.Generator) -> World:
    rings = 0.2 + 0.6 * severity  # 1/min; own: once in five minutes to nearly every minute
    return with_value(world, "conduct.rings_per_min", rings)


def _log_gaps(world: World, severity: float, rng: np.random.Generator) -> World:
    """Leave one to three repairs in the log that nobody tried afterwards."""
    return with_value(world, "conduct.repairs_untried", 1 + round(2.0 * severity))


def _now(tells: Callable[[Conduct], bool]) -> Callable[[Truth], bool]:
    return lambda truth: tells(truth.world.conduct)


FAULTS = (
    Fault(
        id="props-on-at-bench",
        family="conduct",
        item="propellers",
        hazard=5,
        opens="hand-between-blades",
        inject=_having(
            props_fitted=True, pack_plugged=True, goggles_on=True, place="bench", hold="hands"
        ),
        present=_now(loose),
        revealed_by=("propellers", "people-and-room"),
        proved_by=("propellers", "people-and-room"),
        fixes=("remove-props",),
        in_the_air="It never gets there: a start on the bench cuts hands to the bone.",
        lucky="no motor started while hands were near.",
        explanation=(
            "Propellers were on while the aircraft had power for set-up. Any slip of a setting, a "
            "stick or the software can start a motor. Unplug, take them off, put them out of reach, "
            "and count aloud before every power-up."
        ),
        caution="Unplug before you reach for a propeller.",
    ),
    Fault(
        id="person-in-ring",
        family="conduct",
        item="people",
        hazard=5,
        opens="people-in-reach",
        inject=_crowd,
        present=_now(somebody_in_ring),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:clear-ring",),
        in_the_air="The first slide to the side ends in somebody's legs.",
        lucky="it never slid towards anybody.",
        explanation=(
            "Somebody walks where the aircraft may go in its first second. Nobody dodges a rotor. "
            "Clear the ring, put a barrier there, and let the spotter say 'clear' before you arm."
        ),
    ),
    Fault(
        id="no-eye-protection",
        family="conduct",
        item="goggles",
        hazard=4,
        opens="people-in-reach",
        inject=_bare_eyes,
        present=_now(lambda c: c.others_ungoggled > 0),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:goggles",),
        in_the_air="If a blade breaks, pieces fly level with the discs, and at bench height with eyes.",
        lucky="no blade broke.",
        explanation=(
            "Somebody near turning propellers has no goggles. Fragments of a blade leave faster "
            "than an eyelid closes. Goggles for everybody, not for the pilot alone."
        ),
    ),
    Fault(
        id="hand-in-disc-armed",
        family="conduct",
        item="hands",
        hazard=5,
        opens="hand-between-blades",
        inject=_reaching,
        present=_now(lambda c: c.reaches_per_min > 0.0),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:hands-rule",),
        in_the_air="A hand reaches over an armed aircraft, and it starts.",
        lucky="it did not start under the hand.",
        explanation=(
            "Somebody here puts a hand between the blades to feel or to push, whatever the motors "
            "are doing. An armed motor that stands still is not off. Agree the rule and have it "
            "said back: disarmed, unplugged, standing still, then a hand."
        ),
    ),
    Fault(
        id="no-spotter",
        family="conduct",
        item="spotter",
        hazard=3,
        opens="cut-too-late",
        inject=_having(helper_here=False, spotter_present=False),
        present=_now(lambda c: not c.helper_here),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:spotter",),
        in_the_air="Nobody sees what the pilot can't, and the abort comes late.",
        lucky="nothing came up that you did not see yourself.",
        explanation=(
            "You are alone. The pilot looks at the aircraft and at nothing else; a second person "
            "sees the visitor, the smoke and the wall, and may call the abort. Get one."
        ),
    ),
    Fault(
        id="no-abort-plan",
        family="conduct",
        item="abort word",
        hazard=4,
        opens="cut-too-late",
        inject=_unrehearsed,
        present=_now(unrehearsed),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:brief-abort",),
        in_the_air="The cue comes, and for a second or two nobody does anything.",
        lucky="nothing had to be cut.",
        explanation=(
            "Pilot and spotter have not agreed on when to cut, on the abort word, or on who may say it. "
            "Untried hands need one to two seconds longer. Agree, then rehearse with propellers "
            "off until the cut follows the word within a second."
        ),
    ),
    Fault(
        id="pack-charged-unattended",
        family="conduct",
        item="charger",
        hazard=5,
        opens="charged-alone",
        inject=_having(charge_watched=False),
        present=_now(lambda c: not c.charge_watched),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:watch-charge",),
        in_the_air="Not in the air: on the shelf, where a pack burns and nobody is there.",
        lucky="nothing on the shelf caught fire.",
        explanation=(
            "A pack is on the charger and nobody stays with it. Packs that burn mostly do so while "
            "they are charged. Somebody watches, and the pack lies in a box that can't burn."
        ),
        caution="Do not touch a pack that swells or smells on the charger: cut its supply first.",
    ),
    Fault(
        id="card-interrupted",
        family="conduct",
        item="cards",
        hazard=3,
        opens="repair-untried",
        inject=_ringing,
        present=_now(lambda c: c.rings_per_min > 0.0),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:restart-card",),
        in_the_air="The item nobody did is the one that would have found it.",
        lucky="what was skipped did no harm this time.",
        explanation=(
            "A phone keeps breaking in, and the card is taken up again further down than it was "
            "left: the next item stands ticked and nobody did it. Put the phone away, start the "
            "card again from its head, and do what was ticked unread."
        ),
    ),
    Fault(
        id="repair-not-reverified",
        family="conduct",
        item="repair log",
        hazard=4,
        opens="repair-untried",
        inject=_log_gaps,
        present=_now(lambda c: c.repairs_untried > 0),
        revealed_by=LOOK,
        proved_by=LOOK,
        fixes=("prepare:retest-repairs",),
        in_the_air="A repair on the wrong side, or not stored, and the fault is back.",
        lucky="the repairs had held.",
        explanation=(
            "The log shows repairs and after them no check that would have seen the fault. One "
            "repair in six or so goes wrong: wrong place, wrong side, not stored. A repair is done "
            "when the check that showed the fault has been done again."
        ),
    ),
)
