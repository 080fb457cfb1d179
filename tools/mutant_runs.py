"""Run tests against one mutant after another in processes that have done the slow imports.

`python tools/mutant_runs.py MODULE...` imports numpy, numba and so on, then the modules named, and
reads jobs from standard input, a JSON object a line: `tests` (paths), `timeout_s`, `cache` (folder
for compiled code, or null for the usual one) and `mutant` (`module`, `path`, `source`, or null for
the code as it is). For each it forks; the child puts the changed source in the place of the module
when that is first imported, so no file is ever changed, and runs pytest until a test fails. The
answer is a line: pytest's exit code, or null for a timeout.
"""

import gc
import importlib
import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

from tools.mutants import Mutant, applied, read_source

ROOT = Path(__file__).resolve().parent.parent
LIBRARIES = ("numpy", "numba", "pydantic", "yaml", "hypothesis.strategies")
# what no mutant outside the kernel changes, and takes longest to import
SETTLED = ("sim.kernel.run", "sim.kernel.linear", "sim.aircraft.assemble", "sim.aircraft.library")
POLL_S = 0.02  # s; own: a fiftieth of the shortest run
QUIET = ("-x", "-q", "--no-header", "--tb=line", "-p", "no:cacheprovider")
EARLY = "ignore::pytest.PytestAssertRewriteWarning"  # hypothesis is imported before pytest begins


class Changed(importlib.machinery.SourceFileLoader):
    """Loads a module from a text in place of its file."""

    def __init__(self, module: str, path: str, source: str) -> None:
        super().__init__(module, path)
        self.source = source

    def get_code(self, fullname: str) -> CodeType:
        """Return the changed text compiled, never what is cached of the file."""
        return compile(self.source, self.path, "exec", dont_inherit=True)


class ChangedFinder(importlib.abc.MetaPathFinder):
    """Finds one module in a changed text, and leaves all others to the usual way."""

    def __init__(self, module: str, path: str, source: str) -> None:
        self.module, self.path = module, path
        self.loader = Changed(module, path, source)

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Return where the module comes from, if it is the one."""
        if fullname != self.module:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self.loader)


def run_tests(job: dict[str, Any]) -> int:
    """Run the tests of a job in this process, which must not have imported the changed module."""
    if job["cache"]:
        os.environ["DRYHOP_CACHE_DIR"] = job["cache"]
    if job["mutant"]:
        if job["mutant"]["module"] in sys.modules:
            raise RuntimeError(f"{job['mutant']['module']} was imported before it was changed")
        sys.meta_path.insert(0, ChangedFinder(**job["mutant"]))
    import pytest

    try:
        return int(pytest.main([*QUIET, "-W", EARLY, *job["tests"]]))
    except Exception:  # what a mutant left open may only come out as pytest packs up
        traceback.print_exc()
        return 1


def forked(job: dict[str, Any]) -> int | None:
    """Return pytest's exit code from a child process, None if it took too long."""
    child = os.fork()
    if child == 0:
        os.setsid()  # so that what the tests start ends with them
        nowhere = os.open(os.devnull, os.O_RDWR)
        log = os.open(job["log"], os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(nowhere, 0)
        os.dup2(log, 1)
        os.dup2(log, 2)
        code = 3  # pytest's own number for an internal error: the tests never began
        try:
            code = run_tests(job)
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(code)
    end = time.monotonic() + job["timeout_s"]
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(POLL_S)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None


def serve(modules: Sequence[str]) -> None:
    """Import what is the same for every job, then answer jobs until there are no more."""
    for module in (*LIBRARIES, *modules):
        importlib.import_module(module)
    gc.freeze()  # what is shared with the children need not be looked through in each
    for line in sys.stdin:
        print(json.dumps(forked(json.loads(line))), flush=True)


UNLOADED = "ImportError while loading conftest"  # pytest's words


@dataclass(frozen=True)
class Outcome:
    """What came of one run: pytest's exit code or None for a timeout, time, the last lines."""

    code: int | None
    seconds: float
    log: str

    @property
    def failed(self) -> bool:
        """Whether a test, or the import of one, failed, or the tests never came to an end.

        Raises
        ------
        RuntimeError
            If there were no tests, or pytest could not be run.
        """
        if self.code == 4 and UNLOADED in self.log:
            return True  # the changed program refuses to be loaded, and so no test of it is
        if self.code in (3, 4, 5):
            raise RuntimeError(f"the tests could not be run:\n{self.log}")
        return self.code != 0


class Server:
    """A process that has done the imports; one job at a time."""

    def __init__(self, settled: bool, scratch: Path) -> None:
        self.scratch = scratch
        modules = SETTLED if settled else ()
        self.process = subprocess.Popen(
            [sys.executable, str(Path(__file__).resolve()), *modules],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )

    def run(self, mutant: Mutant | None, tests: Sequence[str], timeout_s: float) -> Outcome:
        """Run tests on a mutant, or on the code as it is."""
        stdin, stdout = self.process.stdin, self.process.stdout
        if stdin is None or stdout is None:
            raise RuntimeError("the server has no pipes")
        log = self.scratch / f"log-{threading.get_ident()}"
        started = time.monotonic()
        with tempfile.TemporaryDirectory(dir=self.scratch) as cache:
            kernel = mutant is not None and mutant.package == "kernel"
            job = {
                "tests": list(tests),
                "timeout_s": timeout_s,
                "log": str(log),
                # numba keys its cache by files: a changed kernel must find none and leave none
                "cache": cache if kernel else None,
                "mutant": None if mutant is None else _replacement(mutant),
            }
            stdin.write(json.dumps(job) + "\n")
            stdin.flush()
            answer = stdout.readline()
        if not answer:
            raise RuntimeError(f"the process that runs tests ended: {self.process.wait()}")
        tail = log.read_text(errors="replace")[-2000:]
        return Outcome(json.loads(answer), time.monotonic() - started, tail)

    def close(self) -> None:
        """End the process."""
        if self.process.stdin is not None:
            self.process.stdin.close()
        self.process.wait()


def _replacement(mutant: Mutant) -> dict[str, str]:
    return {
        "module": mutant.file.removesuffix(".py").replace("/", "."),
        "path": str(ROOT / mutant.file),
        "source": applied(mutant, read_source(ROOT, mutant.file)),
    }


if __name__ == "__main__":
    serve(sys.argv[1:])
