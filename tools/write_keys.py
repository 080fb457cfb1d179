"""Write sim/keys.py: the keys of each registry as a type. Run it after adding an entry."""

import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from pydantic import BaseModel

from sim.aircraft.setup import ControllerSetup, Inputs, Transmitter
from sim.bench.checklist import CHECKS
from sim.bench.parts import PARTS
from sim.procedure.cards import CARDS
from sim.procedure.preparations import PREPARATIONS
from sim.session.calibrating import STORES

FILE = Path(__file__).parents[1] / "sim" / "keys.py"
HEAD = '''"""What the entries of the registries are called, as types; every layer may use them.

Written by `python tools/write_keys.py` from the registries: add an entry there, then run it.
"""

from typing import Literal
'''
SETTABLE: dict[str, type[BaseModel]] = {
    "transmitter": Transmitter,
    "inputs": Inputs,
    "controller": ControllerSetup,
}  # parts of the setup a person sets value by value
PLAIN = ("plug", "wait", "mode", "remove-props")  # fixes that need no further word


def settings(model: type[BaseModel], at: str) -> Iterator[str]:
    """Yield the key of every value of a part of the setup."""
    for name, field in model.model_fields.items():
        kind = field.annotation
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            yield from settings(kind, f"{at}.{name}")
        else:
            yield f"{at}.{name}"


def fixes() -> Iterator[str]:
    """Yield the key of everything that can be changed to put something right."""
    yield from PLAIN
    yield from (f"swap:{part}" for part in PARTS)
    yield from (f"calibrate:{what}" for what in STORES.values())
    yield from (f"prepare:{what}" for what in PREPARATIONS)
    for part, model in SETTABLE.items():
        yield from settings(model, f"setup.{part}")


REGISTRIES: dict[str, tuple[Iterable[str], str]] = {
    "CheckKey": (CHECKS, "A check of `sim.bench.checklist`; once done, the fact of the same name."),
    "FixKey": (fixes(), "A change that can put something right, and may void checks."),
    "CardKey": ((card.key for card in CARDS), "A card of `sim.procedure.cards`."),
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
