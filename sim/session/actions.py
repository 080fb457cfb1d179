"""What a person can do, as typed and frozen commands; the journal is a list of these."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field, TypeAdapter

from sim.aircraft.fields import Line, Place, Strict
from sim.aircraft.site import PlaceName
from sim.bench.connection import By, Rate
from sim.bench.fitting import Face, Piece, Tightness
from sim.keys import CardKey, CheckKey, FaultId, PartKey, Preparation

Word = Annotated[Line, Field(min_length=1)]
Angle = Annotated[float, Field(ge=-720, le=720)]


class Deed(Strict):
    """What all actions have: the minutes they take.

    These are own estimates of bench time, used only for the cost shown; a check has its own.
    """

    takes_min: ClassVar[float] = 0.0  # min


class SwitchTransmitter(Deed):
    """Switch the transmitter on or off."""

    do: Literal["switch-transmitter"] = "switch-transmitter"
    on: bool


class PlugPack(Deed):
    """Plug the pack in and wait while the controller starts."""

    do: Literal["plug-pack"] = "plug-pack"
    takes_min: ClassVar[float] = 0.5


class UnplugPack(Deed):
    """Unplug the pack."""

    do: Literal["unplug-pack"] = "unplug-pack"
    takes_min: ClassVar[float] = 0.2


class Cable(Deed):
    """Put the set-up cable into the controller, or pull it out; it powers the board alone."""

    do: Literal["cable"] = "cable"
    takes_min: ClassVar[float] = 0.2
    plugged: bool


class Connect(Deed):
    """Open the set-up connection by cable or telemetry radio, at a serial rate in Bd."""

    do: Literal["connect"] = "connect"
    takes_min: ClassVar[float] = 0.3
    by: By
    rate_bd: Rate


class Disconnect(Deed):
    """Close the set-up connection."""

    do: Literal["disconnect"] = "disconnect"


class LoadSoftware(Deed):
    """Load the controller's software over the cable."""

    do: Literal["load-software"] = "load-software"
    takes_min: ClassVar[float] = 3.0


class FitProps(Deed):
    """Fit all propellers at once, each where it lies ready, firm: the right way with what there is."""

    do: Literal["fit-props"] = "fit-props"
    takes_min: ClassVar[float] = 3.0


class FitProp(Deed):
    """Fit a propeller at one corner: which one, which face up, how tight."""

    do: Literal["fit-prop"] = "fit-prop"
    takes_min: ClassVar[float] = 0.75
    place: Place
    piece: Piece
    face: Face = "marks-up"
    tightness: Tightness = "firm"


class RemoveProp(Deed):
    """Take the propeller of one corner off."""

    do: Literal["remove-prop"] = "remove-prop"
    takes_min: ClassVar[float] = 0.5
    place: Place


class RemoveProps(Deed):
    """Take all propellers off."""

    do: Literal["remove-props"] = "remove-props"
    takes_min: ClassVar[float] = 2.0


class Prepare(Deed):
    """Set people and room to rights: goggles, spotter, ring, abort brief, floor, door, habits."""

    do: Literal["prepare"] = "prepare"
    takes_min: ClassVar[float] = 0.3
    what: Preparation


class Carry(Deed):
    """Carry the aircraft to a place and hold, set down or clamp it there."""

    do: Literal["carry"] = "carry"
    takes_min: ClassVar[float] = 0.5
    to: PlaceName
    hold: Literal["standing", "hands", "clamp"]


class Turn(Deed):
    """Turn the aircraft in the hands to a pose, deg."""

    do: Literal["turn"] = "turn"
    takes_min: ClassVar[float] = 0.1
    roll_deg: Angle = 0.0
    pitch_deg: Angle = 0.0
    heading_deg: Angle = 0.0


class Read(Deed):
    """Do a check."""

    do: Literal["read"] = "read"
    check: CheckKey


class Begin(Deed):
    """Begin to do a check by hand; what is done until `Done` belongs to it."""

    do: Literal["begin"] = "begin"
    check: CheckKey


class Done(Deed):
    """Be done with the check begun: read what was seen."""

    do: Literal["done"] = "done"


class Squawk(Deed):
    """Claim that an item is faulty, with a suspected cause and a confidence of 1 to 4.

    check, line : the reading and the value in it that the claim rests on; none: it rests on nothing.
    """

    do: Literal["squawk"] = "squawk"
    item: Word
    cause: FaultId
    confidence: Annotated[int, Field(ge=1, le=4)] = 3
    check: CheckKey | None = None
    line: Line = ""


class Withdraw(Deed):
    """Take back a claim about an item."""

    do: Literal["withdraw"] = "withdraw"
    item: Word


class Set(Deed):
    """Change one value of the setup by its dotted key."""

    do: Literal["set"] = "set"
    takes_min: ClassVar[float] = 1.0
    key: Annotated[Line, Field(pattern=r"^setup\.(transmitter|inputs|controller)\.[a-z0-9_.]+$")]
    value: bool | int | float | Line


class Swap(Deed):
    """Swap a part for a good one from the parts bin."""

    do: Literal["swap"] = "swap"
    takes_min: ClassVar[float] = 2.0
    part: PartKey


class Calibrate(Deed):
    """Do a step of a calibration; the compass and the six faces take several."""

    do: Literal["calibrate"] = "calibrate"
    takes_min: ClassVar[float] = 0.5
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


class Wait(Deed):
    """Wait for some minutes with things as they are."""

    do: Literal["wait"] = "wait"
    minutes: Annotated[float, Field(ge=0.01, le=15)]  # min; own: shorter is no waiting


class SetMode(Deed):
    """Move the mode switch: self-level or rate."""

    do: Literal["set-mode"] = "set-mode"
    self_level: bool


class Arm(Deed):
    """Arm the motors."""

    do: Literal["arm"] = "arm"


class Disarm(Deed):
    """Disarm the motors."""

    do: Literal["disarm"] = "disarm"


class Answer(Deed):
    """Answer an item of a card with the value seen; `complete` is the completion call."""

    do: Literal["answer"] = "answer"
    card: CardKey
    item: Word
    value: Word


class Hint(Deed):
    """Ask the helper for the next hint, on what is hidden still and not named."""

    do: Literal["hint"] = "hint"
    takes_min: ClassVar[float] = 0.2


class Declare(Deed):
    """Give the last word before or instead of the hop, with the reason."""

    do: Literal["declare"] = "declare"
    verdict: Literal["clear", "stay on the bench"]
    reason: Line = ""


class Finish(Deed):
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
    | FitProp
    | RemoveProp
    | RemoveProps
    | Prepare
    | Carry
    | Turn
    | Read
    | Begin
    | Done
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
    | Hint
    | Declare
    | Finish,
    Field(discriminator="do"),
]

ACTION: TypeAdapter[Action] = TypeAdapter(Action)
