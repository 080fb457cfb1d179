"""Write the shipped fleet: each airframe of `assets/airframes` from the answers beside this file.

Run as `python -m tools.fleet`. The trainer is no part of it: its numbers are its own.
"""

from pathlib import Path

from sim.aircraft.textfile import dump_yaml, load_model, write_text_atomic
from sim.describe.answers import Answers
from sim.describe.sheet import read_off
from sim.describe.working import worked
from sim.paths import assets_dir

ANSWERS = sorted(Path(__file__).parent.glob("*.yaml"))
HEAD = """\
# Invented design, worked out by `python -m tools.fleet` from the answers in tools/fleet/{name}.yaml;
# formulas and sources: sim/aircraft/estimates, sim/describe. Don't change it by hand.
"""


def written(answers: Path) -> str:
    """Return the text of the airframe file of these answers."""
    airframe = read_off(worked(load_model(answers, Answers)).airframe)
    return HEAD.format(name=answers.stem) + dump_yaml(airframe)


def main() -> None:
    """Write every airframe."""
    for answers in ANSWERS:
        path = assets_dir() / "airframes" / answers.name
        write_text_atomic(path, written(answers))
        print(path)


if __name__ == "__main__":
    main()
