"""Shipped files with one word changed: an input error in plain words, or an aircraft that stands."""

import re
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.build import Build, PackSpec
from sim.aircraft.conduct import Conduct
from sim.aircraft.setup import Setup
from sim.aircraft.site import Site
from sim.aircraft.textfile import load_model
from sim.aircraft.world import World
from sim.bench.rig import Rig
from sim.errors import InputError
from sim.faults.catalogue import present_faults
from sim.paths import assets_dir, scenarios_dir
from sim.procedure.rubric import Rubric
from sim.session.scenario import Scenario
from sim.session.session import Session

KINDS: dict[str, tuple[Path, str, type[BaseModel]]] = {
    "drill": (scenarios_dir(), "*.yaml", Scenario),
    "airframe": (assets_dir() / "airframes", "*.yaml", Airframe),
    "pack": (assets_dir() / "packs", "*.yaml", PackSpec),
    "site": (assets_dir() / "sites", "*.yaml", Site),
    "propeller": (assets_dir() / "tables", "propeller-*.yaml", library.PropellerTable),
    "cell": (assets_dir() / "tables", "cell-*.yaml", library.CellTable),
    "rubric": (assets_dir(), "rubric.yaml", Rubric),
}
WORD = re.compile(r"[^\s,:{}\[\]]+|[,:{}\[\]]")
NUMBERS = (
    "0",
    "-1",
    "1",
    "2",
    "0.5",
    "1e300",
    "-1e300",
    "1e-300",
    "5e-324",
    "1e999",
    ".nan",
    "007",
)
OTHERS = ("true", "null", "~", '"1.2"', "text", "[]", "{}", "[1, 2]", "{a: 1}", "&a", "*a", "!!int")
MARKS = ("", ":", ",", "-", "#", "'", '"', "\t", "\x00", "é", "\U0001f600")
JARGON = ("pydantic", "Traceback", "Input should", "float", "dictionary")


@cache
def shipped(kind: str) -> list[str]:
    folder, pattern, _ = KINDS[kind]
    return [path.read_text(encoding="utf-8") for path in sorted(folder.glob(pattern))]


@st.composite
def mutated(draw: Any, kind: str) -> str:
    """Return a shipped file with one of its words replaced, taken out, or put in twice."""
    text = draw(st.sampled_from(shipped(kind)))
    body = re.sub(r"#.*", "", text)
    words = list(WORD.finditer(body))
    at = draw(st.sampled_from(words))
    other = draw(st.sampled_from((*NUMBERS, *OTHERS, *MARKS, at[0] * 2, at[0] + " " + at[0])))
    if draw(st.booleans()):
        other = draw(st.sampled_from(words))[0]
    return str(body[: at.start()] + other + body[at.end() :])


def world(**parts: Any) -> World:
    airframe = parts.get("airframe") or library.airframe(library.TRAINER)
    return World(
        airframe=airframe,
        pack_spec=parts.get("pack") or library.pack("club-3s-2200"),
        build=Build(),
        setup=Setup(controller=airframe.sheet.setup),
        site=parts.get("site") or library.site("lockup-garage"),
        conduct=Conduct(),
    )


def stands(kind: str, model: Any) -> None:
    """Put the aircraft on its feet with what was read, and look for faults."""
    if kind == "drill":
        session = Session(model, 1)
        assert np.isfinite(session.rig.world.airframe.mass_kg)
        assert isinstance(present_faults(session.truth()), frozenset)
    elif kind in ("airframe", "pack", "site"):
        rig = Rig(world(**{kind: model}), 1)
        rig.place()
        assert rig.craft


def outcome(folder: Path, kind: str, text: str) -> None:
    path = folder / f"{kind}.yaml"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    try:
        model = load_model(path, KINDS[kind][2])
        stands(kind, model)
    except InputError as error:
        said = str(error)
        assert said.startswith(str(path)) or kind in ("airframe", "drill")
        assert not [word for word in JARGON if word in said]


def check(kind: str, folder: Path, examples: int) -> None:
    @settings(deadline=None, max_examples=examples, database=None, derandomize=True)
    @given(mutated(kind))
    def run(text: str) -> None:
        outcome(folder, kind, text)

    run()


@pytest.mark.parametrize("kind", KINDS)
def test_one_word_changed(kind, tmp_path):
    check(kind, tmp_path, 60)


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_one_word_changed_many_times(kind, tmp_path):
    check(kind, tmp_path, 1500)
