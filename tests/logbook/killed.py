"""People practise and are entered in one logbook by two processes at once, which are killed again and again.

`python -m tests.logbook.killed HOME TIMES SEED` prints what came of it as JSON, and fails at the
first attempt lost. It runs as a program of its own because only one without threads may fork.
"""

import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from sim.errors import Refusal
from sim.logbook.book import Book
from sim.runs import kept_card, left_in_the_middle, new_folder, replay, run_folders, take_up
from sim.session import actions as act
from sim.session import scenario
from sim.session.attempt import Note
from sim.session.folder import RunFolder, is_finished
from sim.session.journal import JOURNAL

DRILL = "first-evening"
EVENING: tuple[act.Action, ...] = (
    act.RemoveProps(),
    act.Read(check="propellers"),
    act.Read(check="weigh-and-balance"),
    act.SwitchTransmitter(on=True),
    act.PlugPack(),
    act.Read(check="level-and-still"),
    act.UnplugPack(),
    act.Declare(verdict="stay on the bench", reason="it is late"),
)
PEOPLE = ("Ada", "Bo")


def practise(home: Path, who: str, say: Callable[[str], object], evenings: int) -> None:
    """Finish some evenings, what was left in the middle first; say each finished and each entered."""
    runs = home / who
    with Book(home / "logbook.sqlite") as book:
        for _ in range(evenings):
            left = left_in_the_middle(runs)
            if left:
                run = take_up(left[0].folder)
                say(f"taken-up {who}/{run.folder.name}")
            else:
                seed = len(run_folders(runs))
                note = Note(trainee=who, by="person", scenario=DRILL, seed=seed)
                run = RunFolder.begin(new_folder(DRILL, runs), scenario.load(DRILL), note)
            with run:
                done = (run.folder / JOURNAL).read_bytes().count(b"\n") - 1
                for action in EVENING[done:]:
                    try:
                        run.recorder.do(action)
                    except Refusal:
                        continue
                    finally:
                        run.sync()
                kept_card(run.finish(), run.note, run.folder)
            say(f"finished {who}/{run.folder.name}")
            book.sync(runs)
            say(f"entered {who}/{run.folder.name}")


def begun(home: Path, who: str) -> tuple[int, int]:
    """Begin a process that practises without end; return (its id, where it says how far it is)."""
    hears, says = os.pipe()
    child = os.fork()
    if child:
        os.close(says)
        return child, hears
    os.close(hears)
    try:
        practise(home, who, lambda text: os.write(says, f"{text}\n".encode()), 10_000)
    finally:
        os._exit(1)


def heard(hears: int) -> list[tuple[str, str]]:
    """Return all that a process that has ended said."""
    with os.fdopen(hears) as file:
        return [(what, name) for what, name in map(str.split, file)]


def require(told: dict[str, set[str]], home: Path) -> None:
    """Fail if the file is damaged or anything is lost that was said to be kept."""
    with Book(home / "logbook.sqlite") as book:
        if book.whole() != "ok":
            raise SystemExit(f"damaged: {book.whole()}")
        entered = [f"{one.trainee}/{one.folder.name}" for one in book.attempts()]
    if len(entered) != len(set(entered)):
        raise SystemExit("an attempt was entered twice")
    if told["entered"] - set(entered):
        raise SystemExit(f"entries lost: {told['entered'] - set(entered)}")
    lost = [name for name in told["finished"] if not is_finished(home / name)]
    if lost:
        raise SystemExit(f"finished attempts lost: {lost}")


def main(home: Path, times: int, seed: int) -> dict[str, int]:
    """Kill this often; return how many attempts were said to be what, and how many there are in the end."""
    chance = random.Random(seed)
    began = time.perf_counter()
    for who in PEOPLE:
        (home / who).mkdir(parents=True)
        practise(home, who, lambda text: None, 1)
    evening_s = (time.perf_counter() - began) / len(PEOPLE)
    told: dict[str, set[str]] = {"finished": set(), "entered": set(), "taken-up": set()}
    for _ in range(times // len(PEOPLE)):
        both = [begun(home, who) for who in PEOPLE]
        for child, _ in both:
            time.sleep(chance.uniform(0.0, 1.5 * evening_s))
            os.kill(child, signal.SIGKILL)
            _, status = os.waitpid(child, 0)
            if os.waitstatus_to_exitcode(status) != -signal.SIGKILL:
                raise SystemExit(f"a process ended by itself: {heard(both[0][1])}")
        for _, hears in both:
            for what, name in heard(hears):
                told[what].add(name)
        require(told, home)
    for who in PEOPLE:
        while left_in_the_middle(home / who):
            practise(home, who, lambda text: None, 1)
    with Book(home / "logbook.sqlite") as book:
        for who in PEOPLE:
            book.sync(home / who)
        entered = book.attempts()
    folders = [folder.resolve() for who in PEOPLE for folder in run_folders(home / who)]
    if {one.folder for one in entered} != set(folders):
        raise SystemExit("not all is in the logbook in the end")
    for folder in folders:
        replay(folder)
    return {"in the end": len(entered), **{what: len(names) for what, names in told.items()}}


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))
