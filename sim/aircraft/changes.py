"""Changing one value deep inside the frozen models, by its dotted key."""

from typing import Any, TypeVar

from pydantic import BaseModel

M = TypeVar("M", bound=BaseModel)


def with_value(model: M, key: str, value: Any) -> M:
    """Return the model with the value at a dotted key replaced and everything checked again.

    Raises pydantic.ValidationError for a value its rule forbids, KeyError for an unknown key.
    """
    head, _, rest = key.partition(".")
    if head not in type(model).model_fields:
        raise KeyError(head)
    if rest:
        inner = getattr(model, head)
        if not isinstance(inner, BaseModel):
            raise KeyError(rest)
        value = with_value(inner, rest, value)
    data = {name: getattr(model, name) for name in type(model).model_fields}
    return type(model).model_validate(data | {head: value})
