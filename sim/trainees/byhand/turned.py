"""Marks, field, faces, compass turns, level and still, pad look: turn it, hold it, let it stand."""

from sim.bench.check import sticks
from sim.bench.checks.attitude import LOOK_S, MARKS_DEG, PAD_S, STAND_S
from sim.bench.checks.handling import FACE_S, FACES
from sim.bench.inputs import Inputs, Turning
from sim.keys import CheckKey
from sim.session import actions as act
from sim.trainees.byhand.hold import pose
from sim.trainees.byhand.routine import MORE_S, Routine, still
from sim.trainees.driver import Hands

SLOWLY = 0.25  # of the fastest turn; own: a field is read on the way
TURN_S = 16.5  # s; own: at that rate a whole turn and a little more
WHOLE_S = 4.1  # s; own: a whole turn at the fastest, and a little more


def heading_marks(hands: Hands) -> None:
    """Hold the nose over each mark until the heading has settled."""
    for mark in MARKS_DEG.values():
        pose(hands, 0.0, 0.0, mark)
        still(hands, LOOK_S)
    hands.do(act.Turn())


def field_turn(hands: Hands) -> None:
    """Turn the nose once right round, level."""
    pose(hands, 0.0, 0.0)
    hands.fly(Inputs(sticks(), Turning(yaw=SLOWLY)), TURN_S)
    hands.do(act.Turn())


def six_faces(hands: Hands) -> None:
    """Hold it on each face."""
    for roll, pitch in FACES.values():
        pose(hands, roll, pitch)
        still(hands, FACE_S + MORE_S)
    hands.do(act.Turn())


def compass_turns(hands: Hands, turns: int) -> None:
    """Turn it about each of its axes, so that the compass sees every side."""
    for about in (Turning(pitch=1.0), Turning(roll=1.0), Turning(yaw=1.0)):
        hands.fly(Inputs(sticks(), about), turns * WHOLE_S)
        pose(hands, 0.0, 0.0)


def level_and_still(hands: Hands) -> None:
    """Let it stand on the plate, turn it half round, let it stand again."""
    still(hands, LOOK_S + STAND_S + MORE_S)
    hands.do(act.Turn(heading_deg=180.0))
    still(hands, LOOK_S + STAND_S + MORE_S)
    hands.do(act.Turn())
    still(hands, LOOK_S)


def pad_look(hands: Hands) -> None:
    """Stand back and wait."""
    still(hands, LOOK_S + PAD_S + MORE_S)


ROUTINES: dict[CheckKey, Routine] = {
    "heading-marks": heading_marks,
    "field-turn": field_turn,
    "six-faces": six_faces,
    "level-and-still": level_and_still,
    "pad-look": pad_look,
}
