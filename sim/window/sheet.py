"""The setup sheet as rows: every value with its range and the build sheet's value."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args, get_origin

from annotated_types import Ge, Gt, Le, Lt
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from sim.aircraft.setup import OTHER_MODEL, OWN_MEMORY, Inputs, Setup, Transmitter
from sim.session.view import View

Value = bool | int | float | str
PARTS = ("transmitter", "inputs", "controller")
TITLES = {
    "transmitter": "Transmitter",
    "inputs": "Controller's inputs",
    "controller": "Controller",
}
SHORT = {"transmitter": "sent: ", "inputs": "taken: ", "controller": ""}


@dataclass(frozen=True)
class SheetRow:
    """One value. `key`: dotted, as `Set` takes it; options: all it can be, if they are few."""

    key: str
    part: str
    value: Value
    sheet: Value
    options: tuple[Value, ...]
    low: float | None
    high: float | None

    @property
    def whole(self) -> bool:
        """Tell whether only whole numbers will do."""
        return isinstance(self.value, int) and not isinstance(self.value, bool)


def rows(view: View) -> list[SheetRow]:
    """Return every value a person can set, in the order of the sheet; none that can't be read."""
    if view.setup is None:
        return []
    design = Setup(transmitter=Transmitter(), inputs=Inputs(), controller=view.sheet)
    return [
        row
        for part in PARTS
        for row in _rows(part, f"setup.{part}", getattr(view.setup, part), getattr(design, part))
    ]


def _rows(part: str, prefix: str, model: BaseModel, design: BaseModel) -> Iterator[SheetRow]:
    for name, info in type(model).model_fields.items():
        key, value = f"{prefix}.{name}", getattr(model, name)
        if isinstance(value, BaseModel):
            yield from _rows(part, key, value, getattr(design, name))
            continue
        low, high = _limits(info)
        yield SheetRow(
            key,
            part,
            _flat(value),
            _flat(getattr(design, name)),
            _options(name, info),
            low,
            high,
        )


def _flat(value: Any) -> Value:
    return " ".join(value) if isinstance(value, tuple) else value


def _limits(info: FieldInfo) -> tuple[float | None, float | None]:
    low = high = None
    for rule in info.metadata:
        if isinstance(rule, Ge | Gt):
            low = float(rule.ge if isinstance(rule, Ge) else rule.gt)  # type: ignore[arg-type]
        if isinstance(rule, Le | Lt):
            high = float(rule.le if isinstance(rule, Le) else rule.lt)  # type: ignore[arg-type]
    return low, high


def _options(name: str, info: FieldInfo) -> tuple[Value, ...]:
    kind = info.annotation
    if name == "memory":
        return (OWN_MEMORY, OTHER_MODEL.memory)
    if kind is bool:
        return (False, True)
    if get_origin(kind) is Literal:
        return get_args(kind)
    return ()


def read(row: SheetRow, text: str) -> Value | None:
    """Return what was written as a value for a row, or None if it can't be one."""
    if isinstance(row.value, str):
        return text.strip() or None
    try:
        return int(text) if row.whole else float(text.replace(",", "."))
    except ValueError:
        return None


def entry(value: Value) -> str:
    """Return a value as it stands on the sheet."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.6g}" if isinstance(value, int | float) else value
