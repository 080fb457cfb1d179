"""Change the code in one place at a time and see whether a test notices.

    python tools/mutate.py                      every mutant of tools/mutants.csv
    python tools/mutate.py --only 'faults.*'    those whose name or file matches
    python tools/mutate.py --sample 40 --seed X a few, evenly over the packages, the same for a seed
    python tools/mutate.py --renew              make the list anew, keeping what still applies
    python tools/mutate.py --check              say which mutants no longer apply

`tools/mutants.toml` says which tests a file has to answer to, fastest first, and how many mutants
each package has. A survivor is a gap in the tests, unless the list gives the reason why the change
makes no difference. Exit code 1 if one survives without a reason, or no longer applies.
"""

import argparse
import csv
import fnmatch
import hashlib
import os
import queue
import sys
import tempfile
import threading
import time
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tools.mutant_runs import ROOT, Outcome, Server
from tools.mutants import Mutant, chosen, mutants_of, read_source

LIST = ROOT / "tools" / "mutants.csv"
PLAN = ROOT / "tools" / "mutants.toml"
FIELDS = ("name", "file", "scope", "kind", "old", "new", "nth", "survives_because")
SLOWER = 5.0  # 1; own: a mutant that takes so much longer than the sound code has lost its way
LEAST_S = 120.0  # s; own: a compile on a busy machine may take half of it


@dataclass(frozen=True)
class Entry:
    """A line of the list: a mutant, and why no test can notice it if that is so."""

    mutant: Mutant
    reason: str = ""


def read_list(path: Path = LIST) -> list[Entry]:
    """Return the list of mutants; a name that does not belong to its change is refused."""
    entries = []
    with path.open(newline="", encoding="utf-8") as lines:
        for row in csv.DictReader(lines):
            told = {key: row[key] for key in ("file", "scope", "kind", "old", "new")}
            mutant = Mutant(**told, nth=int(row["nth"]))
            if mutant.name != row["name"]:
                raise ValueError(f"{path.name}: {row['name']} should be called {mutant.name}")
            entries.append(Entry(mutant, row["survives_because"]))
    return entries


def write_list(entries: Sequence[Entry], path: Path = LIST) -> None:
    """Write the list of mutants, in the order of their files and names."""
    with path.open("w", newline="", encoding="utf-8") as lines:
        out = csv.DictWriter(lines, FIELDS, lineterminator="\n")
        out.writeheader()
        for entry in sorted(entries, key=lambda e: (e.mutant.file, e.mutant.name)):
            m = entry.mutant
            told = {key: getattr(m, key) for key in FIELDS if key != "survives_because"}
            out.writerow(told | {"survives_because": entry.reason})


def stale(entries: Sequence[Entry]) -> list[str]:
    """Return the names of mutants whose code is no longer there as they know it."""
    there: dict[str, set[Mutant]] = {}
    for file in {entry.mutant.file for entry in entries}:
        there[file] = set(mutants_of(file, read_source(ROOT, file)))
    return [e.mutant.name for e in entries if e.mutant not in there[e.mutant.file]]


def plan() -> dict[str, Any]:
    """Return which tests a file answers to, and how many mutants a package has."""
    with PLAN.open("rb") as file:
        return tomllib.load(file)


def answering(file: str, tests: dict[str, list[str]]) -> list[str]:
    """Return the tests a file answers to: those of the longest path that begins its own."""
    beginnings = [path for path in tests if file.startswith(path)]
    if not beginnings:
        raise LookupError(f"{PLAN.name} names no tests for {file}")
    return tests[max(beginnings, key=len)]


def _share(files: dict[str, list[Mutant]], count: int) -> Iterator[Mutant]:
    """Yield `count` mutants, each file's share as large as its share of all there are.

    Those at the edge of a comparison are on the list only where they are asked for.
    """
    files = {file: [m for m in found if m.kind != "edge"] for file, found in files.items()}
    total = sum(len(found) for found in files.values())
    for found in files.values():
        yield from chosen(found, round(count * len(found) / total))


