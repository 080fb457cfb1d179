"""What holds an unwanted event back, and what softens it, with the check that shows it."""

from dataclasses import dataclass

from sim.keys import BarrierKey, CheckKey, MitigationKey


@dataclass(frozen=True)
class Barrier:
    """Something that stands in the way: what it is, which check shows it, what weakens it."""

    key: BarrierKey | MitigationKey
    words: str
    check: CheckKey | None = None
    weakened_by: str = ""


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
            "level-read",
            "Level agrees with the plate, both ways round",
            "level-and-still",
            "the bench was taken for a level",
        ),
        Barrier(
            "heading-read",
            "Heading agrees with the four marks",
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
        Barrier(
            "people-asked",
            "Everybody asked who they are, where they stand and what they wear",
            "people-and-room",
            "a visitor came in after the question",
        ),
        Barrier(
            "hands-agreed",
            "Agreed, and said back: unplugged before a hand goes in",
            "people-and-room",
            "said once, and never again",
        ),
        Barrier(
            "sticks-read",
            "Order, sense, ends and centres of the sticks read on the display",
            "stick-display",
            "the bars moved, and nobody read the numbers",
        ),
        Barrier(
            "warmed-up",
            "Gyro watched until the board is warm",
            "warm-creep",
            "straight from the cold into the air",
        ),
        Barrier(
            "compass-under-load",
            "Compass watched while the motors run up",
            "compass-ramp",
            "looked at only with the motors still",
        ),
        Barrier(
            "pad-surveyed",
            "Heading read standing on the pad and lifted off it",
            "pad-survey",
            "the pad was moved afterwards",
        ),
        Barrier(
            "weighed",
            "Weighed, and balanced on two points",
            "weigh-and-balance",
            "weighed before the last thing was strapped on",
        ),
        Barrier(
            "tugged",
            "Arms, motors, board and pack pulled at by hand",
            "look-and-tug",
            "all was tight last week",
        ),
        Barrier(
            "siblings-compared",
            "Each motor run alone and set beside its siblings",
            "one-motor",
            "they all sounded alike",
        ),
        Barrier(
            "snapped",
            "Throttle chopped, held and snapped without propellers",
            "ramp-and-snap",
            "tried once, and gently",
        ),
        Barrier(
            "drives-touched",
            "Every drive touched at once after a run",
            "touch-after",
            "touched when they had cooled",
        ),
        Barrier(
            "room-read",
            "Floor, walls, ceiling and air looked at and measured",
            "people-and-room",
            "the same room as last week",
        ),
        Barrier(
            "cut-tried",
            "Stop switch tried with the motors turning, propellers off",
            "switches",
            "tried on another aircraft",
        ),
        Barrier(
            "abort-rehearsed",
            "Who sees what, and the abort word, rehearsed until the cut takes a second",
            "people-and-room",
            "agreed, and never tried",
        ),
        Barrier(
            "log-read",
            "Repair log and cards gone through before anything else",
            "people-and-room",
            "somebody will have tried it",
        ),
        Barrier(
            "rails-read",
            "Five-volt rail read with everything on, and in a punch",
            "rails",
            "it has never restarted yet",
        ),
        Barrier(
            "meter-compared",
            "Voltage shown compared with a meter, and the alarm heard",
            "voltage-and-alarm",
            "the display looked likely",
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
        Barrier("low", "A metre up, never above one and a half", None, "climbing out of trouble"),
        Barrier("fire-box", "Packs in a box that can't burn, door free", None, "filled with tools"),
        Barrier(
            "clamp",
            "A clamp keeps the frame where it is; it stops no blade",
            None,
            "taken for a guard against a hand",
        ),
    )
}
