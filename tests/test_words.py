"""One name for each thing in all that is shown: labels, cards, cautions, messages, documents, help."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.window.action_words import cause_words

ROOT = Path(__file__).parents[1]
NAMES = {
    "aerial": r"antennas?|antennae",
    "stop switch": r"(kill|motor|panic|emergency|cut)[- ]switch(es)?|emergency stop",
    "cut": r"kill(s|ed|ing)? (the|a|all) (motors?|engines?|throttle)|(motor|engine|power) kill|shut-?off",
    "mode switch": r"(flight|control|law)[- ]mode|mode selector|flight[- ]mode[- ]switch",
    "abort word": r"(?<!abort )words? to cut|abort words|stop word|cut word|abort call",
    "link lost": r"link cut|(radio|signal) lost|loss of signal|lost signal",
    "page": r"leaf|leaves of (the|a) reading|card or sheet before|next sheet|next leaf",
    "people and room": r"people and places?|people check|check of people",
    "ring": r"(danger|safety|keep-?out|exclusion|flight) zone|in (the )?zone",
    "pack": r"(flight |lithium |lipo )?batter(y|ies)|accumulators?",
    "propeller": r"props?|airscrews?|prop(eller)? blades?",
    "drive": r"(?-i:ESCs?)|speed controllers?|motor controllers?",
    "compass": r"magnetometers?|magnetic sensors?",
    "barometer": r"baro|pressure sensors?|altimeters?",
    "accelerometer": r"accels?|acceleration sensors?",
    "transmitter": r"remote controls?|handsets?|radio controllers?|controllers? in (the|your) hands?",
    "aircraft": r"drones?|uavs?|copters?|multi-?copters?|quad-?copters?|quads?",
    "takeoff": r"take-?offs|take-off|lift-?off|liftoff",
    "self-level": r"self-?levell?ing|auto-?level|level(ling)? mode|angle mode|stabilised mode",
    "failsafe": r"fail-safes?|fail safes?",
    "disarm": r"dis-arm|un-?arm",
    "card": r"check-?lists?|tick-?lists?|check list",
    "legs": r"landing gear|undercarriage|skids?",
    "spotter": r"observers?|look-?outs?|assistants?",
    "squawk": r"defect report|snags? sheets?",
    "build sheet": r"spec(ification)? sheet|data ?sheet",
    "metre": r"meters (high|up|away|above)|met(er|ers) per second",
    "centre": r"centers?|centered",
}  # the one name, and what else it is called elsewhere, which nobody is shown
ELSEWHERE = (
    "sim/reproduce/importer/naming.py",  # what other people's loggers call their columns
)
ALLOWED = (
    r"its battery is empty",  # the pad's own: a household thing, no part of the aircraft
    r"Prop\. o(n|ff)",  # short on a button where large letters leave no room for the whole
)


def shown_by_code() -> Iterator[tuple[str, int, str]]:
    """Yield (file, line, text) of every string of the package; docstrings where they are help."""
    for path in sorted((ROOT / "sim").rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        if name in ELSEWHERE:
            continue
        tree = ast.parse(path.read_text())
        helps = name == "sim/cli.py" or name.startswith("sim/commands/")
        docs = set() if helps else {id(node) for node in docstrings(tree)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and id(node) not in docs:
                yield name, node.lineno, node.value if isinstance(node.value, str) else ""


def docstrings(tree: ast.AST) -> Iterator[ast.Constant]:
    """Yield the strings that stand alone: docstrings, and those below a constant."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            yield node.value


def shown_by_files() -> Iterator[tuple[str, int, str]]:
    """Yield (file, line, text) of drills, airframes, sites, packs, the rubric and the documents."""
    data = [p for top in ("scenarios", "assets") for p in (ROOT / top).rglob("*.yaml")]
    pages = [ROOT / "README.md", ROOT / "CHANGELOG.md", *(ROOT / "docs").glob("*.md")]
    for path in sorted([*data, *pages]):
        for number, line in enumerate(path.read_text().splitlines(), 1):
            yield path.relative_to(ROOT).as_posix(), number, line


def misnamed(text: str) -> list[tuple[str, str]]:
    """Return (what it says, what it should say) of a text; identifiers as the window tells them."""
    text = re.sub(r"^[a-z]+$|[a-z]+(-[a-z]+)+", lambda found: cause_words(found.group()), text)
    for pattern in ALLOWED:
        text = re.sub(pattern, "", text)
    return [
        (found.group(), right)
        for right, wrong in NAMES.items()
        for found in re.finditer(rf"(?<![\w./:])(?i:{wrong})(?![\w/]|\.\w)", text)
    ]


@pytest.mark.parametrize("shown", [shown_by_code, shown_by_files])
def test_each_thing_has_one_name_wherever_it_is_shown(shown):
    wrong = [
        f"{name}:{number}: say “{right}”, not “{said}”: {text.strip()[:90]}"
        for name, number, text in shown()
        for said, right in misnamed(text)
    ]
    assert not wrong, "\n" + "\n".join(wrong)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("The antenna is kinked.", "aerial"),
        ("Hand at the kill switch", "stop switch"),
        ("Kill the motors at once.", "cut"),
        ("the flight-mode is rate", "mode switch"),
        ("Page 1; leaf 2 of 3", "page"),
        ("antenna-damaged", "aerial"),
        ("fit the props", "propeller"),
        ("agree the word to cut", "abort word"),
        ("People and place", "people and room"),
    ],
)
def test_another_name_is_told_with_the_right_one(text, right):
    assert right in [told for _, told in misnamed(text)]


def test_the_names_themselves_pass():
    for name in NAMES:
        assert misnamed(f"The {name} here.") == []
    assert misnamed("A rotor's blade, the stop switch, a cut in a lead; propellers-in-hand.") == []
