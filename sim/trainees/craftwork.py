"""Things a stand-in knows how to do with its hands: get ready for a check, and cure a finding."""

from sim.bench.reading import Reading
from sim.errors import Refusal
from sim.session import actions as act
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import Finding
from sim.trainees.judges.first import from_settings

GOOD_RESIDUAL = 0.03  # share; own: five times the scatter of a good calibration
GOOD_COVERAGE = 0.7  # share of directions; own: two turns about each level axis give 0.8

WHERE: dict[str, tuple[str, str]] = {
    "level-and-still": ("bench", "standing"),
    "heading-marks": ("open_floor", "hands"),
    "field-turn": ("open_floor", "hands"),
    "restrained-run-up": ("bench", "clamp"),
    "light-on-legs": ("pad", "standing"),
    "people-and-room": ("pad", "standing"),
    "pad-look": ("pad", "standing"),
}  # where each check is best done; the others at the bench, in the hands
PROPS_ON = frozenset({"restrained-run-up", "light-on-legs", "people-and-room", "pad-look"})
NO_POWER = frozenset({"pack-at-rest", "propellers"})


def unplugged(hands: Hands) -> None:
    """Make sure there is no power."""
    if hands.see().conduct.pack_plugged:
        hands.do(act.UnplugPack())


def plugged(hands: Hands) -> None:
    """Make sure there is power, the transmitter on first."""
    conduct = hands.see().conduct
    if not conduct.transmitter_on:
        hands.do(act.SwitchTransmitter(on=True))
    if not conduct.pack_plugged:
        hands.do(act.PlugPack())


def at(hands: Hands, place: str, hold: str) -> None:
    """Carry the aircraft to a place, unless it is there."""
    conduct = hands.see().conduct
    if (conduct.place, conduct.hold) != (place, hold):
        hands.do(act.Carry.model_validate({"to": place, "hold": hold}))


def props(hands: Hands, on: bool) -> None:
    """Fit or take off the propellers, always without power and at the bench."""
    if hands.see().conduct.props_fitted == on:
        return
    unplugged(hands)
    at(hands, "bench", "hands")
    hands.do(act.FitProps() if on else act.RemoveProps())


def ready(hands: Hands, check: str) -> None:
    """Bring the aircraft to where and how a check wants it."""
    if check in NO_POWER:
        return
    place, hold = WHERE.get(check, ("bench", "hands"))
    on = check in PROPS_ON
    props(hands, on)
    conduct = hands.see().conduct
    if on and (conduct.place, conduct.hold) != (place, hold):
        unplugged(hands)
    at(hands, place, hold)
    plugged(hands)


def read(hands: Hands, check: str) -> Reading:
    """Get ready for a check and do it; a controller that won't arm for its compass gets one."""
    ready(hands, check)
    try:
        outcome = hands.do(act.Read(check=check))
    except Refusal as refusal:
        if "compass" not in str(refusal):
            raise
        calibrate_compass(hands)
        ready(hands, check)
        outcome = hands.do(act.Read(check=check))
    assert outcome.reading is not None
    return outcome.reading


def calibrate_compass(hands: Hands) -> None:
    """Turn the aircraft twice about each level axis, away from steel, until the fit is good."""
    props(hands, False)
    plugged(hands)
    at(hands, "open_floor", "hands")
    for _ in range(3):
        hands.do(act.Calibrate(what="compass-start"))
        for axis in ("pitch_deg", "roll_deg"):
            for quarter in range(1, 9):
                hands.do(act.Turn.model_validate({axis: 90.0 * quarter}))
        outcome = hands.tries(act.Calibrate(what="compass-finish"))
        hands.do(act.Turn())
        if outcome is not None and outcome.reading is not None:
            v = outcome.reading.values
            if v["residual_share"] < GOOD_RESIDUAL and v["coverage_share"] > GOOD_COVERAGE:
                return


def turn_channel(hands: Hands, channel: str) -> None:
    """Undo a reversal where the setup sheet shows one: transmitter first, else controller."""
    setup = hands.see().setup
    if getattr(setup.transmitter, channel).direction == -1:
        hands.do(act.Set(key=f"setup.transmitter.{channel}.direction", value=1))
    else:
        now = int(getattr(setup.inputs, channel))
        hands.do(act.Set(key=f"setup.inputs.{channel}", value=-now))


def set_to_sheet(hands: Hands) -> None:
    """Set every value that differs from the build sheet back to it."""
    reading = read_settings(hands)
    for finding in from_settings(reading.values, hands.sheet):
        for setting in finding.settings:
            hands.do(setting)


def read_settings(hands: Hands) -> Reading:
    """Read the settings sheet where the aircraft is."""
    outcome = hands.do(act.Read(check="settings-sheet"))
    assert outcome.reading is not None
    return outcome.reading


def swap_pack(hands: Hands) -> None:
    """Put in another pack."""
    unplugged(hands)
    hands.do(act.Swap(part="pack"))
    plugged(hands)


def calibrate_level(hands: Hands) -> None:
    """Take the levelled plate as level."""
    props(hands, False)
    plugged(hands)
    at(hands, "bench", "standing")
    hands.do(act.Calibrate(what="level"))


def cure(hands: Hands, finding: Finding) -> None:
    """Do what cures a finding."""
    way, _, what = finding.cure.partition(":")
    if way == "turn":
        turn_channel(hands, what)
    elif way == "set":
        for setting in finding.settings:
            hands.do(setting)
    elif way == "sheet":
        set_to_sheet(hands)
    elif way == "compass":
        calibrate_compass(hands)
    elif way == "level":
        calibrate_level(hands)
    elif way == "pack":
        swap_pack(hands)
    elif way == "swap":
        unplugged(hands)
        hands.do(act.Swap(part=what))
    elif way == "prepare":
        hands.do(act.Prepare.model_validate({"what": what}))
    elif way == "calibrate":
        hands.do(act.Calibrate.model_validate({"what": what}))
    elif way == "plug":
        unplugged(hands)
        plugged(hands)
    else:
        raise ValueError(f"no such cure: {finding.cure}")
