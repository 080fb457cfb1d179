"""Give spoiled files of every kind to the commands: `python tools/fuzz.py --files 5000`.

Each must be taken or refused with a clear line and exit code 0, 1 or 2: no traceback, no letters
that steer a terminal, no more than 10 s and 1 GB. All run inside this process, one in some hundred
in a process of its own as well.
"""

import argparse
import io
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.build import Build, PackSpec
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.site import Site
from sim.aircraft.textfile import dump_yaml, load_model
from sim.aircraft.world import World
from sim.bench.rig import HANDS_OFF, Rig
from sim.cli import main as command
from sim.errors import DryhopError
from sim.kernel.radio import Sticks
from sim.paths import assets_dir, scenarios_dir
from sim.reproduce.words.form import Form
from sim.runs import kept_card, left_in_the_middle, take_up
from sim.session import actions as act
from sim.session.attempt import ATTEMPT, Note
from sim.session.envelope import SCENARIO
from sim.session.folder import RunFolder
from sim.session.journal import JOURNAL, TRACE
from sim.session.scenario import load
from sim.sharing.container import packed
from sim.sharing.shared import drill_content, run_content
from sim.window.settings import Settings, keep, loaded
from sim.window.sticks.mapping import guess
from tools.samples.told import BENCH, FLIPPED
from tools.spoil import bytes_spoiled, journal_spoiled, json_spoiled

MOST_S = 10  # s; own: longer is a hang
MOST_KB = 1 << 20  # kB; own: 1 GB
APART = 250  # own: one case in so many runs in a process of its own as well
Spoil = Callable[[bytes, random.Random], bytes]


class Hangs(BaseException):
    """A case takes too long."""


def late(*_: object) -> None:
    """Break off what hangs."""
    raise Hangs


def either(structured: Spoil) -> Spoil:
    """Return a way of spoiling bytes as often as values."""
    return lambda good, chance: chance.choice((bytes_spoiled, structured))(good, chance)


def small_run(folder: Path, whole: bool) -> None:
    """Do a few acts of an evening into a run folder, and finish them if it is to be whole."""
    note = Note(trainee="a person", by="person", scenario="first-evening", seed=4)
    with RunFolder.begin(folder, load("first-evening"), note) as run:
        for action in (
            act.Prepare(what="goggles"), act.FitProps(), act.Carry(to="pad", hold="standing"),
            act.SwitchTransmitter(on=True), act.PlugPack(), act.Set(key="setup.controller.idle", value=0.1),
            act.Arm(), act.Squawk(item="pack", cause="pack-cold"), act.Wait(minutes=0.05),
        ):  # fmt: skip
            try:
                run.recorder.do(action)
            except DryhopError:
                continue
        for i in range(4):
            run.recorder.advance(Sticks(0.1 * i, 0.0, 0.3, 0.0, 1.0, 1.0, 0.0), 0.05)
        if whole:
            run.recorder.do(act.Disarm())
            run.recorder.do(act.Finish())
            kept_card(run.finish(), run.note, folder)


