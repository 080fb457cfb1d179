"""How good an answerer of recordings is, by sets of recordings with known causes.

    python -m tests.reproduce.scores simulated twin --number 300 --out FILE

Each answer is a line of FILE as soon as it is there; what is there is not done again. `--table` prints
what the lines of FILE come to.
"""

import argparse
import importlib
import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import ExitStack
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from time import perf_counter
from typing import Any

import numpy as np

from sim.aircraft import library
from sim.faults.catalogue import CATALOGUE
from sim.reproduce.causes import Causes, groups, hidden_of, stated_alike
from tests.reproduce.brought import SETS

ANSWERER = "sim.reproduce.recorded.summing:causes"
HELD_OUT = 100_000  # the first number of recordings that nobody tunes on
CERTAIN = 0.5  # 1; an answer whose likeliest cause has less says that it can't tell
LEAST = 0.005  # 1; likelihoods below are not kept
DECILES = np.linspace(0.0, 1.0, 11)
Line = dict[str, Any]


def answerer(name: str) -> Callable[..., Causes]:
    module, _, function = name.partition(":")
    found: Callable[..., Causes] = getattr(importlib.import_module(module), function)
    return found


def answer(name: str, kind: str, number: int) -> Line:
    """Return what an answerer makes of one recording, as plain data."""
    one = SETS[kind](number)
    line: Line = {"set": kind, "number": number, "truth": list(one.truth), "severity": list(one.severity), "how": one.how, "foreign": one.foreign}  # fmt: skip
    if one.recording is None:
        return line | {
            "ranked": [],
            "group": [],
            "silent": {},
            "fits": True,
            "fit": None,
            "seconds": 0.0,
        }
    started = perf_counter()
    found = answerer(name)(one.recording, library.airframe(one.recording.airframe))
    seconds = perf_counter() - started
    return line | told(found) | {"seconds": round(seconds, 2)}


def told(found: Causes) -> Line:
    ranked = [(list(c.faults), round(p, 4)) for c, p in found.posterior() if p >= LEAST]
    evidence = {c.faults: c.log_evidence for c in found.causes}
    best = max(evidence.values())
    behind = [(list(f), round(best - e, 1)) for f, e in sorted(evidence.items(), key=lambda x: -x[1])]  # fmt: skip
    return {
        "ranked": ranked,
        "behind": behind,
        "silent": {fault: round(upto, 2) for fault, upto in hidden_of(found).items()},
        "group": [list(faults) for faults in groups(found)[0]],
        "fits": found.fits,
        "fit": found.fit,
    }


# --- what a line is worth --------------------------------------------------------------------------


def silent(line: Line) -> bool:
    """Tell whether the answer says that it can't tell: nothing fits, or nothing is likelier than not."""
    return not line["ranked"] or not line["fits"] or line["ranked"][0][1] < CERTAIN


def strict(line: Line) -> bool:
    """Tell whether the very truth is first."""
    return bool(line["ranked"]) and line["fits"] and line["ranked"][0][0] == line["truth"]


def first(line: Line) -> bool:
    """Tell whether the truth is first, or in the first group of causes that can't be told apart."""
    return bool(line["ranked"]) and line["fits"] and line["truth"] in line["group"]


def unseen(line: Line) -> bool:
    """Tell whether the answer holds all faults: named first, or said not to show while they are so mild.

    At least one is of the second kind. Where nothing is named, that is *none* first with the truth among
    what is stated to look like it.
    """
    if not line["ranked"] or not line["fits"]:
        return False
    named, silent = line["ranked"][0][0], line.get("silent", {})
    hidden = [
        fault in silent and severity <= silent[fault]
        for fault, severity in zip(line["truth"], line.get("severity", ()), strict=False)
        if fault not in named
    ]
    return bool(hidden) and all(hidden)


def held(line: Line) -> bool:
    """Tell whether the truth is first, in the first group, or stated to look like the first."""
    return first(line) or unseen(line)


def in_three(line: Line) -> bool:
    """Tell whether the truth or a stated look-alike is among the first three."""
    if not line["fits"]:
        return False
    truth = tuple(line["truth"])
    three = [tuple(faults) for faults, _ in line["ranked"][:3]]
    return held(line) or any(c == truth or stated_alike(c, truth) for c in three)


def wrong(line: Line) -> bool:
    """Tell whether it is sure of something else."""
    return not held(line) and not silent(line)


def both(line: Line) -> bool:
    """Tell whether all faults that are there are in the likeliest set."""
    return bool(line["ranked"]) and set(line["truth"]) <= set(line["ranked"][0][0])


def either(line: Line) -> bool:
    """Tell whether at least one of the faults is in it."""
    return bool(line["ranked"]) and bool(set(line["truth"]) & set(line["ranked"][0][0]))


def share(lines: Sequence[Line], of: Callable[[Line], bool]) -> str:
    hits = sum(map(of, lines))
    return f"{hits} of {len(lines)} ({100.0 * hits / len(lines):.0f} %)" if lines else "–"


def family(line: Line) -> str:
    return CATALOGUE[line["truth"][0]].family if line["truth"] else "sound"


