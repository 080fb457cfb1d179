"""Write sim/keys.py: the keys of each registry as a type. Run it after adding an entry."""

import sys
from collections.abc import Iterable
from pathlib import Path

from sim.bench.checklist import CHECKS

FILE = Path(__file__).parents[1] / "sim" / "keys.py"
HEAD = '''"""What the entries of the registries are called, as types; every layer may use them.

Written by `python tools/write_keys.py` from the registries: add an entry there, then run it.
"""

from typing import Literal
'''
REGISTRIES: dict[str, tuple[Iterable[str], str]] = {
    "CheckKey": (CHECKS, "A check of `sim.bench.checklist`; once done, the fact of the same name."),
}  # type: (its keys, what it says of itself)


def written() -> str:
    """Return the text of the module as the registries want it."""
    parts = [HEAD]
    for name, (keys, says) in REGISTRIES.items():
        lines = "".join(f'    "{key}",\n' for key in sorted(keys))
        parts.append(f'{name} = Literal[\n{lines}]\n"""{says}"""\n')
    return "\n".join(parts)


def main() -> None:
    """Write the module; with --check only say whether it is out of date."""
    if sys.argv[1:] == ["--check"]:
        sys.exit(0 if FILE.read_text(encoding="utf-8") == written() else "sim/keys.py is old")
    FILE.write_text(written(), encoding="utf-8")


if __name__ == "__main__":
    main()
