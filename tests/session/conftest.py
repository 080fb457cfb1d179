"""Sessions brought to a known place, for every test of this folder."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.session.attempt import Note
from sim.session.folder import RunFolder
from sim.session.scenario import load
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.others import to_the_pad

STEPS: dict[str, dict[str, object]] = {
    "on": {"do": "switch-transmitter", "on": True},
    "off": {"do": "switch-transmitter", "on": False},
    "plug": {"do": "plug-pack"},
    "unplug": {"do": "unplug-pack"},
    "fit": {"do": "fit-props"},
    "fit-one": {"do": "fit-prop", "place": "rear_left", "piece": "rear_left"},
    "remove-one": {"do": "remove-prop", "place": "rear_left"},
    "remove": {"do": "remove-props"},
    "goggles": {"do": "prepare", "what": "goggles"},
    "spotter": {"do": "prepare", "what": "spotter"},
    "clear-ring": {"do": "prepare", "what": "clear-ring"},
    "brief-abort": {"do": "prepare", "what": "brief-abort"},
    "bench": {"do": "carry", "to": "bench", "hold": "hands"},
    "stand": {"do": "carry", "to": "bench", "hold": "standing"},
    "clamp": {"do": "carry", "to": "bench", "hold": "clamp"},
    "floor": {"do": "carry", "to": "open_floor", "hold": "hands"},
    "cupboard": {"do": "carry", "to": "steel_cupboard", "hold": "hands"},
    "pad": {"do": "carry", "to": "pad", "hold": "standing"},
    "done": {"do": "done"},
    "turn": {"do": "turn", "roll_deg": 30.0, "pitch_deg": 20.0, "heading_deg": 90.0},
    "compass-start": {"do": "calibrate", "what": "compass-start"},
    "compass-finish": {"do": "calibrate", "what": "compass-finish"},
    "level": {"do": "calibrate", "what": "level"},
    "swap": {"do": "swap", "part": "pack"},
    "self-level": {"do": "set-mode", "self_level": True},
    "rate": {"do": "set-mode", "self_level": False},
    "cable": {"do": "cable", "plugged": True},
    "connect": {"do": "connect", "by": "cable", "rate_bd": 115200},
    "disconnect": {"do": "disconnect"},
    "load": {"do": "load-software"},
    "wait": {"do": "wait", "minutes": 0.5},
    "arm": {"do": "arm"},
    "disarm": {"do": "disarm"},
    "clear": {"do": "declare", "verdict": "clear"},
    "stay": {"do": "declare", "verdict": "stay on the bench", "reason": "a fault here"},
    "finish": {"do": "finish"},
    "hint": {"do": "hint"},
}


@pytest.fixture(scope="session")
def action() -> Callable[[str], act.Action]:
    """Return an action from a short word, `read:CHECK`, `begin:CHECK`, `set:KEY=VALUE` or `squawk:ITEM/CAUSE`."""

    def made(word: str) -> act.Action:
        kind, _, rest = word.partition(":")
        if kind == "read":
            return act.Read.model_validate({"check": rest})
        if kind == "begin":
            return act.Begin.model_validate({"check": rest})
        if kind == "set":
            key, _, text = rest.partition("=")
            value = int(text) if text.lstrip("-").isdigit() else text
            return act.Set(key=key, value=float(text) if "." in text else value)
        if kind == "squawk":
            item, _, cause = rest.partition("/")
            return act.Squawk.model_validate({"item": item, "cause": cause})
        if kind == "withdraw":
            return act.Withdraw(item=rest)
        if kind == "answer":
            card, _, item = rest.partition("/")
            return act.Answer.model_validate({"card": card, "item": item, "value": "seen"})
        return act.ACTION.validate_python(STEPS[word])

    return made


@pytest.fixture(scope="session")
def sticks() -> Callable[..., Sticks]:
    """Return sticks centred, the transmitter on, the stop switch off."""

    def made(throttle: float = 0.0, **others: float) -> Sticks:
        return Sticks(0.0, 0.0, throttle, 0.0, 1.0, 1.0, 0.0)._replace(**others)

    return made


@pytest.fixture
def done(action, sticks) -> Callable[..., Session]:
    """Return a session after these steps; `roll=0.6` as a step holds that stick for 0.3 s."""

    def made(steps: str = "", drill: str = "quiet-morning", seed: int = 1) -> Session:
        session = Session(load(drill), seed)
        for word in steps.split():
            name, _, value = word.partition("=")
            if name in Sticks._fields:
                session.advance(sticks(**{name: float(value)}), 0.3)
            else:
                session.do(action(word))
        return session

    return made


@pytest.fixture
def flying(sticks) -> Callable[..., Session]:
    """Return a session armed on the pad that has just left the floor, at a gentle throttle."""

    def made(drill: str = "quiet-morning", seed: int = 1) -> Session:
        session = Session(load(drill), seed)
        hands = Hands(session, session)
        to_the_pad(hands)
        session.do(act.Arm())
        session.advance(sticks(), 1.0)
        while session.rig.value("clear_ticks") == 0.0:
            session.advance(sticks(0.55), 0.02)
        return session

    return made


@pytest.fixture(scope="session")
def short(tmp_path_factory, sticks) -> Path:
    """Return a run folder of one short run: actions, a refusal, sticks, a trace."""
    folder = tmp_path_factory.mktemp("short") / "run"
    note = Note(trainee="a test", by="person", scenario="first-evening", seed=4)
    with RunFolder.begin(folder, load("first-evening"), note) as run:
        hands = Hands(run.recorder, run.session)
        assert hands.tries(act.UnplugPack()) is None
        to_the_pad(hands)
        hands.do(act.Arm())
        hands.fly(sticks(0.3, roll=-0.25), 0.05)
        hands.do(act.Disarm())
        run.finish()
    return folder


@pytest.fixture
def copied(short, tmp_path) -> Path:
    """Return a copy of that run folder to spoil."""
    return shutil.copytree(short, tmp_path / "run")
