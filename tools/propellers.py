"""Make the propeller tables of `assets/tables` from the measured rows in `tests/authority`.

    python -m tools.propellers            rewrite them
    python -m tools.propellers --check    write nothing; exit 1 if any would change

A table keeps every row at rest, and in climb the fastest run, carried on by the fastest run that
goes on to where the propeller pulls no more. The 10x4.7 has an older, hand-made table of its own.
"""

import argparse
import sys
from collections import defaultdict
from collections.abc import Iterable

from sim.paths import assets_dir
from tools.authority.tables import read

OWN = ("10x4.7",)
BEGINS = 0.2  # 1; own: a run that begins at a smaller advance ratio joins on to standing still
APART = 0.012  # 1; own: less than the step of the slowest sweep, more than a row measured twice
Row = dict[str, float]


def measured() -> dict[str, tuple[dict[str, str], list[Row]]]:
    """Return each propeller's description and its rows of numbers."""
    found: dict[str, tuple[dict[str, str], list[Row]]] = {}
    for line in read("propellers"):
        _, rows = found.setdefault(line["propeller"], (line, []))
        rows.append(
            {
                name: float(line[name])
                for name in ("rpm", "advance_ratio", "thrust_coefficient", "power_coefficient")
            }
        )
    return found


def at_rest(rows: Iterable[Row]) -> list[Row]:
    """Return the rows at rest by rising speed."""
    return sorted((r for r in rows if r["advance_ratio"] == 0.0), key=lambda r: r["rpm"])


def runs(rows: Iterable[Row]) -> list[list[Row]]:
    """Return the runs in climb, each by rising advance ratio, the fastest first."""
    by_speed: dict[float, list[Row]] = defaultdict(list)
    for row in rows:
        if row["advance_ratio"] > 0.0:
            by_speed[row["rpm"]].append(row)
    return [
        sorted(by_speed[rpm], key=lambda r: r["advance_ratio"])
        for rpm in sorted(by_speed, reverse=True)
    ]


def in_climb(rows: Iterable[Row]) -> list[Row]:
    """Return one falling curve of thrust: the fastest run from its start, then one to its end.

    A row as strong as at rest, or nearer than `APART` to the one before, says nothing of the slope.
    """
    found, still = runs(rows), at_rest(rows)
    first = next(run for run in found if run[0]["advance_ratio"] < BEGINS)
    last = max(found, key=lambda run: (round(run[-1]["advance_ratio"], 1), run[0]["rpm"]))
    least, ratio, curve = still[-1]["thrust_coefficient"], 0.0, []
    for row in [*first, *last]:
        if row["advance_ratio"] >= ratio + APART and row["thrust_coefficient"] < least:
            curve.append(row)
            least, ratio = row["thrust_coefficient"], row["advance_ratio"]
    return curve


def text(name: str, about: dict[str, str], rows: list[Row]) -> str:
    """Return the file of one propeller."""
    lines = [
        f"# Propeller {name}, UIUC Propeller Database, volume {about['volume']}, runs {about['run_code']}",
        "# (Brandt, Deters, Ananda, Dantsker, Selig); made by tools/propellers.py.",
        f"name: {name}",
        f"diameter_m: {about['diameter_m']}",
        "static:  # rpm, thrust coefficient, power coefficient",
    ]
    for r in at_rest(rows):
        lines.append(f"  - [{r['rpm']:g}, {r['thrust_coefficient']:g}, {r['power_coefficient']:g}]")
    lines.append("axial:  # advance ratio, thrust coefficient, power coefficient, rpm of the run")
    for r in in_climb(rows):
        values = (r["advance_ratio"], r["thrust_coefficient"], r["power_coefficient"], r["rpm"])
        lines.append(f"  - [{', '.join(f'{v:g}' for v in values)}]")
    return "\n".join(lines) + "\n"


def main() -> int:
    """Write or check the tables."""
    parser = argparse.ArgumentParser(description="Make the propeller tables.")
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 on a change")
    dry, changed = parser.parse_args().check, []
    for name, (about, rows) in measured().items():
        path = assets_dir() / "tables" / f"propeller-{name}.yaml"
        made = text(name, about, rows)
        if name in OWN or (path.exists() and path.read_text(encoding="utf-8") == made):
            continue
        changed.append(path.name)
        if not dry:
            path.write_text(made, encoding="utf-8")
    print("\n".join(changed) or "nothing changed")
    return 1 if dry and changed else 0


if __name__ == "__main__":
    sys.exit(main())
