"""Where the work of a study is done, how far it is, and where its results are kept meanwhile."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from sim.diagnosis.cluster import on_cluster
from sim.diagnosis.kept import InUse, Keeping, OtherStudy, ResultsFile
from sim.diagnosis.pool import Mapper, Workers, cores, on_cores
from sim.diagnosis.readings import load_model
from sim.errors import InputError, Problem, line_of
from sim.origin import digest, origin
from sim.paths import user_cache, user_folder

FOLDER = "studies"  # in the user's cache folder


@dataclass(frozen=True)
class Work:
    """How a study is done: by so many processes (None: all cores), or by the cluster of a scheduler.

    file : keeps the results; without one, a file in the cache folder does until the study is done.
    fresh : results kept before are thrown away.
    """

    workers: int | None = None
    cluster: str | None = None
    file: Path | None = None
    fresh: bool = False

    def require_fitting(self) -> None:
        """Raise InputError for two places to work at."""
        if self.workers is not None and self.cluster is not None:
            rule = "not with --cluster: its workers do the work"
            raise InputError((Problem("--workers", None, "", str(self.workers), rule),))

    @contextmanager
    def begun(
        self, err: Console, asked: dict[str, Any]
    ) -> Iterator[tuple[Mapper, Callable[[str, int], None], Callable[[], None]]]:
        """Give mapper, `begins(name, total)` and `done()`; say on `err` how to go on if it is cut short.

        asked : names the study and all that its results depend on beside the program, as plain data.
        What was kept in the cache folder is deleted at a good end.
        """
        file = self._file(err, {**asked, **origin()})
        if file is None:
            with self._workers() as workers, progress_on(err) as (begins, done):
                yield workers, begins, done
            return
        if file.count:
            _say(err, f"Going on with {_results(file)}")
        try:
            with self._workers() as workers, progress_on(err) as (begins, done):
                yield Keeping(workers, file), begins, done
        except BaseException:
            file.close()
            if file.count:
                again = "the same command without --fresh" if self.fresh else "the same command"
                _say(err, f"Kept {_results(file)}: {again} goes on from there.")
            raise
        file.close()
        if self.file is None:
            file.path.unlink(missing_ok=True)

    def _workers(self) -> AbstractContextManager[Workers]:
        if self.cluster is not None:
            return on_cluster(self.cluster)
        return on_cores(cores() if self.workers is None else self.workers, load_model)

    def _file(self, err: Console, head: dict[str, Any]) -> ResultsFile | None:
        """Return the file that keeps the results; None if there is no place and none was asked for."""
        if self.file is not None:
            return ResultsFile(self.file, head, self.fresh)
        folder = user_folder(user_cache()) / FOLDER
        asked = {key: value for key, value in head.items() if key not in origin()}
        path = folder / f"{head['study']}-{digest(asked)}.jsonl"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with suppress(OtherStudy):  # begun by another version of the program
                return ResultsFile(path, head, self.fresh)
            return ResultsFile(path, head, fresh=True)
        except (InUse, OSError) as error:
            _say(err, f"Nothing is kept meanwhile: {line_of(error)}")
            return None


def require_place(*files: Path) -> None:
    """Raise OSError where a table can't be written: now, not after hours of work."""
    for folder in {file.parent for file in files}:
        folder.mkdir(parents=True, exist_ok=True)
        try:
            with TemporaryFile(dir=folder):
                pass
        except OSError as error:
            raise type(error)(error.errno, error.strerror, str(folder)) from None


def _results(file: ResultsFile) -> str:
    return f"{file.count} {'result' if file.count == 1 else 'results'} in {file.path}"


def _say(err: Console, text: str) -> None:
    err.print(text, markup=False, highlight=False, soft_wrap=True)


@contextmanager
def progress_on(err: Console) -> Iterator[tuple[Callable[[str, int], None], Callable[[], None]]]:
    """Show a bar on stderr; give `begins(name, total)` and `done()`."""
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=err) as progress:

        def begins(name: str, total: int) -> None:
            progress.add_task(name, total=total)

        def done() -> None:
            progress.advance(progress.task_ids[-1])

        yield begins, done
