"""Things a stand-in knows how to do with its hands: get ready for a check, and cure a finding."""

import re
from collections.abc import Callable

from sim.aircraft.conduct import Hold
from sim.aircraft.fields import PLACES
from sim.aircraft.site import PlaceName
from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF
from sim.errors import Refusal
from sim.keys import CheckKey, FixKey, Preparation, SettingKey
from sim.session import actions as act
from sim.session.connecting import WARM_MIN
from sim.trainees.driver import Hands
from sim.trainees.judges.finding import Finding
from sim.units import RAD_PER_DEG

PATIENCE, GLANCE_S = 40, 0.5  # 1, s; own: the largest bells run on for less than 20 s
SLEWED_RAD = 5.0 * RAD_PER_DEG  # rad; own: an eye sees the nose beside its mark
GOOD_RESIDUAL = 0.03  # share; own: five times the scatter of a good calibration
COMPASS_TURNS = 2  # about each axis; own: one leaves some soft iron open
GOOD_COVERAGE = 0.7  # share of directions; own: two turns about each level axis give 0.8

PRECAUTIONS: tuple[Preparation, ...] = ("goggles", "spotter", "clear-ring")
READ_AT_START: frozenset[SettingKey] = frozenset(
    {
        "setup.controller.board_turn_deg",
        "setup.controller.board_upside_down",
        "setup.controller.compass_turn_deg",
    }
)  # settings the controller takes up when it starts
FACES = ((0, 0), (-90, 0), (90, 0), (0, -90), (0, 90), (180, 0))  # roll and pitch of each, deg


def take_precautions(hands: Hands) -> None:
    """Do what anybody does before propellers turn: eyes, a spotter, an empty ring."""
    for what in PRECAUTIONS:
        hands.do(act.Prepare(what=what))


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


def on_the_mark(hands: Hands) -> None:
    """Set it back with its nose on the mark of the pad, where a throttle cut has left it turned."""
    view = hands.see()
    if view.conduct.place == "pad" and abs(view.aircraft.heading_rad) > SLEWED_RAD:
        unplugged(hands)
        hands.do(act.Carry(to="pad", hold=view.conduct.hold))


def stopped(hands: Hands) -> None:
    """Wait until nothing turns: large bells run on for seconds."""
    for _ in range(PATIENCE):
        if not hands.see().aircraft.rotors_turning:
            return
        hands.fly(HANDS_OFF, GLANCE_S)


def props(hands: Hands, on: bool) -> None:
    """Fit or take off the propellers, always without power and at the bench."""
    if hands.see().conduct.props_fitted == on:
        return
    unplugged(hands)
    at(hands, "bench", "hands")
    stopped(hands)
    hands.do(act.FitProps() if on else act.RemoveProps())


def fit_by_corner(hands: Hands) -> None:
    """Fit the aircraft's own propellers one by one, each where it lies ready, marks up and firm."""
    unplugged(hands)
    at(hands, "bench", "hands")
    stopped(hands)
    for place in PLACES:
        hands.do(act.FitProp(place=place, piece=place))


def ready(hands: Hands, check: CheckKey) -> None:
    """Bring the aircraft to where and how a check wants it."""
    stance = CHECKS[check].stance
    if stance.power is None:
        if CHECKS[check].hands_on and hands.see().conduct.props_fitted:
            unplugged(hands)
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
    on_the_mark(hands)
    plugged(hands)


def read(hands: Hands, check: CheckKey) -> Reading:
    """Get ready for a check and do it; a controller that won't arm for its compass gets one."""
    ready(hands, check)
    try:
        outcome = hands.do(act.Read(check=check))
    except Refusal as refusal:
        if "compass" in refusal.reasons:
            calibrate_compass(hands)
        elif "level" in refusal.reasons and not hands.see().conduct.props_fitted:
            straighten(hands)
        elif "throttle_down" in refusal.reasons and check != "stick-display":
            look_at_sticks(hands)
        else:
            raise
        ready(hands, check)
        outcome = hands.do(act.Read(check=check))
    assert outcome.reading is not None
    return outcome.reading


def written(hands: Hands, finding: Finding) -> bool:
    """Tell whether a suspicion is written down already."""
    squawk = hands.see().squawks.get(finding.squawk.item)
    return squawk is not None and squawk.cause == finding.squawk.cause


