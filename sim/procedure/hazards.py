"""Unsafe conduct, told from what is done and how things stand; some of it fails the run."""

from dataclasses import dataclass
from typing import Literal

from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import ControllerSetup
from sim.aircraft.world import World
from sim.faults.conduct import live, loose, somebody_in_ring, unrehearsed
from sim.keys import CheckKey, HazardKey

Reach = Literal["nothing", "plug", "aircraft"]
"""How near a hand comes: not at all, to the pack's plug from outside the discs, among the discs."""


@dataclass(frozen=True)
class Hazard:
    """A kind of unsafe conduct, and how it hurts. harm : the mechanism of injury, in plain words."""

    id: HazardKey
    critical: bool
    words: str
    harm: str


HAZARDS: dict[HazardKey, Hazard] = {
    h.id: h
    for h in (
        Hazard(
            "power-with-props-on",
            True,
            "Power and propellers together, out of the clamp and off the pad: a start cuts hands.",
            "Blades that start within reach can cut fingers and forearms to the bone before a hand draws back.",
        ),
        Hazard(
            "arm-person-inside-ring",
            True,
            "Armed with propellers while someone was in the ring.",
            "An aircraft that tips or darts reaches a bystander in less than a second; blades cut legs, hands and faces.",
        ),
        Hazard(
            "arm-failsafe-untested",
            True,
            "Armed with propellers on, and nobody had seen the motors stop when the link is lost.",
            "With the link gone the motors may keep their last command: it flies on into whoever stands there, and nobody can stop it.",
        ),
        Hazard(
            "arm-stop-untested",
            True,
            "Armed with propellers on and the stop switch untried.",
            "If the switch does nothing, the blades go on turning while people duck, or reach for the pack.",
        ),
        Hazard(
            "wrong-polarity-plugged",
            True,
            "Plugged a pack into a lead nobody had measured: it was the wrong way round.",
            "A pack the wrong way round drives hundreds of amperes through the drives: sparks, burst parts in the eyes, fire.",
        ),
        Hazard(
            "swollen-pack-plugged",
            True,
            "Plugged in a swollen pack: it can burn under load, and without it.",
            "A cell that is damaged inside shorts under load: a jet of flame and toxic smoke at arm's length.",
        ),
        Hazard(
            "hand-in-disc-armed",
            True,
            "Armed with propellers on while a hand was, or by habit would be, between the blades.",
            "An armed motor needs one wrong pulse to start: blades strike the fingers that are there already.",
        ),
        Hazard(
            "hands-on-live",
            True,
            "A hand worked on an aircraft with the pack in and propellers on. A clamp holds the frame and stops no blade.",
            "A motor that starts by itself swings a blade through the hand that is at work beside it.",
        ),
        Hazard(
            "interlock-defeated",
            True,
            "Switched off, or set below the build sheet, something that stops motors or warns.",
            "The thing that would have stopped the blades, or told of it, is gone when it is needed; the cut is deeper and the fire larger.",
        ),
        Hazard(
            "charge-unattended",
            True,
            "Walked away from the bench while a pack charged there with nobody beside it.",
            "A pack that fails on charge burns for minutes; with nobody there the bench and the room burn with it.",
        ),
        Hazard(
            "fly-damaged-pack",
            True,
            "Took off on a swollen or dented pack.",
            "It loses power in the air and falls on people, or burns where it comes down.",
        ),
        Hazard(
            "fly-known-fault",
            True,
            "Took off with a dangerous fault known and not cleared.",
            "It can flip or bolt at takeoff: blades at face height, three metres away.",
        ),
        Hazard(
            "fly-unproved-fix",
            True,
            "Took off on a dangerous fault's fix nobody had proved.",
            "If the fix did not take, it flips or bolts at takeoff just as before: blades at face height.",
        ),
        Hazard(
            "no-abort-within-2s",
            True,
            "Flew on for two seconds after a clear cue to cut.",
            "Two seconds are enough to cross the room: blades strike the pilot, the spotter or the wall.",
        ),
        Hazard(
            "flew-on-past-alarm",
            True,
            "Flew on for two seconds after the voltage alarm without coming lower.",
            "The controller may stop for want of voltage: it drops at once, on whatever is below.",
        ),
        Hazard(
            "flew-too-high",
            True,
            "Flew higher than a metre and a half, or within half a metre of the ceiling.",
            "A fall from there breaks blades that fly off like knives; the air at the ceiling draws it up and throws it aside.",
        ),
        Hazard(
            "flew-at-pilot",
            True,
            "Flew from the pad a third of the way to the pilot, or further.",
            "Nothing stands between blades and face, and stepping back takes longer than the aircraft needs.",
        ),
        Hazard(
            "no-goggles",
            True,
            "Propellers turned and somebody near wore no goggles.",
            "A blade that breaks throws splinters faster than an eye can shut: eyes have been lost so.",
        ),
        Hazard(
            "no-spotter",
            True,
            "Propellers turned with nobody to call the abort.",
            "The pilot watches the aircraft, so nobody sees who walks in; seconds are lost, and the blades reach somebody.",
        ),
        Hazard(
            "no-abort-word",
            True,
            "Propellers turned, and the abort word was not agreed and tried.",
            "A word nobody has agreed takes a second to understand; by then the blades have reached somebody.",
        ),
        Hazard(
            "area-unread",
            False,
            "Armed for the hop without looking round the room.",
            "A cable, a draught or a person not seen turns a small slip into blades among feet and hands.",
        ),
        Hazard(
            "still-plugged",
            False,
            "Left the aircraft plugged in at the end.",
            "Whoever picks it up next holds live motors, and a pack left on drains until it is damaged and may burn.",
        ),
        Hazard(
            "crashed",
            False,
            "The aircraft hit something or fell over.",
            "Broken blades fly off, and a pack that was hit can catch fire minutes later.",
        ),
    )
}