def renewed(old: Sequence[Entry]) -> list[Entry]:
    """Return the list made anew from the code: those asked for, and each package's share."""
    asked = plan()
    kept = {e.mutant: e for e in old}
    entries: dict[str, Entry] = {}
    for package, count in asked["packages"].items():
        files = {}
        for path in sorted((ROOT / "sim" / package).rglob("*.py")):
            file = path.relative_to(ROOT).as_posix()
            if file not in asked["left_out"]["files"]:
                files[file] = mutants_of(file, read_source(ROOT, file))
        wanted = [m for found in files.values() for m in found if _asked(m, asked["always"])]
        for mutant in [*wanted, *_share(files, count)]:
            entries[mutant.name] = kept.get(mutant, Entry(mutant))
    return list(entries.values())


def _asked(mutant: Mutant, always: dict[str, list[str]]) -> bool:
    wanted = (line.split() for line in always.get(mutant.file, []))
    return any(scope in (mutant.scope, "*") and mutant.kind in kinds for scope, *kinds in wanted)


def sampled(entries: Sequence[Entry], count: int, seed: str) -> list[Entry]:
    """Return a few of those that tests notice, evenly over packages, the same for the same seed."""

    def rank(entry: Entry) -> str:
        return hashlib.sha256(f"{seed}\0{entry.mutant.name}".encode()).hexdigest()

    noticed = [entry for entry in entries if not entry.reason]
    by_package: dict[str, list[Entry]] = {}
    for entry in sorted(noticed, key=rank):
        by_package.setdefault(entry.mutant.package, []).append(entry)
    taken: list[Entry] = []
    while len(taken) < min(count, len(noticed)):
        for found in by_package.values():
            if found and len(taken) < count:
                taken.append(found.pop(0))
    return taken


