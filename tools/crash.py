"""Kill attempts at many moments and see that nothing is lost: `python tools/crash.py --kills 200`.

Each attempt runs in a process of its own and is ended by SIGKILL, at a moment by the clock or at
one file operation after another, in the middle of a line as well. Three ways of being killed: a
stand-in's `demo`, a person's practice as the window drives it, and a second run into a folder that
holds one. Afterwards nothing finished may be gone or changed, nothing unfinished may count as
finished, and each unfinished attempt must go on to its end when the same command is given again.
"""

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

from sim.cli import main as command
from sim.errors import DryhopError
from sim.pages.debrief import DEBRIEF
from sim.runs import left_in_the_middle, replay, score, take_up
from sim.scoring.scorecard import CLEARED
from sim.session import actions as act
from sim.session import folder as folders
from sim.session.attempt import ATTEMPT, SCORECARD
from sim.session.envelope import SCENARIO
from sim.session.folder import is_finished
from sim.session.journal import JOURNAL, TRACE, Step, begun
from sim.session.scenario import load
from sim.window.practice import Practice
from sim.window.sticks.positions import Positions

DRILL, SEED = "first-evening", 7  # own: any will do
FILES = (SCENARIO, JOURNAL, TRACE, SCORECARD, ATTEMPT)
EDGES = 14  # file operations at the beginning; own: all before the first act, and a few acts
OPERATIONS = 3300  # file operations; own: a few more than a careful evening's lines
REFUSED_S = 0.1  # s; measured: about what it takes to be refused
Work = Callable[[], None]


class Lost(AssertionError):
    """Something that was finished is gone, or something unfinished counts as finished."""


def require(good: bool, words: str) -> None:
    """Raise Lost unless something is so."""
    if not good:
        raise Lost(words)


# --- processes that are killed ---------------------------------------------------------------