def hazard_words(key: str) -> str:
    """Return what a hazard can do, in words; of one no longer known, its name."""
    return next((h.words for h in HAZARDS.values() if h.id == key), key.replace("-", " "))


def hazard_harm(key: str) -> str:
    """Return how a hazard hurts, in words; nothing of one no longer known."""
    return next((h.harm for h in HAZARDS.values() if h.id == key), "")


def on_power(conduct: Conduct) -> list[HazardKey]:
    """Return the hazards of having power with things as they stand."""
    return ["power-with-props-on"] if loose(conduct) else []


def on_turning(conduct: Conduct) -> list[HazardKey]:
    """Return the hazards of turning propellers with things as they stand."""
    if not conduct.props_fitted:
        return []
    goggled = conduct.goggles_on and conduct.others_ungoggled == 0
    signs: dict[HazardKey, bool] = {
        "no-goggles": not goggled,
        "no-spotter": not conduct.spotter_present,
        "no-abort-word": unrehearsed(conduct),
        "arm-person-inside-ring": somebody_in_ring(conduct),
        "hand-in-disc-armed": conduct.reaches_per_min > 0.0,
    }
    return [hazard for hazard, there in signs.items() if there]


def on_reaching(reach: Reach, conduct: Conduct, armed: bool) -> list[HazardKey]:
    """Return the hazards of wanting to do something by hand, as the motors stand."""
    between = reach != "nothing" and armed and conduct.props_fitted
    return ["hand-in-disc-armed"] if between else []


def on_touching(reach: Reach, before: Conduct, after: Conduct) -> list[HazardKey]:
    """Return the hazards of having done something by hand; before, after : how things stood.

    The pack goes in last and comes out first, by a plug that is reached from outside the discs:
    no run-up or hop could begin or end without that, so it is no hazard where propellers may have
    power. All other work is, clamped or not: an aircraft with power may start by itself.
    """
    worked = reach == "aircraft" and (live(before) or live(after))
    return ["hands-on-live"] if worked else []


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
    return ["fly-damaged-pack"] if world.build.pack.swollen else []


def on_arming(facts: frozenset[CheckKey], conduct: Conduct, to_fly: bool) -> list[HazardKey]:
    """Return the hazards of arming with these checks done and still valid.

    to_fly : it stands on the pad; in the clamp the room matters less than what stops the motors.
    """
    if not conduct.props_fitted:
        return []
    needed: dict[CheckKey, HazardKey] = {
        "failsafe": "arm-failsafe-untested",
        "switches": "arm-stop-untested",
    }
    if to_fly:
        needed["people-and-room"] = "area-unread"
    return [hazard for check, hazard in needed.items() if check not in facts]
