"""Measure how able the partial stand-ins are, on the logbook's scale: `python -m tools.abilities`.

At the shipped drills of the middle rung, whose difficulty is 0 by definition, ability is the log odds
of the share of topics proved. Printed; it goes into `ABILITY` of `sim/maker/rating.py`.
"""

import argparse
from math import log

from sim.diagnosis.pool import cores, on_cores
from sim.logbook.skill import MIDDLE_RUNG
from sim.maker.rating import ABILITY, Try, attempt
from sim.session.scenario import load, names
from tools.minutes import ready


def job(asked: tuple[str, str, int]) -> Try:
    """Return one attempt: (drill, stand-in, seed)."""
    drill, stand_in, seed = asked
    return attempt(load(drill), stand_in, seed)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=6)
    parser.add_argument("--workers", type=int, default=cores())
    asked = parser.parse_args()
    drills = [name for name in names() if load(name).rung == MIDDLE_RUNG]
    jobs = [(d, who, s) for d in drills for who in ABILITY for s in range(asked.seeds)]
    with on_cores(asked.workers, ready) as spread:
        tries = list(spread(job, jobs))
    for who in ABILITY:
        right = [r for one in tries if one.stand_in == who for r in one.right]
        share = (sum(right) + 0.5) / (len(right) + 1)  # 1; usual: half a topic more to either side
        print(
            f"{who}: {sum(right)} of {len(right)} topics at {len(drills)} drills, "
            f"log odds {log(share / (1 - share)):+.2f}"
        )


if __name__ == "__main__":
    main()
