"""What a person can do, as typed and frozen commands; the journal is a list of these."""

from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from sim.aircraft.fields import Line, Strict
from sim.aircraft.site import PlaceName
from sim.keys import CardKey, CheckKey, FaultId, PartKey, Preparation

Word = Annotated[Line, Field(min_length=1)]
Angle = Annotated[float, Field(ge=-720, le=720)]


class SwitchTransmitter(Strict):
    """Switch the transmitter on or off."""

    do: Literal["switch-transmitter"] = "switch-transmitter"
    on: bool


class PlugPack(Strict):
    """Plug the pack in and wait while the controller starts."""

    do: Literal["plug-pack"] = "plug-pack"


class UnplugPack(Strict):
    """Unplug the pack."""

    do: Literal["unplug-pack"] = "unplug-pack"


class Cable(Strict):
    """Put the set-up cable into the controller, or pull it out; it powers the board alone."""

    do: Literal["cable"] = "cable"
    plugged: bool


class Connect(Strict):
    """Open the set-up connection by cable or telemetry radio, at a serial rate in Bd."""

    do: Literal["connect"] = "connect"
    by: Literal["cable", "telemetry"]
    rate_bd: Literal[9600, 19200, 38400, 57600, 115200, 230400]


class Disconnect(Strict):
    """Close the set-up connection."""

    do: Literal["disconnect"] = "disconnect"


class LoadSoftware(Strict):
    """Load the controller's software over the cable."""

    do: Literal["load-software"] = "load-software"


class FitProps(Strict):
    """Fit all propellers."""

    do: Literal["fit-props"] = "fit-props"


class RemoveProps(Strict):
    """Take all propellers off."""

    do: Literal["remove-props"] = "remove-props"


class Prepare(Strict):
    """Set people and place to rights: goggles, spotter, ring, abort brief, floor, door, habits."""

    do: Literal["prepare"] = "prepare"
    what: Preparation


class Carry(Strict):
    """Carry the aircraft to a place and hold, set down or clamp it there."""

    do: Literal["carry"] = "carry"
    to: PlaceName
    hold: Literal["standing", "hands", "clamp"]


class Turn(Strict):
    """Turn the aircraft in the hands to a pose, deg."""

    do: Literal["turn"] = "turn"
    roll_deg: Angle = 0.0
    pitch_deg: Angle = 0.0
    heading_deg: Angle = 0.0


class Read(Strict):
    """Do a check."""

    do: Literal["read"] = "read"
    check: CheckKey


class Squawk(Strict):
    """Claim that an item is faulty, with a suspected cause and a confidence of 1 to 4."""

    do: Literal["squawk"] = "squawk"
    item: Word
    cause: FaultId
    confidence: Annotated[int, Field(ge=1, le=4)] = 3


class Withdraw(Strict):
    """Take back a claim about an item."""

    do: Literal["withdraw"] = "withdraw"
    item: Word


class Set(Strict):
    """Change one value of the setup by its dotted key."""

    do: Literal["set"] = "set"
    key: Annotated[Line, Field(pattern=r"^setup\.(transmitter|inputs|controller)\.[a-z0-9_.]+$")]
    value: bool | int | float | Line


class Swap(Strict):
    """Swap a part for a good one from the parts bin."""

    do: Literal["swap"] = "swap"
    part: PartKey


class Calibrate(Strict):
    """Do a step of a calibration; the compass and the six faces take several."""

    do: Literal["calibrate"] = "calibrate"
    what: Literal[
        "compass-start",
        "compass-finish",
        "level",
        "face-start",
        "face-take",
        "face-finish",
        "sticks",
        "drives",
        "voltage",
    ]


class Wait(Strict):
    """Wait for some minutes with things as they are."""

    do: Literal["wait"] = "wait"
    minutes: Annotated[float, Field(ge=0.01, le=15)]  # min; own: shorter is no waiting


class SetMode(Strict):
    """Move the mode switch: self-level or rate."""

    do: Literal["set-mode"] = "set-mode"
    self_level: bool


class Arm(Strict):
    """Arm the motors."""

    do: Literal["arm"] = "arm"


class Disarm(Strict):
    """Disarm the motors."""

    do: Literal["disarm"] = "disarm"


class Answer(Strict):
    """Answer an item of a card with the value seen; `complete` is the completion call."""

    do: Literal["answer"] = "answer"
    card: CardKey
    item: Word
    value: Word


class Declare(Strict):
    """Give the last word before or instead of the hop, with the reason."""

    do: Literal["declare"] = "declare"
    verdict: Literal["clear", "stay on the bench"]
    reason: Line = ""


class Finish(Strict):
    """End the drill and go to the debrief."""

    do: Literal["finish"] = "finish"


Action = Annotated[
    SwitchTransmitter
    | PlugPack
    | UnplugPack
    | Cable
    | Connect
    | Disconnect
    | LoadSoftware
    | FitProps
    | RemoveProps
    | Prepare
    | Carry
    | Turn
    | Read
    | Squawk
    | Withdraw
    | Set
    | Swap
    | Calibrate
    | Wait
    | SetMode
    | Arm
    | Disarm
    | Answer
    | Declare
    | Finish,
    Field(discriminator="do"),
]

ACTION: TypeAdapter[Action] = TypeAdapter(Action)

MINUTES: dict[str, float] = {
    "plug-pack": 0.5,
    "unplug-pack": 0.2,
    "cable": 0.2,
    "connect": 0.3,
    "load-software": 3.0,
    "fit-props": 3.0,
    "remove-props": 2.0,
    "prepare": 0.3,
    "carry": 0.5,
    "turn": 0.1,
    "set": 1.0,
    "swap": 2.0,
    "calibrate": 0.5,
}  # min; own estimates of bench time, used only for the cost shown