class Cases:
    """Good files of every kind, and what is done with a spoiled one of each."""

    def __init__(self, below: Path) -> None:
        self.below = below
        self.whole, self.half = below / "whole", below / "half"
        for folder in (self.whole, self.half):
            small_run(folder, folder == self.whole)
        pad = guess("0300", "a pad", [0.0] * 4, 12)
        settings = Settings(trainee="Anna", devices=(pad,) if pad else ())
        keep(below / "window.json", settings)
        self.settings = (below / "window.json").read_bytes()
        drills = [path.read_bytes() for path in sorted(scenarios_dir().glob("*.yaml"))]
        whole = {
            name: (self.whole / name).read_bytes() for name in (JOURNAL, TRACE, ATTEMPT, SCENARIO)
        }
        self.kinds: dict[str, tuple[list[bytes], Spoil, Callable[[bytes, int], None]]] = {
            "scenario": (drills, bytes_spoiled, self.scenario),
            "journal": ([whole[JOURNAL]], either(journal_spoiled), self.in_run(JOURNAL)),
            "trace": ([whole[TRACE]], bytes_spoiled, self.in_run(TRACE)),
            "attempt": ([whole[ATTEMPT]], either(json_spoiled), self.in_run(ATTEMPT)),
            "drill of a run": ([whole[SCENARIO]], bytes_spoiled, self.in_run(SCENARIO)),
            "settings and pads": ([self.settings], either(json_spoiled), self.of_window),
        }
        reports = [dump_yaml(Form(data).data).encode() for data in (FLIPPED, BENCH)]
        self.kinds["report"] = (reports, bytes_spoiled, self.report)
        given = [packed(run_content(self.whole)), packed(drill_content("first-evening"))]
        self.kinds["shared"] = (given, bytes_spoiled, self.shared)
        for name, model in (("airframes", Airframe), ("sites", Site), ("packs", PackSpec)):
            files = [path.read_bytes() for path in sorted((assets_dir() / name).glob("*.yaml"))]
            self.kinds[name] = (files, bytes_spoiled, self.asset(name, model))

    def said(self, words: list[str], n: int) -> None:
        """Run a command here, and now and then in a process of its own."""
        out, err = io.StringIO(), io.StringIO()
        code: Any = 0
        sys.argv = ["dryhop", *words]
        with redirect_stdout(out), redirect_stderr(err):
            try:
                command()
            except SystemExit as ended:
                code = ended.code or 0
        judged(words, code, out.getvalue(), err.getvalue())
        if n % APART == 0:
            signal.alarm(0)  # fetching the program takes its time on a busy machine
            apart = subprocess.run(
                [sys.executable, "-m", "sim", *words], capture_output=True, text=True, timeout=60
            )
            judged(words, apart.returncode, apart.stdout, apart.stderr)

    def scenario(self, data: bytes, n: int) -> None:
        """Check a drill file; do some of those that hold."""
        path = self.below / "drill.yaml"
        path.write_bytes(data)
        self.said(["validate", str(path)], n)
        if n % 20 == 0:
            self.said(["rehearse", str(path), "--stand-in", "hasty", "--json"], n)

    def report(self, data: bytes, n: int) -> None:
        """Ask what explains a report in words."""
        path = self.below / "report.yaml"
        path.write_bytes(data)
        self.said(["reproduce", str(path), *(["--json"] if n % 2 else [])], n)

    def shared(self, data: bytes, n: int) -> None:
        """Open a shared file."""
        path = self.below / "given.dryhop"
        path.write_bytes(data)
        self.said(["open", str(path), "--no-window", "--out", str(self.below / "into")], n)
        shutil.rmtree(self.below / "into", ignore_errors=True)

    def in_run(self, name: str) -> Callable[[bytes, int], None]:
        """Return what is done with a run folder in which this file is spoiled."""

        def done(data: bytes, n: int) -> None:
            below = self.below / "runs"
            folder = below / "run"
            shutil.copytree(self.whole if n % 2 else self.half, folder)
            try:
                if name == JOURNAL and not n % 2:
                    data = data[: data.rfind(b"\n", 0, -1) + 1]
                (folder / name).write_bytes(data)
                self.said(["score", str(folder), *(["--json"] if n % 3 else [])], n)
                self.said(["replay", str(folder)], n)
                left_in_the_middle(below)
                try:
                    take_up(folder).close()
                except DryhopError as error:
                    judged(["take up"], 1, "", str(error) + "\n")
            finally:
                shutil.rmtree(below)

        return done

    def of_window(self, data: bytes, n: int) -> None:
        """Read the settings of the window, devices and keys among them."""
        path = self.below / "window.json"
        path.write_bytes(data)
        _, words = loaded(path)
        judged(["settings"], 0, words, "")

    def asset(self, kind: str, model: Any) -> Callable[[bytes, int], None]:
        """Return what is done with an airframe, a site or a pack: set it up and let time pass."""

        def done(data: bytes, n: int) -> None:
            path = self.below / f"{kind}.yaml"
            path.write_bytes(data)
            try:
                found = {kind: load_model(path, model)}
                airframe = found.get("airframes", library.airframe(library.TRAINER))
                world = World(
                    airframe=airframe,
                    pack_spec=found.get("packs", library.pack("club-3s-2200")),
                    build=Build(),
                    setup=Setup(controller=airframe.sheet.setup),
                    site=found.get("sites", library.site("lockup-garage")),
                    conduct=Conduct(),
                )
                rig = Rig(world, 1)
                rig.place()
                rig.run(HANDS_OFF, 0.01)
            except DryhopError as error:
                judged([kind], 2, "", str(error) + "\n")

        return done


def judged(words: list[str], code: Any, out: str, err: str) -> None:
    """Raise AssertionError unless a command ended as it may."""
    if code not in (0, 1, 2):
        raise AssertionError(f"exit code {code!r}: {err[-2000:]}")
    if "Traceback" in err or "Error(" in err:
        raise AssertionError(err[-2000:])
    if code == 2 and not err.strip():
        raise AssertionError("refused without a word")
    if any(not (c.isprintable() or c == "\n") for c in out + err):
        raise AssertionError(f"letters that steer a terminal: {out + err!r}")
    if len(err) > 20_000:
        raise AssertionError("pages of complaint")


def fuzzed(files: int, seed: int) -> tuple[Counter[str], list[str], tuple[float, str]]:
    """Spoil this many files; return (cases by kind, what went wrong, longest case in s of this processor, its kind)."""
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    longest = (0.0, "")
    signal.signal(signal.SIGALRM, late)
    with tempfile.TemporaryDirectory() as below:
        cases = Cases(Path(below))
        names = list(cases.kinds)
        for n in range(files):
            chance = random.Random(seed * 1_000_003 + n)
            kind = names[n % len(names)]
            goods, spoil, does = cases.kinds[kind]
            data = spoil(chance.choice(goods), chance)
            started = time.process_time()
            signal.alarm(MOST_S)
            try:
                does(data, n // len(names))
            except (Exception, Hangs) as error:
                last = "".join(traceback.format_exception(error)[-4:])
                wrong.append(f"case {n} ({kind}): {last}")
            finally:
                signal.alarm(0)
            longest = max(longest, (time.process_time() - started, kind))
            counts[kind] += 1
    return counts, wrong, longest


def main() -> None:
    """Spoil files, and say what came of it; exit 1 if something went wrong."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    started = time.perf_counter()
    counts, wrong, longest = fuzzed(asked.files, asked.seed)
    for text in wrong:
        print(text)
    memory_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(", ".join(f"{n} {kind}" for kind, n in counts.items()))
    print(
        f"{asked.files} files in {time.perf_counter() - started:.0f} s: {len(wrong)} went wrong, "
        f"the longest took {longest[0]:.1f} s ({longest[1]}), {memory_kb / 1024:.0f} MB"
    )
    raise SystemExit(1 if wrong or memory_kb > MOST_KB else 0)


if __name__ == "__main__":
    main()