def reliability(lines: Iterable[Line]) -> list[tuple[float, float, int]]:
    """Return for each tenth of stated likelihood: what was stated, how often it was true, how many.

    Every cause of an answer counts, not the first alone.
    """
    stated, true = [], []
    for line in lines:
        for faults, likelihood in line["ranked"]:
            stated.append(likelihood)
            true.append(faults == line["truth"])
    which = np.clip(np.digitize(stated, DECILES) - 1, 0, 9)
    found = []
    for k in range(10):
        chosen = which == k
        if chosen.any():
            found.append((float(np.mean(np.array(stated)[chosen])), float(np.mean(np.array(true)[chosen])), int(chosen.sum())))  # fmt: skip
    return found


# --- the table ----------------------------------------------------------------------------------------


def table(lines: Sequence[Line]) -> str:
    """Return what some answers come to, in Markdown."""
    by_set: dict[str, list[Line]] = defaultdict(list)
    for line in lines:
        by_set[line["set"]].append(line)
    text = ["| set | faulty: the very fault first | in the first group | or stated to look like it | in the first three | sound called none | wrong | no longer than |", "|---|---|---|---|---|---|---|---|"]  # fmt: skip
    for name in ("simulated", "disguised", "twin"):
        if some := by_set.get(name):
            faulty, sound = [x for x in some if x["truth"]], [x for x in some if not x["truth"]]
            text.append(f"| {name} | {share(faulty, strict)} | {share(faulty, first)} | {share(faulty, held)} | {share(faulty, in_three)} | {share(sound, strict)} | {share(some, wrong)} | {max(x['seconds'] for x in some):.0f} s |")  # fmt: skip
    if some := by_set.get("pairs"):
        text += ["", f"Two faults at once: both named first {share(some, both)}, both among what is not told apart from the first {share(some, first)}, one of them first {share(some, either)}; both there or stated not to show {share(some, held)}."]  # fmt: skip
    if some := by_set.get("another"):
        text += ["", f"Another aircraft: none fits {share(some, lambda x: not x['fits'])}."]
        known = [x for n in ("simulated", "twin") for x in by_set.get(n, [])]
        text += [f"None fits, of the one that is named: {share(known, lambda x: not x['fits'])}."]
    for name in ("simulated", "twin"):
        if some := by_set.get(name):
            text += ["", *_by_kind(name, some), "", *_reliability(name, some)]
    return "\n".join(text)


def _by_kind(name: str, some: list[Line]) -> list[str]:
    text = [f"| {name}: family | first | very fault | in three | causes not told apart |", "|---|---|---|---|---|"]  # fmt: skip
    kinds: dict[str, list[Line]] = defaultdict(list)
    for line in some:
        kinds[family(line)].append(line)
    for kind, group in sorted(kinds.items()):
        apart = np.mean([len(x["group"]) for x in group])
        text.append(f"| {kind} | {share(group, first)} | {share(group, strict)} | {share(group, in_three)} | {apart:.1f} |")  # fmt: skip
    return text


def _reliability(name: str, some: list[Line]) -> list[str]:
    text = [f"| {name}: stated | true | causes |", "|---|---|---|"]
    return text + [f"| {a:.2f} | {b:.2f} | {n} |" for a, b, n in reliability(some)]


def failing(lines: Iterable[Line]) -> str:
    """Return what went wrong, one answer a line."""
    rows = []
    for line in lines:
        if line["foreign"]:
            good = not line["fits"]
        else:
            good = both(line) if len(line["truth"]) > 1 else first(line)
        if not good:
            likely = ", ".join(f"{'+'.join(f) or 'none'} {p:.2f}" for f, p in line["ranked"][:4])
            nats = next((n for f, n in line.get("behind", []) if f == line["truth"]), None)
            rows.append(f"{line['set']} {line['number']} [{line['how']}] -> {likely}; truth behind: {nats} nats; fits {line['fits']} {line['fit']}")  # fmt: skip
    return "\n".join(rows)


def read(path: Path) -> list[Line]:
    """Return the lines that are there; a torn last one is none."""
    found = []
    for text in path.read_text().splitlines() if path.exists() else ():
        try:
            found.append(json.loads(text))
        except json.JSONDecodeError:
            continue
    return found


def gather(
    job: Callable[[str, int], Line], sets: Iterable[str], numbers: range, path: Path, workers: int
) -> None:
    """Do what is not done yet, a line for each. job : takes set and number; the line names both."""
    there = read(path)
    path.write_text("".join(json.dumps(line) + "\n" for line in there))
    known = {(line["set"], line["number"]) for line in there}
    work = [(kind, n) for n in numbers for kind in sets if (kind, n) not in known]
    with path.open("a", buffering=1) as file, ExitStack() as stack:
        done: Iterable[Line] = (job(*one) for one in work)
        if workers > 1:
            pool = stack.enter_context(ProcessPoolExecutor(workers, get_context("spawn")))
            done = (x.result() for x in as_completed([pool.submit(job, *w) for w in work]))
        for line in done:
            file.write(json.dumps(line) + "\n")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sets", nargs="*", choices=[*SETS, []])
    parser.add_argument("--number", type=int, default=20)
    parser.add_argument("--first", type=int, default=HELD_OUT)
    parser.add_argument("--answerer", default=ANSWERER)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--failing", action="store_true", help="print what went wrong, too")
    asked = parser.parse_args()
    numbers = range(asked.first, asked.first + asked.number)
    gather(partial(answer, asked.answerer), asked.sets, numbers, asked.out, asked.workers)
    lines = read(asked.out)
    print(table(lines))
    if asked.failing:
        print(failing(lines))


if __name__ == "__main__":
    main()
