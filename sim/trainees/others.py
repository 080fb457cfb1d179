"""Stand-ins that show what not to do, and one that knows everything."""

from contextlib import suppress
from dataclasses import replace
from typing import get_args

import numpy as np

from sim.bench.checklist import CHECKS
from sim.bench.parts import PARTS
from sim.bench.reading import Reading
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.kernel.radio import Sticks
from sim.keys import CheckKey, FaultId, FixKey
from sim.procedure.cards import CARDS
from sim.session import actions as act
from sim.session.connecting import WARM_MIN
from sim.session.scenario import Scenario
from sim.trainees.careful import Careful, fly
from sim.trainees.craftwork import (
    calibrate_compass,
    channel_of,
    cure,
    mend,
    plugged,
    props,
    read,
    settle,
    take_precautions,
    turn_channel,
    unplugged,
)
from sim.trainees.driver import Hands
from sim.trainees.judges.control import AS_FITTED
from sim.trainees.judges.finding import Finding, planned

CLICKS = 120  # own: as many actions as the careful stand-in needs
LOOK: CheckKey = "people-and-room"
SHORTEST_CHECKS: tuple[CheckKey, ...] = ("propellers", "pack-at-rest")
HUNCHES = 2  # own: how many guesses before the patience ends


def to_the_pad(hands: Hands) -> None:
    """Fit the propellers and set the aircraft on the pad with power."""
    props(hands, True)
    unplugged(hands)
    hands.do(act.Carry(to="pad", hold="standing"))
    plugged(hands)


def hasty(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Look at the pack, fit the propellers, go."""
    for check in SHORTEST_CHECKS:
        read(hands, check)
    hands.do(act.Prepare(what="clear-ring"))
    to_the_pad(hands)
    try:
        fly(hands, scenario)
    except Refusal:
        calibrate_compass(hands)
        to_the_pad(hands)
        fly(hands, scenario)
    hands.tries(act.Finish())


def cure_by_guess(hands: Hands, cause: FaultId) -> None:
    """Change what is said to help against a cause, without having looked; refused is refused."""
    fixes = CATALOGUE[cause].fixes
    channel = channel_of(fixes[0])
    if channel is not None:
        plugged(hands)
        turn_channel(hands, channel)
        return
    if any(fix.removeprefix("setup.controller.") in AS_FITTED for fix in fixes):
        with suppress(Refusal):
            set_as_shown(hands, cause)
        return
    for fix in fixes:
        with suppress(Refusal):
            change(hands, fix)


def set_as_shown(hands: Hands, cause: FaultId) -> None:
    """Set what follows the build, which takes a look: the sheet does not know."""
    for finding in hands.suspects(read(hands, CATALOGUE[cause].proved_by[0])):
        if finding.squawk.cause == cause:
            cure(hands, finding)


def change(hands: Hands, fix: FixKey) -> None:
    """Make one change, a setting as it is planned."""
    if fix.startswith("setup."):
        settle(hands, (act.Set(key=fix, value=planned(hands.sheet, fix)),))
    else:
        mend(hands, fix)


def any_cause(rng: np.random.Generator) -> FaultId:
    """Return a cause of the catalogue by chance."""
    causes = sorted(CATALOGUE)
    return causes[int(rng.choice(len(causes)))]


def hunch(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Change things at random, then test what must be tested, then fly."""
    take_precautions(hands)
    for _ in range(HUNCHES):
        cause = any_cause(rng)
        hands.do(act.Squawk(item=CATALOGUE[cause].item, cause=cause, confidence=2))
        cure_by_guess(hands, cause)
    for check in ("failsafe", "switches", "people-and-room"):
        read(hands, check)
    to_the_pad(hands)
    fly(hands, scenario)
    hands.tries(act.Finish())


def words(kind: type[act.Prepare] | type[act.Calibrate]) -> tuple[str, ...]:
    """Return every word an action can be done with."""
    return get_args(kind.model_fields["what"].annotation)


def random_action(rng: np.random.Generator) -> act.Action:
    """Return an action drawn from everything there is to do but ending the drill."""

    def one(*choices: object) -> object:
        return choices[int(rng.integers(len(choices)))]

    cause = any_cause(rng)
    settings = [fix for fix in CATALOGUE[cause].fixes if fix.startswith("setup.")]
    key = one(*settings) if settings else one(None)
    options: list[dict[str, object]] = [
        {"do": "switch-transmitter", "on": bool(rng.random() < 0.8)},
        {"do": "plug-pack"},
        {"do": "unplug-pack"},
        {"do": "fit-props"},
        {"do": "remove-props"},
        {"do": "cable", "plugged": bool(rng.random() < 0.5)},
        {"do": "connect", "by": one("cable", "telemetry"), "rate_bd": one(57600, 115200)},
        {"do": "disconnect"},
        {"do": "load-software"},
        {"do": "prepare", "what": one(*words(act.Prepare))},
        {
            "do": "carry",
            "to": one("bench", "pad", "open_floor", "steel_cupboard"),
            "hold": one("standing", "hands", "clamp"),
        },
        {"do": "turn", "pitch_deg": float(rng.uniform(-180, 180))},
        {"do": "wait", "minutes": one(0.5, WARM_MIN)},
        {"do": "read", "check": str(rng.choice(sorted(CHECKS)))},
        {"do": "squawk", "item": CATALOGUE[cause].item, "cause": cause, "confidence": 1},
        {"do": "withdraw", "item": CATALOGUE[cause].item},
        {"do": "swap", "part": one(*sorted(PARTS))},
        {"do": "calibrate", "what": one(*words(act.Calibrate))},
        {"do": "set-mode", "self_level": bool(rng.random() < 0.7)},
        {"do": "arm"},
        {"do": "disarm"},
        {"do": "answer", "card": CARDS[0].key, "item": "complete", "value": "done"},
        {"do": "declare", "verdict": "clear"},
    ]
    if key:
        options.append({"do": "set", "key": key, "value": one(1, -1, "stop", 0.05)})
    return act.ACTION.validate_python(options[int(rng.integers(len(options)))])


def random_sticks(rng: np.random.Generator) -> Sticks:
    """Return stick positions drawn at random, the throttle mostly low."""
    roll, pitch, yaw = (float(x) for x in rng.uniform(-1.0, 1.0, 3))
    return Sticks(roll, pitch, float(rng.beta(1.0, 2.0)), yaw, 1.0, 1.0, float(rng.random() < 0.05))


def clicker(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Do things at random."""
    for _ in range(CLICKS):
        hands.tries(random_action(rng))
        if hands.see().armed:
            hands.fly(random_sticks(rng), 0.02 * float(rng.integers(1, 50)))
    hands.tries(act.Disarm())
    hands.tries(act.UnplugPack())
    hands.tries(act.Finish())


class Oracle(Careful):
    """Knows the faults: works at the cards, and suspects what is there and nothing else."""

    def __init__(self, hands: Hands, rng: np.random.Generator) -> None:
        super().__init__(hands, rng)
        self._hidden = hands.session.record().present_at_start

    def suspects(self, check: CheckKey, reading: Reading) -> list[Finding]:
        """Return what the reading shows of what is there, beyond doubt."""
        known = [f for f in super().suspects(check, reading) if f.squawk.cause in self._hidden]
        certain = {"confidence": 4}
        return [replace(f, plain=True, squawk=f.squawk.model_copy(update=certain)) for f in known]


def oracle(hands: Hands, scenario: Scenario, rng: np.random.Generator) -> None:
    """Do the whole drill, knowing the faults."""
    Oracle(hands, rng).performs(scenario)
