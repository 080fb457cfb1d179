"""Write sim/keys.py: the keys of each registry as a type. Run it after adding an entry."""

import sys
import textwrap
from collections.abc import Iterable
from pathlib import Path

from sim.bench.checklist import CHECKS
from sim.bench.parts import PARTS
from sim.faults.catalogue import CATALOGUE
from sim.procedure.barriers import BARRIERS, MITIGATIONS
from sim.procedure.bowties import BOW_TIES
from sim.procedure.cards import AFTER_HOP, CARDS
from sim.procedure.hazards import HAZARDS
from sim.procedure.preparations import PREPARATIONS
from sim.session.calibrating import STORES
from sim.session.fixes import fixes, settings

FILE = Path(__file__).parents[1] / "sim" / "keys.py"
HEAD = '''"""What the entries of the registries are called, as types; every layer may use them.

Written by `python tools/write_keys.py` from the registries: add an entry there, then run it.
"""

from typing import Literal

# fmt: off
'''
WIDTH = 99  # characters of a line
REGISTRIES: dict[str, tuple[Iterable[str], str]] = {
    "CheckKey": (CHECKS, "A check of `sim.bench.checklist`; once done, the fact of the same name."),
    "CardKey": ((card.key for card in (*CARDS, AFTER_HOP)), "A card of `sim.procedure.cards`."),
    "FaultId": (CATALOGUE, "A fault of `sim.faults.catalogue`."),
    "PartKey": (PARTS, "A part of `sim.bench.parts`."),
    "Preparation": (PREPARATIONS, "What sets people and room to rights, of `sim.procedure`."),
    "Calibration": (STORES.values(), "What a calibration stores, of `sim.session.calibrating`."),
    "SettingKey": (settings(), "A value of the setup that a person can change."),
    "FixKey": (fixes(), "A fix as `sim.session.fixes` spells it."),
    "ThreatKey": (
        (threat.key for tie in BOW_TIES for threat in tie.threats),
        "A way to an unwanted event, of `sim.procedure.bowties`.",
    ),
    "BarrierKey": (BARRIERS, "What holds a threat back, of `sim.procedure.barriers`."),
    "MitigationKey": (MITIGATIONS, "What softens an event, of `sim.procedure.barriers`."),
    "HazardKey": (HAZARDS, "A kind of unsafe conduct, of `sim.procedure.hazards`."),
}  # type: (its keys, what it says of itself)


def written() -> str:
    """Return the text of the module as the registries want it."""
    parts = [HEAD]
    for name, (keys, says) in REGISTRIES.items():
        quoted = " ".join(f'"{key}",' for key in sorted(keys))
        lines = textwrap.fill(
            quoted, WIDTH, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False
        )
        parts.append(f'{name} = Literal[\n{lines}\n]\n"""{says}"""\n')
    return "\n".join(parts)


def main() -> None:
    """Write the module; with --check only say whether it is out of date."""
    if sys.argv[1:] == ["--check"]:
        sys.exit(0 if FILE.read_text(encoding="utf-8") == written() else "sim/keys.py is old")
    FILE.write_text(written(), encoding="utf-8")


if __name__ == "__main__":
    main()
