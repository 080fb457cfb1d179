"""Unsafe conduct, told from what is done and how things stand; some of it fails the run."""

from dataclasses import dataclass

from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import ControllerSetup
from sim.aircraft.world import World
from sim.keys import CheckKey, HazardKey


@dataclass(frozen=True)
class Hazard:
    """A kind of unsafe conduct and what it can do."""

    id: HazardKey
    critical: bool
    words: str


HAZARDS: dict[HazardKey, Hazard] = {
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
        Hazard(
            "wrong-polarity-plugged",
            True,
            "Plugged a pack into a lead nobody had measured: it was the wrong way round.",
        ),
        Hazard(
            "swollen-pack-plugged",
            True,
            "Plugged in a swollen pack: it can burn under load, and without it.",
        ),
        Hazard(
            "hand-in-disc-armed",
            True,
            "Armed with propellers on while a hand was, or by habit would be, between the blades.",
        ),
        Hazard(
            "interlock-defeated",
            True,
            "Switched off, or set below the build sheet, something that stops motors or warns.",
        ),
        Hazard(
            "charge-unattended",
            True,
            "Walked away from the bench while a pack charged there with nobody beside it.",
        ),
        Hazard("fly-damaged-pack", True, "Took off on a swollen or dented pack."),
        Hazard("fly-known-fault", True, "Took off with a dangerous fault known and not cleared."),
        Hazard("fly-unproved-fix", True, "Took off on a dangerous fault's fix nobody had proved."),
        Hazard("no-abort-within-2s", True, "Flew on for two seconds after a clear cue to cut."),
        Hazard("no-goggles", False, "Propellers turned and somebody near wore no goggles."),
        Hazard("no-spotter", False, "Took off with nobody to call the abort."),
        Hazard("area-unread", False, "Armed for the hop without looking round the room."),
        Hazard("still-plugged", False, "Left the aircraft plugged in at the end."),
        Hazard("crashed", False, "The aircraft hit something or fell over."),
    )
}


def held_safely(conduct: Conduct) -> bool:
    """Tell whether propellers may turn where the aircraft is: clamped, or standing on the pad."""
    return conduct.hold == "clamp" or (conduct.place == "pad" and conduct.hold == "standing")


def on_power(conduct: Conduct) -> list[HazardKey]:
    """Return the hazards of having power with things as they stand."""
    both = conduct.props_fitted and conduct.pack_plugged
    return ["power-with-props-on"] if both and not held_safely(conduct) else []


def on_turning(conduct: Conduct) -> list[HazardKey]:
    """Return the hazards of turning propellers with things as they stand."""
    if not conduct.props_fitted:
        return []
    goggled = conduct.goggles_on and conduct.others_ungoggled == 0
    signs: dict[HazardKey, bool] = {
        "no-goggles": not goggled,
        "arm-person-inside-ring": conduct.person_in_ring or conduct.strays > 0,
        "hand-in-disc-armed": conduct.reaches_per_min > 0.0,
    }
    return [hazard for hazard, there in signs.items() if there]


def on_reaching(by_hand: bool, conduct: Conduct, armed: bool) -> list[HazardKey]:
    """Return the hazards of wanting to do something by hand, as the motors stand."""
    between = by_hand and armed and conduct.props_fitted
    return ["hand-in-disc-armed"] if between else []


def on_setting(
    before: ControllerSetup, now: ControllerSetup, sheet: ControllerSetup
) -> list[HazardKey]:
    """Return the hazards of a setting changed: a guard weaker than it was and than the sheet's."""
    guards = (_guards(c) for c in (before, now, sheet))
    weaker = any(b < a and b < s for a, b, s in zip(*guards, strict=True))
    return ["interlock-defeated"] if weaker else []


def _guards(c: ControllerSetup) -> tuple[float, ...]:
    """Return how strong each thing that stops motors or warns is set; more is safer."""
    stops = float(c.failsafe == "stop")
    alarm_v = c.low_cell_alarm_v * c.alarm_cells
    return float(c.arming_rules), float(c.stop_switch), stops, alarm_v


def on_leaving(conduct: Conduct, place: str) -> list[HazardKey]:
    """Return the hazards of carrying the aircraft to a place."""
    leaves = place != "bench" and not conduct.charge_watched
    return ["charge-unattended"] if leaves else []


def on_takeoff(world: World) -> list[HazardKey]:
    """Return the hazards of flying with world and people as they are."""
    signs: dict[HazardKey, bool] = {
        "fly-damaged-pack": world.build.pack.swollen,
        "no-spotter": not world.conduct.spotter_present,
    }
    return [hazard for hazard, there in signs.items() if there]


def on_arming_to_fly(facts: frozenset[CheckKey]) -> list[HazardKey]:
    """Return the hazards of arming on the pad with these checks done and still valid."""
    needed: dict[CheckKey, HazardKey] = {
        "failsafe": "arm-failsafe-untested",
        "switches": "arm-stop-untested",
        "people-and-room": "area-unread",
    }
    return [hazard for check, hazard in needed.items() if check not in facts]