def claim(hands: Hands, finding: Finding) -> None:
    """Write a suspicion down, once."""
    if not written(hands, finding):
        hands.do(finding.squawk)


def straighten(hands: Hands) -> None:
    """Find out by hand how the board sits, when the display shows a lean that isn't there."""
    for _ in range(3):
        findings = hands.suspects(read(hands, "hand-tilt"))
        if not findings:
            return
        for finding in findings:
            claim(hands, finding)
            cure(hands, finding)


def look_at_sticks(hands: Hands) -> None:
    """Look what the sticks send, when the controller feels a throttle that isn't up."""
    for finding in hands.suspects(read(hands, "stick-display")):
        claim(hands, finding)
        cure(hands, finding)


def calibrate_faces(hands: Hands) -> None:
    """Take all six faces, holding each once more if the hand was not still."""
    props(hands, False)
    plugged(hands)
    at(hands, "bench", "hands")
    hands.do(act.Calibrate(what="face-start"))
    for roll, pitch in FACES:
        hands.pose(roll, pitch)
        if hands.tries(act.Calibrate(what="face-take")) is None:
            hands.tries(act.Calibrate(what="face-take"))
    hands.pose()
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
        hands.turn_about_each_axis(COMPASS_TURNS)
        outcome = hands.tries(act.Calibrate(what="compass-finish"))
        if outcome is not None and outcome.reading is not None:
            v = outcome.reading.values
            if v["residual_share"] < GOOD_RESIDUAL and v["coverage_share"] > GOOD_COVERAGE:
                return


def turn_channel(hands: Hands, channel: str) -> None:
    """Undo a reversal where the setup sheet shows one: transmitter first, else controller."""
    plugged(hands)
    setup = hands.see().setup
    if setup is None:
        raise Refusal("The setup can't be read.", "connected")
    if getattr(setup.transmitter, channel).direction == -1:
        hands.do(act.Set(key=f"setup.transmitter.{channel}.direction", value=1))
    else:
        now = int(getattr(setup.inputs, channel))
        hands.do(act.Set(key=f"setup.inputs.{channel}", value=-now))


def set_to_sheet(hands: Hands) -> None:
    """Write down what differs from the build sheet, then set every value back to it."""
    plugged(hands)
    reading = read_settings(hands)
    findings = hands.suspects(reading)
    for finding in findings:
        claim(hands, finding)
    for finding in findings:
        for setting in finding.settings:
            hands.do(setting)


def read_settings(hands: Hands) -> Reading:
    """Read the settings sheet where the aircraft is."""
    outcome = hands.do(act.Read(check="settings-sheet"))
    assert outcome.reading is not None
    return outcome.reading


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


def settle(hands: Hands, settings: tuple[act.Set, ...]) -> None:
    """Make settings; what only counts at a start is followed by one."""
    plugged(hands)
    for setting in settings:
        hands.do(setting)
    if any(setting.key in READ_AT_START for setting in settings):
        restart_still(hands)


def swap(hands: Hands, part: str) -> None:
    """Put in a good part, without power."""
    unplugged(hands)
    hands.do(act.Swap.model_validate({"part": part}))


WAYS: dict[str, Callable[[Hands, str], object]] = {
    "swap": swap,
    "prepare": lambda hands, what: hands.do(act.Prepare.model_validate({"what": what})),
    "calibrate": calibrate,
    "plug": lambda hands, _: restart_still(hands),
    "wait": lambda hands, _: warm_up(hands),
    "remove-props": lambda hands, _: props(hands, False),
}  # how each kind of fix is done; settings are made by their keys


def mend(hands: Hands, fix: FixKey) -> None:
    """Make a fix that is no setting."""
    way, _, what = fix.partition(":")
    WAYS[way](hands, what)


def channel_of(fix: FixKey) -> str | None:
    """Return the channel a fix turns round, or None."""
    turned = re.fullmatch(r"setup\.transmitter\.(\w+)\.direction", fix)
    return turned[1] if turned else None


def cure(hands: Hands, finding: Finding) -> None:
    """Do what cures a finding; a setting whose value the reading does not tell is looked up."""
    channel = channel_of(finding.fix)
    if finding.settings:
        settle(hands, finding.settings)
    elif channel is not None:
        turn_channel(hands, channel)
    elif finding.fix.startswith("setup."):
        set_to_sheet(hands)
    else:
        mend(hands, finding.fix)
