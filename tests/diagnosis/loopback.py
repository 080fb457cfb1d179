"""A cluster on this computer: scheduler and workers as processes of their own, on loopback."""

import json
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
PATIENCE_S = 60.0  # s; a busy machine


class Cluster:
    """A scheduler and its workers."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._note = folder / "scheduler.json"
        self.scheduler = self._started(
            "dask_scheduler", "--port", "0", "--scheduler-file", str(self._note)
        )
        until = time.monotonic() + PATIENCE_S
        while not (self._note.is_file() and self._note.read_text().endswith("}")):
            assert time.monotonic() < until
            time.sleep(0.05)
        self.address: str = json.loads(self._note.read_text())["address"]
        self.workers: list[subprocess.Popen[bytes]] = []

    def add_worker(self) -> None:
        words = ("--nthreads", "1", "--no-nanny", "--local-directory", str(self._folder))
        self.workers.append(self._started("dask_worker", self.address, *words))

    def end(self) -> None:
        for process in (self.scheduler, *self.workers):
            process.kill()
            process.wait()

    def _started(self, what: str, *words: str) -> "subprocess.Popen[bytes]":
        return subprocess.Popen(
            [sys.executable, "-m", f"distributed.cli.{what}", *words,
             "--host", "127.0.0.1", "--no-dashboard"],
            env={"PYTHONPATH": ":".join([str(ROOT), *sys.path]), "PATH": "/usr/bin:/bin"},
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