@dataclass
class Campaign:
    """Mutants shared out among workers, and what came of them."""

    entries: Sequence[Entry]
    tests: dict[str, list[str]]
    verbose: bool = False
    proved: bool = False
    sound_s: dict[tuple[str, ...], float] = field(default_factory=dict)
    outcomes: dict[str, Outcome] = field(default_factory=dict)
    error: str = ""

    def run(self, workers: int) -> None:
        """Run every mutant; the tests of each must pass on the sound code first, unless proved."""
        jobs: queue.SimpleQueue[Entry | tuple[str, ...]] = queue.SimpleQueue()
        if not self.proved:
            for tests in sorted({tuple(self.answers(e)) for e in self.entries}):
                jobs.put(tests)
            self._share_out(jobs, workers)
        for entry in sorted(self.entries, key=lambda e: e.mutant.package):
            jobs.put(entry)
        self._share_out(jobs, workers)

    def answers(self, entry: Entry) -> list[str]:
        """Return the tests a mutant has to answer to."""
        return answering(entry.mutant.file, self.tests)

    def _share_out(self, jobs: "queue.SimpleQueue[Entry | tuple[str, ...]]", workers: int) -> None:
        threads = [threading.Thread(target=self._work, args=(jobs,)) for _ in range(workers)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        if self.error:
            raise SystemExit(self.error)

    def _work(self, jobs: "queue.SimpleQueue[Entry | tuple[str, ...]]") -> None:
        with tempfile.TemporaryDirectory() as folder:
            servers: dict[bool, Server] = {}
            try:
                while not self.error:
                    job = jobs.get_nowait()
                    kernel = isinstance(job, Entry) and job.mutant.package == "kernel"
                    if kernel not in servers:
                        servers[kernel] = Server(settled=not kernel, scratch=Path(folder))
                    if isinstance(job, Entry):
                        self._try(servers[kernel], job)
                    else:
                        self._prove_sound(servers[kernel], job)
            except queue.Empty:
                pass
            except Exception as problem:  # told by the main thread, which ends the run
                self.error = f"{type(problem).__name__}: {problem}"
            finally:
                for server in servers.values():
                    server.close()

    def _prove_sound(self, server: Server, tests: tuple[str, ...]) -> None:
        outcome = server.run(None, tests, timeout_s=1200.0)
        if outcome.failed:
            raise RuntimeError(f"these fail on the sound code: {tests}\n{outcome.log}")
        self.sound_s[tests] = outcome.seconds

    def _try(self, server: Server, entry: Entry) -> None:
        tests = self.answers(entry)
        limit_s = max(LEAST_S, SLOWER * self.sound_s.get(tuple(tests), 0.0))
        outcome = server.run(entry.mutant, tests, limit_s)
        self.outcomes[entry.mutant.name] = outcome
        word = "timeout" if outcome.code is None else "killed" if outcome.failed else "SURVIVED"
        if word != "killed" or self.verbose:
            m = entry.mutant
            known = f"   ({entry.reason})" if entry.reason else ""
            print(f"{word:8} {m.name}   {m.old}  ->  {m.new}{known}", flush=True)


def report(campaign: Campaign, seconds: float) -> bool:
    """Print counts by package; tell whether every survivor is explained."""
    counts: dict[str, Counter[str]] = {}
    unexplained = []
    for entry in campaign.entries:
        outcome = campaign.outcomes[entry.mutant.name]
        row = counts.setdefault(entry.mutant.package, Counter())
        row["mutants"] += 1
        row["killed" if outcome.failed else "survived"] += 1
        row["timeouts"] += outcome.code is None
        if not outcome.failed and not entry.reason:
            unexplained.append(entry.mutant.name)
        if outcome.failed and entry.reason:
            print(f"killed although the list says it cannot be: {entry.mutant.name}")
    columns = ("mutants", "killed", "timeouts", "survived")
    print(f"{'package':12}" + "".join(f"{name:>10}" for name in columns))
    total: Counter[str] = Counter()
    for package, row in counts.items():
        total += row
        print(f"{package:12}" + "".join(f"{row[name]:10}" for name in columns))
    share = 100.0 * total["killed"] / total["mutants"]
    print(f"{'all':12}" + "".join(f"{total[name]:10}" for name in columns))
    print(
        f"{share:.1f} % killed in {seconds:.0f} s; survivors without a reason: {len(unexplained)}"
    )
    return not unexplained


def arguments() -> argparse.Namespace:
    """Return what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--only", nargs="+", metavar="PATTERN", help="by name or file")
    parser.add_argument("--sample", type=int, metavar="N", help="so many, over all packages")
    parser.add_argument("--seed", default="", help="text that decides which are in the sample")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, metavar="N")
    parser.add_argument("--verbose", action="store_true", help="name the killed ones too")
    parser.add_argument("--proved", action="store_true", help="the tests have just passed: go on")
    parser.add_argument("--renew", action="store_true", help="make the list anew")
    parser.add_argument("--check", action="store_true", help="only say which no longer apply")
    return parser.parse_args()


def main() -> int:
    """Do what the command line asks for."""
    asked = arguments()
    entries = read_list() if LIST.is_file() else []
    if asked.renew:
        write_list(renewed(entries))
        print(f"{len(read_list())} mutants")
        return 0
    if asked.only:
        names = [name for part in asked.only for name in (part, f"*{part}*")]
        entries = [
            e
            for e in entries
            if any(fnmatch.fnmatch(t, n) for t in (e.mutant.name, e.mutant.file) for n in names)
        ]
    gone = stale(entries)
    for name in gone:
        print(f"no longer applies: {name}")
    if asked.check or gone:
        return int(bool(gone))
    if asked.sample:
        entries = sampled(entries, asked.sample, asked.seed)
    if not entries:
        print("no such mutant", file=sys.stderr)
        return 2
    campaign = Campaign(entries, plan()["tests"], asked.verbose, asked.proved)
    started = time.monotonic()
    campaign.run(asked.workers)
    return 0 if report(campaign, time.monotonic() - started) else 1


if __name__ == "__main__":
    sys.exit(main())
