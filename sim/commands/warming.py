"""Compiling the flight model with a bar, before anything flies."""

from sim.commands.ends import err


def compile_with_progress() -> None:
    """Compile the flight model if this version has not been compiled here yet."""
    from sim.kernel.cache import is_warm, seal

    if is_warm():
        return
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from sim.commands.compiling import work

    steps = work()
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=err) as progress:
        task = progress.add_task("Compiling, once for this version", total=len(steps))
        for name, compiles in steps:
            progress.update(task, description=f"Compiling the {name}, once for this version")
            compiles()
            progress.advance(task)
    seal()