def begun_process(work: Work) -> int:
    """Begin some work in a process of its own, silent; return its number."""
    number = os.fork()
    if number:
        return number
    with open(os.devnull, "w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
        code = 70
        try:
            work()
            code = 0
        except SystemExit as ended:
            code = int(ended.code or 0)
        finally:
            os._exit(code)


def code_of(work: Work) -> int:
    """Let some work come to its end in a process of its own; return its exit code."""
    return os.waitstatus_to_exitcode(os.waitpid(begun_process(work), 0)[1])


def killed_after(work: Work, seconds: float) -> bool:
    """Kill some work after a time; tell whether it was still at it."""
    number = begun_process(work)
    time.sleep(seconds)
    os.kill(number, signal.SIGKILL)
    return os.WIFSIGNALED(os.waitpid(number, 0)[1])


def killed_at(work: Work, operation: int, share: float) -> bool:
    """Kill some work at its n-th file operation, a line being written by a share only."""

    def counted() -> None:
        left = [operation]

        def die_at_last(does: Callable[..., object]) -> Callable[..., object]:
            def done(*args: object, **more: object) -> object:
                left[0] -= 1
                if left[0] < 0:
                    os.kill(os.getpid(), signal.SIGKILL)
                return does(*args, **more)

            return done

        append = folders.JournalFile._append

        def torn(self: folders.JournalFile, data: bytes) -> None:
            left[0] -= 1
            if left[0] < 0:
                self._file.write(data[: int(share * len(data))])
                os.kill(os.getpid(), signal.SIGKILL)
            append(self, data)

        folders.JournalFile._append = torn  # type: ignore[method-assign]
        for name in ("replace", "fsync"):
            setattr(os, name, die_at_last(getattr(os, name)))
        work()

    return os.WIFSIGNALED(os.waitpid(begun_process(counted), 0)[1])


# --- the work --------------------------------------------------------------------------------


def typed(*words: str) -> Work:
    """Return a command as it is typed."""

    def work() -> None:
        sys.argv = ["dryhop", *words]
        command()

    return work


def paged(folder: Path) -> Work:
    """Return the command that writes the page of a finished run."""
    return typed("debrief", str(folder))


def demo(folder: Path, seed: int = SEED) -> Work:
    """Return the command that fills a folder by the careful stand-in."""
    return typed("demo", DRILL, "--seed", str(seed), "--out", str(folder), "--no-window")


def practice(folder: Path, steps: list[Step], left: bool = False) -> Work:
    """Return a person's practice as the window drives it, by the steps of a recorded run."""

    def work() -> None:
        drill = Practice(load(DRILL), DRILL, SEED, "a person", folder, left=left)
        settled(drill)
        for step in steps:
            if step.action is not None:
                drill.ask(step.action)
                settled(drill)
            elif step.inputs is not None:
                s = step.inputs.sticks
                drill.sticks = Positions(s.roll, s.pitch, s.throttle, s.yaw)
                drill.step(step.seconds)
        drill.close()

    return work


def settled(drill: Practice) -> None:
    """Wait until the drill has done what it was asked."""
    while drill.busy:
        drill.poll()
        time.sleep(0.0005)


GIVING_UP = [Step(0, action) for action in (act.Disarm(), act.UnplugPack(), act.Finish())]


def content(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder."""
    return {path.name: path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def without_parts(files: dict[str, bytes]) -> dict[str, bytes]:
    """Return files but for those a killed program was still writing."""
    return {name: data for name, data in files.items() if not name.endswith(".part")}


# --- the three ways --------------------------------------------------------------------------


class Crashes:
    """Kills attempts below a folder and counts what came of them."""

    def __init__(self, below: Path, seed: int) -> None:
        self.below = below
        self.chance = random.Random(seed)
        self.counts: Counter[str] = Counter()
        self.whole = below / "whole"
        started = time.perf_counter()
        require(code_of(demo(self.whole)) == 0, "the demo itself fails")
        self.demo_s = time.perf_counter() - started
        self.files = content(self.whole)
        self.steps = begun(self.whole)[1]
        started = time.perf_counter()
        person = self.below / "person"
        require(code_of(practice(person, self.steps)) == 0, "the practice itself fails")
        self.practice_s = time.perf_counter() - started
        require(is_finished(person), "the practice does not end")

    def kill(self, work: Work, n: int, lasts_s: float) -> None:
        """Kill some work: by the clock, at one of its first file operations, at any of them."""
        if n % 3 == 0:
            died = killed_after(work, self.chance.uniform(0.0, 1.05 * lasts_s))
        else:
            first = n // 3 % EDGES
            operation = first if n % 3 == 1 else self.chance.randrange(OPERATIONS)
            died = killed_at(work, operation, self.chance.random())
        self.counts["killed" if died else "came to its end first"] += 1

    def judge(self, folder: Path) -> bool:
        """Look at what a killed attempt has left; return whether it is finished."""
        if is_finished(folder):
            replay(folder)
            self.counts["finished"] += 1
            return True
        self.counts["unfinished"] += 1
        if not (folder / JOURNAL).exists() or not (folder / ATTEMPT).exists():
            self.counts["before the note"] += 1
            return False
        require(not (folder / SCORECARD).exists(), "an unfinished attempt has a scorecard")
        with suppress(DryhopError):  # without a header there is nothing to score
            card = score(folder)
            said = (folder / JOURNAL).read_bytes()
            over = b'"do":"finish"' in said  # the drill is, and only its files are not
            require(over == card["finished"], "an unfinished attempt counts as finished")
            require(over or card["verdict"] != CLEARED, "an unfinished attempt is cleared")
        return False

    def demo_killed(self, n: int) -> None:
        """Kill a demo, perhaps twice; the same command must bring it to the same end."""
        folder = self.below / f"demo-{n}"
        self.kill(demo(folder), n, self.demo_s)
        if not self.judge(folder):
            if n % 2 == 0:
                killed_after(demo(folder), self.chance.uniform(0.0, self.demo_s))
            if not is_finished(folder):
                require(code_of(demo(folder)) == 0, "a demo is not taken up")
                self.counts["taken up"] += 1
        if is_finished(folder) and not (folder / DEBRIEF).exists():  # killed before the last file
            require(code_of(paged(folder)) == 0, "a finished run's page can't be written again")
            self.counts["without a page"] += 1
        require(without_parts(content(folder)) == self.files, "a demo taken up ends otherwise")
        shutil.rmtree(folder)

    def practice_killed(self, n: int) -> None:
        """Kill a practice; it must be listed, go on from its last line, and end."""
        below = self.below / f"practice-{n}"
        folder = below / "run"
        self.kill(practice(folder, self.steps), n, self.practice_s)
        if not self.judge(folder) and (folder / ATTEMPT).exists():
            require(
                [left.folder for left in left_in_the_middle(below)] == [folder],
                "an attempt left in the middle is not listed",
            )
            kept = (folder / JOURNAL).read_bytes()
            kept = kept[: kept.rfind(b"\n") + 1]
            with take_up(folder) as run:
                tick = run.session.rig.tick
            require((folder / JOURNAL).read_bytes().startswith(kept), "a line is lost")
            require(code_of(practice(folder, GIVING_UP, left=True)) == 0, "not taken up")
            require(is_finished(folder), "an attempt taken up does not end")
            require(replay(folder) >= tick, "an attempt taken up does not replay")
            self.counts["taken up"] += 1
        shutil.rmtree(below, ignore_errors=True)

    def second_killed(self, n: int) -> None:
        """Kill a second run into a folder that holds one: what lies there stays to the bit."""
        folder = self.below / f"second-{n}"
        shutil.copytree(self.whole, folder)
        if n % 2:  # half of them left in the middle by another
            for name in (SCORECARD, TRACE):
                (folder / name).unlink()
            lines = (folder / JOURNAL).read_bytes().splitlines(keepends=True)
            (folder / JOURNAL).write_bytes(b"".join(lines[: self.chance.randrange(1, len(lines))]))
        before = content(folder)
        other = demo(folder, SEED + 1)
        died = killed_after(other, self.chance.uniform(0.0, REFUSED_S))  # it writes nothing
        self.counts["killed" if died else "came to its end first"] += 1
        require(content(folder) == before, "a second run changes the first")
        require(code_of(other) == 2, "a second run is not refused")
        require(content(folder) == before, "a refused run changes the first")
        self.counts["first run untouched"] += 1
        shutil.rmtree(folder)


def crashed(kills: int, seed: int, only: str = "") -> Iterator[tuple[str, Counter[str]]]:
    """Kill this many attempts; yield what came of them by way. Raises Lost.

    `only`: one way alone.
    """
    with tempfile.TemporaryDirectory() as below:
        crashes = Crashes(Path(below), seed)
        shares = {
            "demo": (crashes.demo_killed, 0.4),
            "practise": (crashes.practice_killed, 0.4),
            "second run": (crashes.second_killed, 0.2),
        }
        if only:
            shares = {only: (shares[only][0], 1.0)}
        for name, (way, share) in shares.items():
            crashes.counts = Counter()
            for n in range(max(1, round(share * kills))):
                way(n)
            yield name, crashes.counts


def main() -> None:
    """Kill, and say what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", choices=("demo", "practise", "second run"), default="")
    asked = parser.parse_args()
    started = time.perf_counter()
    for name, counts in crashed(asked.kills, asked.seed, asked.only):
        print(f"{name}: " + ", ".join(f"{n} {words}" for words, n in counts.items()), flush=True)
    print(f"{asked.kills} kills in {time.perf_counter() - started:.0f} s: nothing lost")


if __name__ == "__main__":
    main()
