"""Unsafe conduct, told from what is done and how things stand; some of it fails the run."""

from dataclasses import dataclass

from sim.aircraft.conduct import Conduct


@dataclass(frozen=True)
class Hazard:
    """A kind of unsafe conduct and what it can do."""

    id: str
    critical: bool
    words: str


HAZARDS: dict[str, Hazard] = {
    h.id: h
    for h in (
        Hazard(
            "power-with-props-on",
            True,
            "Power and propellers together, out of the clamp and off the pad: a start cuts hands.",
        ),
        Hazard(
            "arm-person-inside-ring", True, "Armed with propellers while someone was in the ring."
        ),
        Hazard(
            "arm-failsafe-untested",
            True,
            "Armed for the hop without having seen the motors stop when the link is lost.",
        ),
        Hazard(
            "arm-stop-untested", True, "Armed for the hop without having tried the stop switch."
        ),
        Hazard("fly-known-fault", True, "Took off with a dangerous fault known and not cleared."),
        Hazard("fly-unproved-fix", True, "Took off on a dangerous fault's fix nobody had proved."),
        Hazard("no-abort-within-2s", True, "Flew on for two seconds after a clear cue to cut."),
        Hazard("no-goggles", False, "Propellers turned and the pilot wore no goggles."),
        Hazard("no-spotter", False, "Took off with nobody to call the abort."),
        Hazard("area-unread", False, "Armed for the hop without looking round the room."),
        Hazard("still-plugged", False, "Left the aircraft plugged in after the hop."),
        Hazard("crashed", False, "The aircraft hit something or fell over."),
    )
}


def held_safely(conduct: Conduct) -> bool:
    """Tell whether propellers may turn where the aircraft is: clamped, or standing on the pad."""
    return conduct.hold == "clamp" or (conduct.place == "pad" and conduct.hold == "standing")


def on_power(conduct: Conduct) -> list[str]:
    """Return the hazards of having power with things as they stand."""
    both = conduct.props_fitted and conduct.pack_plugged
    return ["power-with-props-on"] if both and not held_safely(conduct) else []


def on_turning(conduct: Conduct) -> list[str]:
    """Return the hazards of turning propellers with things as they stand."""
    if not conduct.props_fitted:
        return []
    found = [] if conduct.goggles_on else ["no-goggles"]
    return [*found, "arm-person-inside-ring"] if conduct.person_in_ring else found


def on_arming_to_fly(facts: frozenset[str]) -> list[str]:
    """Return the hazards of arming on the pad with these checks done and still valid."""
    needed = {
        "failsafe": "arm-failsafe-untested",
        "switches": "arm-stop-untested",
        "people-and-room": "area-unread",
    }
    return [hazard for check, hazard in needed.items() if check not in facts]
