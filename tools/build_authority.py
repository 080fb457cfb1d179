"""Rebuild the check values under tests/authority that come from a library or a formula.

    python -m tools.build_authority            rewrite the tables, refresh every checksum
    python -m tools.build_authority --check    write nothing; exit 1 if anything would change

Files without an entry in BUILDERS hold values copied from a publication; they are edited by hand.
"""

import argparse
import hashlib
import re
import sys
from pathlib import Path

from tools.authority import air, instruments, loops, motion, power
from tools.authority.tables import FOLDER, Builder, as_csv

BUILDERS: dict[str, Builder] = {
    **air.BUILDERS,
    **power.BUILDERS,
    **motion.BUILDERS,
    **instruments.BUILDERS,
    **loops.BUILDERS,
}


def note_with_checksum(note: str, data: bytes) -> str:
    """Return the source note with its sha256 line brought up to date."""
    line = f'sha256 = "{hashlib.sha256(data).hexdigest()}"'
    return re.sub(r'^sha256 = ".*"$', line, note, flags=re.MULTILINE)


def put(path: Path, text: str, dry: bool) -> bool:
    """Write the text unless it is there already; return True if it differed."""
    if path.exists() and path.read_text() == text:
        return False
    if not dry:
        path.write_text(text)
    return True


def main() -> int:
    """Run the builders and refresh the notes."""
    parser = argparse.ArgumentParser(description="Rebuild the check values in tests/authority.")
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 on a change")
    dry = parser.parse_args().check
    changed = []
    for name, build in BUILDERS.items():
        if put(FOLDER / f"{name}.csv", as_csv(build()), dry):
            changed.append(name)
    for data in sorted(FOLDER.glob("*.csv")):
        note = data.with_name(f"{data.stem}.source.toml")
        if note.exists() and put(
            note, note_with_checksum(note.read_text(), data.read_bytes()), dry
        ):
            changed.append(note.name)
    print("\n".join(changed) or "nothing changed")
    return 1 if dry and changed else 0


if __name__ == "__main__":
    sys.exit(main())
