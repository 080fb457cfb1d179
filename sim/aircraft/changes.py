"""Changing values deep inside the frozen models, by their dotted keys."""

from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel

M = TypeVar("M", bound=BaseModel)


def with_values(model: M, values: Mapping[str, Any]) -> M:
    """Return the model with the values at these dotted keys replaced and everything checked again.

    Raises pydantic.ValidationError for a value its rule forbids, KeyError for an unknown key.
    """
    new: dict[str, Any] = {}
    deeper: dict[str, dict[str, Any]] = {}
    for key, value in values.items():
        head, _, rest = key.partition(".")
        if head not in type(model).model_fields:
            raise KeyError(head)
        if rest:
            deeper.setdefault(head, {})[rest] = value
        else:
            new[head] = value
    for head, inside in deeper.items():
        inner = new.get(head, getattr(model, head))
        if not isinstance(inner, BaseModel):
            raise KeyError(next(iter(inside)))
        new[head] = with_values(inner, inside)
    data = {name: getattr(model, name) for name in type(model).model_fields}
    return type(model).model_validate(data | new)


def with_value(model: M, key: str, value: Any) -> M:
    """Return the model with the value at one dotted key replaced, as `with_values` does."""
    return with_values(model, {key: value})


def value_at(model: BaseModel, key: str) -> Any:
    """Return the value at a dotted key."""
    value: Any = model
    for name in key.split("."):
        value = getattr(value, name)
    return value


def differing(before: BaseModel, after: BaseModel, above: str = "") -> dict[str, tuple[Any, Any]]:
    """Return by dotted key what stands in one model and what in the other, where they differ."""
    found: dict[str, tuple[Any, Any]] = {}
    for name in type(before).model_fields:
        old, new = getattr(before, name), getattr(after, name)
        if old is new or old == new:
            continue
        if isinstance(old, BaseModel) and type(old) is type(new):
            found |= differing(old, new, f"{above}{name}.")
        else:
            found[above + name] = (old, new)
    return found
