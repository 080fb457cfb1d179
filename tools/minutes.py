"""Measure how long the careful stand-in needs for each shipped drill, and write it into its file.

    python -m tools.minutes [--seeds 5] [DRILL ...]

Written is the median of the seeds, rounded up to a quarter of an hour and never below the default:
closer, the length of the evening would tell how much is hidden.
"""

import argparse
import re
from pathlib import Path

from rich.console import Console

from sim.diagnosis.pool import cores, on_cores
from sim.maker.rating import CAREFUL, endless, stated_minutes
from sim.session.scenario import find, load, names
from sim.trainees.standins import Attempt, rehearsed

SEEDS = 5  # own: careful's minutes differ by some ten per cent between seeds
LINE = re.compile(r"^careful_min:.*\n", re.MULTILINE)


def minutes(job: tuple[str, int]) -> float:
    """Return the minutes careful needs for a drill with a seed, if nobody locks up."""
    drill, seed = job
    return rehearsed(Attempt(endless(load(drill)), CAREFUL, seed)).minutes


def ready() -> None:
    """Compile the flight model in each process, before the first drill."""
    rehearsed(Attempt(load("last-biscuit"), "careful", 0))


def written(text: str, value: float, seeds: int) -> str:
    """Return a drill's file with its minutes stated, at the end."""
    line = f"careful_min: {value:g}  # measured, {seeds} seeds, up to a quarter of an hour\n"
    return LINE.sub("", text).rstrip("\n") + "\n" + line


def main() -> None:
    """Measure, print and write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("drills", nargs="*", default=names())
    parser.add_argument("--seeds", type=int, default=SEEDS)
    asked = parser.parse_args()
    jobs = [(drill, seed) for drill in asked.drills for seed in range(asked.seeds)]
    with on_cores(cores(), ready) as spread:
        found = list(spread(minutes, jobs))
    out = Console()
    for n, drill in enumerate(asked.drills):
        mine = found[n * asked.seeds : (n + 1) * asked.seeds]
        path = Path(find(drill))
        value = stated_minutes(mine)
        out.print(f"{drill}: {', '.join(f'{m:.0f}' for m in mine)}; states {value:g}")
        path.write_text(
            written(path.read_text(encoding="utf-8"), value, asked.seeds), encoding="utf-8"
        )


if __name__ == "__main__":
    main()
