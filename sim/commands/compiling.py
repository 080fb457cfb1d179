"""Compiling the kernel once for this version, step by step; as a program, in its own process.

A command needs what flies; a window what paints as well.

A compiler holds Python's one lock for seconds on end, so a window that wants to stay alive meanwhile
runs this as `python -m sim.commands.compiling` and reads its lines; the cache on disk does the rest.
"""

import sys
from collections.abc import Callable

from sim.commands.ends import err

Work = list[tuple[str, Callable[[], object]]]
DRILL = "quiet-morning"  # any will do: they all fly the same model


def work(window: bool) -> Work:
    """Return (name, what compiles it) of every step. window : whether for one, which paints as well."""
    import numpy as np

    from sim.bench.rig import Rig
    from sim.kernel.start import initial_state
    from sim.kernel.warm import steps
    from sim.session.scenario import load

    rig = Rig(load(DRILL).world(np.random.default_rng(0)), 0)
    state = initial_state(rig.craft, rig.target, 1.0, 0)
    return list(steps(rig.craft, state, rig.tables, window))


def compile_with_progress() -> None:
    """Compile the flight model if this version has not been compiled here yet."""
    from sim.kernel.cache import FLIGHT, is_warm, seal

    if is_warm(FLIGHT):
        return
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    steps = work(window=False)
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=err) as progress:
        task = progress.add_task("Compiling, once for this version", total=len(steps))
        for name, compiles in steps:
            progress.update(task, description=f"Compiling the {name}, once for this version")
            compiles()
            progress.advance(task)
    seal()


def main() -> None:
    """Compile, with a line before each step: `done of-how-many name`."""
    from sim.kernel.cache import seal

    steps = work(window=True)
    for done, (name, compiles) in enumerate(steps):
        sys.stdout.write(f"{done} {len(steps)} {name}\n")
        sys.stdout.flush()
        compiles()
    seal()
    sys.stdout.write(f"{len(steps)} {len(steps)} done\n")


if __name__ == "__main__":
    main()
