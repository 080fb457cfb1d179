"""What is done once before anything flies: the flight model compiled, an aircraft's kind measured."""

from typing import Any

from sim.commands.compiling import compile_with_progress
from sim.commands.ends import err


def get_ready(*airframes: Any) -> None:
    """Compile the flight model and measure these kinds of aircraft, as far as it has not been done yet."""
    compile_with_progress()
    if airframes:
        from sim.bench.evidence import has_tables

        if not all(has_tables(one) for one in airframes):
            from sim.commands.measuring import measured_first

            measured_first(err, *airframes)
