"""The range walk: a helper turns the model to four headings, a stick is moved, the bars watched."""

from sim.bench.byhand.walked import HEADINGS_DEG
from sim.bench.check import sticks
from sim.bench.checks.range_walk import LISTEN_S
from sim.keys import CheckKey
from sim.session import actions as act
from sim.trainees.byhand.routine import Routine
from sim.trainees.driver import Hands

STIR, STIR_S = 0.5, 0.25  # of stick, s; own: to and fro


def range_walk(hands: Hands) -> None:
    """Have the model turned to each heading and move a stick to and fro."""
    for heading in HEADINGS_DEG.values():
        hands.do(act.Turn(heading_deg=heading))
        for _ in range(round(LISTEN_S / STIR_S / 2.0) + 1):
            hands.fly(sticks(roll=STIR), STIR_S)
            hands.fly(sticks(roll=-STIR), STIR_S)
    hands.do(act.Turn())


ROUTINES: dict[CheckKey, Routine] = {"range-walk": range_walk}
