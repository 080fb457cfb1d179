"""Things a stand-in knows how to do with its hands: get ready for a check, and cure a finding."""

from collections.abc import Callable

from sim.aircraft.conduct import Hold
from sim.aircraft.site import PlaceName
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.errors import Refusal
from sim.keys import CheckKey
from sim.session import actions as act
from sim.trainees.driver import Hands
from sim.trainees.judges.attitude import from_tilt
from sim.trainees.judges.control import from_settings
from sim.trainees.judges.finding import Finding
from sim.trainees.judges.link import from_stick_display

GOOD_RESIDUAL = 0.03  # share; own: five times the scatter of a good calibration
GOOD_COVERAGE = 0.7  # share of directions; own: two turns about each level axis give 0.8

WARM_MIN = 5.0  # min; trade experience: until the board is as warm as it gets
FACES = ((0, 0), (-90, 0), (90, 0), (0, -90), (0, 90), (180, 0))  # roll and pitch of each, deg


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


def at(hands: Hands, place: PlaceName, hold: Hold) -> None:
    """Carry the aircraft to a place, unless it is there."""
    conduct = hands.see().conduct
    if (conduct.place, conduct.hold) != (place, hold):
        hands.do(act.Carry(to=place, hold=hold))


def props(hands: Hands, on: bool) -> None:
    """Fit or take off the propellers, always without power and at the bench."""
    if hands.see().conduct.props_fitted == on:
        return
    unplugged(hands)
    at(hands, "bench", "hands")
    hands.do(act.FitProps() if on else act.RemoveProps())


def ready(hands: Hands, check: CheckKey) -> None:
    """Bring the aircraft to where and how a check wants it."""
    stance = CHECKS[check].stance
    if stance.power is None:
        return
    if not stance.power:
        unplugged(hands)
        props(hands, stance.props)
        return
    props(hands, stance.props)
    conduct = hands.see().conduct
    if stance.props and (conduct.place, conduct.hold) != (stance.place, stance.hold):
        unplugged(hands)
    at(hands, stance.place, stance.hold)
    plugged(hands)


def read(hands: Hands, check: CheckKey) -> Reading:
    """Get ready for a check and do it; a controller that won't arm for its compass gets one."""
    ready(hands, check)
    try:
        outcome = hands.do(act.Read(check=check))
    except Refusal as refusal:
        if "compass" in str(refusal):
            calibrate_compass(hands)
        elif "not level" in str(refusal) and not hands.see().conduct.props_fitted:
            straighten(hands)
        elif "throttle" in str(refusal) and check != "stick-display":
            look_at_sticks(hands)
        else:
            raise
        ready(hands, check)
        outcome = hands.do(act.Read(check=check))
    assert outcome.reading is not None
    return outcome.reading


def straighten(hands: Hands) -> None:
    """Find out by hand how the board sits, when the display shows a lean that isn't there."""
    for _ in range(3):
        findings = from_tilt(read(hands, "hand-tilt").values, hands.sheet)
        if not findings:
            return
        for finding in findings:
            hands.do(finding.squawk)
            cure(hands, finding)


def look_at_sticks(hands: Hands) -> None:
    """Look what the sticks send, when the controller feels a throttle that isn't up."""
    for finding in from_stick_display(read(hands, "stick-display").values, hands.sheet):
        hands.do(finding.squawk)
        cure(hands, finding)


def calibrate_faces(hands: Hands) -> None:
    """Take all six faces, holding each once more if the hand was not still."""
    props(hands, False)
    plugged(hands)
    at(hands, "bench", "hands")
    hands.do(act.Calibrate(what="face-start"))
    for roll, pitch in FACES:
        hands.do(act.Turn(roll_deg=roll, pitch_deg=pitch))
        if hands.tries(act.Calibrate(what="face-take")) is None:
            hands.tries(act.Calibrate(what="face-take"))
    hands.do(act.Turn())
    hands.do(act.Calibrate(what="face-finish"))


def restart_still(hands: Hands) -> None:
    """Start the controller again with the aircraft set down and left alone."""
    unplugged(hands)
    if hands.see().conduct.hold == "hands":
        at(hands, "bench", "standing")
    plugged(hands)


def warm_up(hands: Hands) -> None:
    """Let the controller get warm under power, then start it again."""
    props(hands, False)
    at(hands, "bench", "standing")
    plugged(hands)
    hands.do(act.Wait(minutes=WARM_MIN))
    restart_still(hands)


def calibrate_compass(hands: Hands) -> None:
    """Turn it twice about each axis, away from steel, until the fit is good.

    The level turn is for soft iron: two turns about the level axes alone leave some of it open.
    """
    props(hands, False)
    plugged(hands)
    at(hands, "open_floor", "hands")
    for _ in range(3):
        hands.do(act.Calibrate(what="compass-start"))
        for axis in ("pitch_deg", "roll_deg", "heading_deg"):
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
    """Write down what differs from the build sheet, then set every value back to it."""
    plugged(hands)
    reading = read_settings(hands)
    findings = from_settings(reading.values, hands.sheet)
    for finding in findings:
        hands.do(finding.squawk)
    for finding in findings:
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


def calibrate(hands: Hands, what: str) -> None:
    """Do a calibration by name; those of one step are one action."""
    ways = {"compass": calibrate_compass, "level": calibrate_level, "faces": calibrate_faces}
    if what in ways:
        ways[what](hands)
    else:
        plugged(hands)
        hands.do(act.Calibrate.model_validate({"what": what}))


def settle(hands: Hands, finding: Finding) -> None:
    """Make the settings a finding asks for."""
    plugged(hands)
    for setting in finding.settings:
        hands.do(setting)


def remount(hands: Hands, finding: Finding) -> None:
    """Tell the controller how a board sits; it takes effect at the next start."""
    settle(hands, finding)
    restart_still(hands)


def swap(hands: Hands, part: str) -> None:
    """Put in a good part, without power."""
    unplugged(hands)
    hands.do(act.Swap(part=part))


def replugged(hands: Hands) -> None:
    """Unplug and plug in again, where it is."""
    unplugged(hands)
    plugged(hands)


PLAIN: dict[str, Callable[[Hands], None]] = {
    "sheet": set_to_sheet,
    "compass": calibrate_compass,
    "level": calibrate_level,
    "faces": calibrate_faces,
    "warm": warm_up,
    "still": restart_still,
    "pack": swap_pack,
    "plug": replugged,
}  # cures that need to know nothing more
OF_WHAT: dict[str, Callable[[Hands, str], None]] = {
    "turn": turn_channel,
    "swap": swap,
    "calibrate": calibrate,
}  # cures of something named after a colon


def cure(hands: Hands, finding: Finding) -> None:
    """Do what cures a finding."""
    way, _, what = finding.cure.partition(":")
    if way in PLAIN:
        PLAIN[way](hands)
    elif way in OF_WHAT:
        OF_WHAT[way](hands, what)
    elif way == "set":
        settle(hands, finding)
    elif way == "remount":
        remount(hands, finding)
    elif way == "remove-props":
        props(hands, False)
    elif way == "prepare":
        hands.do(act.Prepare.model_validate({"what": what}))
    else:
        raise ValueError(f"no such cure: {finding.cure}")
