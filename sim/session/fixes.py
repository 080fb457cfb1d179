"""How fixes are spelt: what an action changes, in the words of the catalogue and of the cards."""

from collections.abc import Iterator
from typing import cast

from pydantic import BaseModel

from sim.aircraft.setup import ControllerSetup, Inputs, Transmitter
from sim.bench.parts import PARTS
from sim.keys import FixKey
from sim.procedure.preparations import PREPARATIONS
from sim.session import actions as act
from sim.session.calibrating import STORES

PLAIN: dict[type[act.Action], str] = {
    act.PlugPack: "plug",
    act.RemoveProps: "remove-props",
    act.Wait: "wait",
}  # actions that are a fix whatever their values


def fix_of(action: act.Action) -> FixKey | None:
    """Return what an action changes, as fixes are spelt; None if nothing."""
    match action:
        case act.Set(key=what):
            return cast(FixKey, what)
        case act.FitProp(place=place):
            return cast(FixKey, f"swap:propeller-{place.replace('_', '-')}")
        case act.Swap(part=what):
            return cast(FixKey, f"swap:{what}")
        case act.Prepare(what=what):
            return cast(FixKey, f"prepare:{what}")
        case act.Calibrate(what=what):
            return cast(FixKey, f"calibrate:{STORES[what]}") if what in STORES else None
        case _:
            return cast(FixKey | None, PLAIN.get(type(action)))


def settings() -> Iterator[str]:
    """Yield the key of every setting a person can change."""
    for name, model in (
        ("transmitter", Transmitter),
        ("inputs", Inputs),
        ("controller", ControllerSetup),
    ):
        yield from _leaves(f"setup.{name}", model)


def _leaves(key: str, model: type[BaseModel]) -> Iterator[str]:
    for name, field in model.model_fields.items():
        inner = field.annotation
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            yield from _leaves(f"{key}.{name}", inner)
        else:
            yield f"{key}.{name}"


def fixes() -> Iterator[str]:
    """Yield every fix there is."""
    yield from settings()
    yield from (f"swap:{part}" for part in PARTS)
    yield from (f"prepare:{what}" for what in PREPARATIONS)
    yield from (f"calibrate:{what}" for what in STORES.values())
    yield from PLAIN.values()
