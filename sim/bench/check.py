"""The kinds of check, and what each needs before it can be done."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import KW_ONLY, dataclass
from typing import Literal, NamedTuple, cast

from sim.aircraft.conduct import Conduct, Hold
from sim.aircraft.site import PlaceName
from sim.aircraft.world import World
from sim.bench.changes import Change
from sim.bench.interlocks import refuse_to_arm
from sim.bench.reading import Reading
from sim.bench.recorded import Form
from sim.bench.rig import HANDS_OFF, Rig
from sim.errors import Objection
from sim.kernel.radio import Sticks
from sim.keys import CardKey, CheckKey

Need = Literal[
    "powered", "unplugged", "linked", "props_off", "props_on", "in_hands", "standing", "clamped"
]

NEEDS: dict[Need, tuple[str, bool | Hold, str]] = {
    "powered": ("pack_plugged", True, "Plug the pack in first."),
    "unplugged": ("pack_plugged", False, "Unplug the pack first."),
    "linked": ("transmitter_on", True, "Switch the transmitter on first."),
    "props_off": ("props_fitted", False, "Take the propellers off first."),
    "props_on": ("props_fitted", True, "Fit the propellers first."),
    "in_hands": ("hold", "hands", "Take the aircraft in your hands first."),
    "standing": ("hold", "standing", "Set the aircraft down on its legs first."),
    "clamped": ("hold", "clamp", "Put the aircraft in the clamp first."),
}  # what of the conduct must be how, and what is said otherwise


def wanting(needs: Iterable[Need], conduct: object) -> list[Need]:
    """Return which needs are not met. conduct : that, or what is in sight of it."""
    asked = ((need, *NEEDS[need][:2]) for need in needs)
    return [need for need, name, value in asked if getattr(conduct, name) != value]


def unmet(needs: Collection[Need], conduct: Conduct) -> list[Objection]:
    """Return what has to be done first where something is needed."""
    found = [Objection(need, NEEDS[need][2]) for need in wanting(needs, conduct)]
    if "props_on" in needs and conduct.bare:
        bare = " and ".join(place.replace("_", " ") for place in conduct.bare)
        found.append(Objection("props_on", f"No propeller is on at {bare}."))
    return found


class Line(NamedTuple):
    """A line of a card that a check answers.

    at : how far down, killers before the others all the same; tens, so that one more fits between.
    item : its key on the card; asks : what to say; killer : whether a slip there can hurt; shows :
    the lines of the reading that answer it, where a check answers several items.
    """

    card: CardKey
    at: int
    item: str
    asks: str
    killer: bool = False
    shows: tuple[str, ...] = ()


class Stance(NamedTuple):
    """How a check is best done; power None: with or without, where the aircraft is."""

    place: PlaceName
    hold: Hold
    props: bool
    power: bool | None


@dataclass(frozen=True)
class Check:
    """Something a person does that yields a reading.

    code : our check list's number; minutes : what it costs; lines : where it stands on the cards;
    voided_by : the changes that make it due again; place : where it is best done; follows : the
    checks it looks back on, each of which makes it due again; hurts : True if propellers turn;
    touches : True if a hand goes to the aircraft though it need not be held (asked of what may be
    done with power and propellers); by_hand : what it reads from what a person did and was recorded,
    by the same functions as `take`, of the lines really exercised only, the others named as missing;
    it refuses in plain words if nothing was exercised.
    """

    key: CheckKey
    code: str
    title: str
    minutes: float
    needs: tuple[Need, ...]
    take: Callable[[Rig], Reading]
    asks: str
    _: KW_ONLY
    lines: tuple[Line, ...]
    voided_by: tuple[Change, ...]
    place: PlaceName = "bench"
    follows: tuple[CheckKey, ...] = ()
    caution: str = ""
    hurts: bool = False
    touches: bool = False
    by_hand: Form | None = None

    @property
    def hands_on(self) -> bool:
        """Whether a hand is at the aircraft: it is held, or touched."""
        return self.touches or "in_hands" in self.needs

    def missing(self, conduct: Conduct) -> list[Objection]:
        """Return what has to be done before this check can be."""
        return unmet(self.needs, conduct)

    @property
    def stance(self) -> Stance:
        """Return how it is best done: as it needs, else in the hands and without propellers.

        What stands on the pad is to fly from there, so it has its propellers on.
        """
        asked = {name: value for name, value, _ in (NEEDS[need] for need in self.needs)}
        hold = cast(Hold, asked.get("hold", "hands"))
        to_fly = self.place == "pad" and hold == "standing"
        power = asked.get("pack_plugged")
        return Stance(
            self.place,
            hold,
            props=bool(asked.get("props_fitted", to_fly)),
            power=None if power is None else bool(power),
        )


STARTED_S = 2.5  # s; the controller's start takes 2
RUN_DOWN_LOOKS = 10  # own: half a second apart, longer than any propeller coasts
STANDING_RAD_S = 10.0  # rad/s; own: a rotor this slow is as good as still


def brought(world: World, check: Check, seed: int) -> Rig:
    """Return an aircraft brought to where a check is best done, transmitter on, controller started."""
    stance = check.stance
    put = {
        "place": stance.place,
        "hold": stance.hold,
        "props_fitted": stance.props,
        "pack_plugged": stance.power is not False,
        "transmitter_on": True,
    }
    conduct = Conduct.model_validate(world.conduct.model_dump() | put)
    rig = Rig(world.model_copy(update={"conduct": conduct}), seed)
    rig.run(HANDS_OFF, STARTED_S)
    return rig


def armed(rig: Rig) -> None:
    """Arm for a check, or refuse with the controller's own reasons."""
    rig.run(HANDS_OFF, 0.1)
    refuse_to_arm(rig)
    rig.put("armed", 1.0)


def disarmed(rig: Rig) -> None:
    """Disarm and let the motors run down."""
    rig.put("armed", 0.0)
    for _ in range(RUN_DOWN_LOOKS):
        rig.run(HANDS_OFF, 0.5)
        if max(rig.value(f"rotors.{i}.motor.speed_rad_s") for i in range(4)) < STANDING_RAD_S:
            break


def sticks(
    throttle: float = 0.0, roll: float = 0.0, pitch: float = 0.0, yaw: float = 0.0
) -> Sticks:
    """Return stick positions with the transmitter on and the stop switch off."""
    return Sticks(roll, pitch, throttle, yaw, 1.0, 1.0, 0.0)
