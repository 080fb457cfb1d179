"""Screens in all their states, made up and always the same: for the list of labels and the tests."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

from sim.aircraft.fields import CHANNELS
from sim.logbook.ahead import Next, shipped
from sim.logbook.way import Way, steps
from sim.procedure.hazards import HAZARDS
from sim.runs import Left
from sim.session.attempt import Note
from sim.session.scenario import load
from sim.window.app import App, Blank, Screen
from sim.window.practice import Practice
from sim.window.screens.feel import Feel
from sim.window.screens.home import Home, drills
from sim.window.screens.keys import Keys
from sim.window.screens.mapping import PadSheet
from sim.window.screens.pause import Pause
from sim.window.screens.settings import SettingsSheet
from sim.window.screens.tries import CheckTry, SquawkTry, StopTry
from sim.window.screens.walk import PAGES, Walk
from sim.window.sticks import prompts
from sim.window.sticks.helper import Helper
from sim.window.sticks.mapping import SWITCHES, Button, DeviceKey, DeviceMapping, guess
from sim.window.sticks.positions import SAFE, Positions

SEED = 4821  # own: any will do
FULL = "runs/first-evening-1/journal.jsonl: No space left on device"
RESTING = (0.0, 0.0, 0.0, 0.0)


def nothing(*_: object) -> None:
    """Do nothing, where something would be begun."""


@dataclass(frozen=True)
class MadeUpDevice:
    """A device that is not there."""

    instance: int = 1
    guid: str = "made-up"
    name: str = "Made-up pad"
    axes_count: int = 4
    buttons_count: int = 6

    @property
    def key(self) -> DeviceKey:
        """What it is recognised by."""
        return self.guid, self.name, self.axes_count


@dataclass
class MadeUpPads:
    """Devices that are not there."""

    devices: tuple[MadeUpDevice, ...] = (MadeUpDevice(),)
    learned: list[DeviceMapping] = field(default_factory=list)
    mode: int = 2

    @property
    def mappings(self) -> tuple[DeviceMapping, ...]:
        """Return what was learned."""
        return tuple(self.learned)

    def use(self, instance: int) -> None:
        """Use a device: there is only one."""

    def learn(self, mapping: DeviceMapping) -> None:
        """Keep a mapping."""
        self.learned = [m for m in self.learned if m.key != mapping.key] + [mapping]

    def guessed(self) -> DeviceMapping | None:
        """Return the guess for the first device."""
        return guessed(self.devices[0])


def guessed(device: MadeUpDevice) -> DeviceMapping:
    """Return the usual order for a made-up device."""
    found = guess(device.guid, device.name, RESTING, device.buttons_count)
    assert found is not None
    return found


def state_of(
    axes: tuple[float, ...] = (0.1, -0.4, 0.0, 0.7),
    device: MadeUpDevice | None = None,
    mapping: DeviceMapping | None = None,
) -> Any:
    """Return how a made-up device stands, as `App.pad` has it."""
    found = device or MadeUpDevice()
    buttons = (False, True) + (False,) * (found.buttons_count - 2)
    still: frozenset[str] = frozenset()
    return SimpleNamespace(device=found, axes=axes, buttons=buttons, went_on=still, mapping=mapping)


def drill_stood(unsaved: str = "") -> Practice:
    """Return what the pause needs of a drill, without one having been begun."""
    made = SimpleNamespace(
        scenario=load("first-evening"),
        name="first-evening",
        seed=SEED,
        rate=1.0,
        paused=True,
        busy="",
        unsaved=unsaved,
    )
    return cast(Practice, made)


def left_then(name: str, seed: int) -> Left:
    """Return an attempt as if it had been left in the middle once."""
    note = Note(trainee="somebody", by="person", scenario=name, seed=seed)
    return Left(Path("runs") / name, note, datetime(2026, 1, 31, 18, 40, tzinfo=UTC))


def rung(id_: str, family: str, hazard: int, **story: Any) -> dict[str, Any]:
    """Return one fault of a scorecard."""
    climbed = {"noticed": True, "named": 1.0, "cleared": True, "proved": True}
    climbed |= {"by_precaution": False}
    rest = {"present_at_start": True, "present_at_takeoff": False, "made_by_trainee": False}
    told = {"id": id_, "family": family, "hazard": hazard, **climbed, **rest, "lucky": "", **story}
    return {"sure": 0.8 if told["named"] == 1.0 else 0.0, **told}


def wrong(cause: str, sure: float, **told: bool) -> dict[str, Any]:
    """Return a claim of a scorecard that was not so."""
    return {"cause": cause, "sure": sure, "well_founded": False, "led_to_change": False, **told}


def detection(hits: int, misses: int, false: int, quiet: int, words: str) -> dict[str, Any]:
    """Return what of a scorecard tells faulty from sound."""
    counts = {"hits": hits, "misses": misses, "false_alarms": false, "correct_rejections": quiet}
    return {**counts, "d_prime_words": words}


def air(*found: dict[str, Any], landed: bool = False, **later: Any) -> dict[str, Any]:
    """Return what of a scorecard tells of the air: one hop, or with `later` one more."""
    hop = {"takeoff_s": 64.2, "over_s": 121.0, "present": [], "crash": [], "early": False}
    hops = [hop, hop | later] if later else [hop]
    return {"hops": hops, "found": list(found), "landed_at_first_doubt": landed}


def found(name: str, flew: bool, **rungs: bool) -> dict[str, Any]:
    """Return what was made of a fault after the first takeoff."""
    none = dict.fromkeys(("named", "felt", "cleared", "proved"), False)
    return {"id": name, "flew": flew, **none, **rungs}


def card_of(**changes: Any) -> dict[str, Any]:
    """Return a made-up scorecard."""
    hop = {
        "share": 0.8,
        "desired_s": 31.2,
        "adequate_s": 34.0,
        "worst_away_m": 0.42,
        "touchdown_m_s": 0.31,
        "crashed": False,
    }
    return {
        "scenario": "first-evening",
        "title": "First evening",
        "seed": SEED,
        "trainee": "somebody",
        "verdict": "cleared to hop",
        "points": 93.4,
        "parts": {"ladder": 1.0, "conduct": 0.9, "hop": 0.8, "seen": 1.0},
        "faults": [rung("pitch-channel-reversed", "radio", 5)],
        "wise_refusal": False,
        "sound_decision": False,
        "false_squawks": [],
        "on_nothing": [],
        "needless": [],
        "parts_used": 1,
        "detection": detection(1, 0, 0, 55, "3.42 ± 2.10"),
        "calibration": {"claims": 1, "stated": 0.8, "right": 1.0, "brier": 0.04},
        "hazards": [],
        "takeoff_s": 64.2,
        "minutes": 58.0,
        "careful_min": 72.0,
        "locked_up": False,
        "declared": "clear",
        "hop": hop,
        "air": air(),
        "versions": {},
        **changes,
    }


def bad_card() -> dict[str, Any]:
    """Return a made-up scorecard of a drill in which all went wrong."""
    hop = dict(card_of()["hop"], crashed=True)
    return card_of(
        verdict="stay on the bench",
        points=22.5,
        parts={"ladder": 0.2, "conduct": 0.0, "hop": 0.1, "seen": 0.6},
        on_nothing=["no-spotter"],
        needless=["swap:pack", "setup.controller.roll.p", "calibrate:compass", "prepare:shut-door"],
        parts_used=3,
        detection=detection(1, 1, 2, 40, "too few items (2 faulty, 42 sound)"),
        calibration={"claims": 3, "stated": 0.7, "right": 0.33, "brier": 0.31},
        faults=[
            rung("mag-hard-iron-offset", "sensing", 3, named=0.5, cleared=False, proved=False),
            rung(
                "rate-gain-high",
                "control",
                4,
                noticed=False,
                named=0.0,
                cleared=False,
                proved=False,
                present_at_start=False,
                present_at_takeoff=True,
                made_by_trainee=True,
            ),
            rung("pack-high-resistance", "power", 4, proved=False),
            rung("person-in-ring", "conduct", 5, by_precaution=True),
        ],
        false_squawks=[
            wrong("prop-unbalanced", 0.95, led_to_change=True),
            wrong("pack-cold", 0.4, well_founded=True),
        ],
        hazards=[
            {"id": name, "time_s": 12.5, "minutes": 34.0, "critical": hazard.critical}
            for name, hazard in HAZARDS.items()
        ],
        hop=hop,
        air=air(
            found("rate-gain-high", True, named=True, felt=True, cleared=True, proved=True),
            found("leg-snag-or-bent", False, named=True, cleared=True),
            found("prop-nick-imbalance", False, cleared=True),
            found("motor-shaft-bent", True),
            landed=True,
            present=["motor-shaft-bent"],
            crash=["A propeller hit something.", "It fell over."],
        ),
        minutes=130.5,
        locked_up=True,
    )


def refused_card() -> dict[str, Any]:
    """Return a made-up scorecard of somebody who wisely did not fly."""
    return card_of(faults=[], takeoff_s=None, wise_refusal=True, declared="stay on the bench")


def stayed_card() -> dict[str, Any]:
    """Return a made-up scorecard of somebody who found a fault and called the instructor."""
    left = rung("pitch-channel-reversed", "radio", 5, cleared=False, proved=False)
    changes = {"takeoff_s": None, "declared": "stay on the bench", "verdict": "stay on the bench"}
    return card_of(faults=[left], points=83.8, sound_decision=True, **changes)


@dataclass
class MadeUpHelper:
    """A mapping helper that stays where it is."""

    prompt: str
    trouble: str | None = None
    asking: str | None = None
    progress: float = 0.4
    may_skip: bool = False
    live: Positions | None = None

    def feed(self, *_: object) -> None:
        """Take no notice."""


def asked_for() -> list[tuple[str, str | None]]:
    """Return everything the helper asks for, and what it asks it of."""
    asked: list[tuple[str, str | None]] = [(prompts.REST, None)]
    for name in CHANNELS:
        asked += [(prompts.sweep(name, 2), name), (prompts.hold(name, 2), name)]
    asked += [(prompts.SETTLE, None), *((prompts.flip(name), name) for name in SWITCHES)]
    return [*asked, (prompts.LIVE.format(left="roll"), None), (prompts.LIVE_DONE, None)]


def troubles() -> list[str]:
    """Return everything the helper complains of."""
    found = {n: w for n, w in vars(prompts).items() if n.isupper() and isinstance(w, str)}
    plain = {prompts.REST, prompts.SETTLE, prompts.LIVE, prompts.LIVE_DONE, prompts.DONE}
    stick, other = prompts.stick_words("yaw", 2), prompts.stick_words("roll", 2)
    gaps = {"what": stick, "wanted": other, "where": "up", "left": "yaw"}
    return [words.format(**gaps) for words in found.values() if words not in plain]


def home(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    home = Home(nothing, nothing, SEED)
    for i, drill in enumerate(drills()):
        if i == 0 or drill.drawn:
            home.picked, home._fresh = i, False
            yield home
    yield Home(nothing, nothing, SEED, [left_then("first-evening", 7), left_then("made-up", 12)])
    yield Home(nothing, nothing, SEED, way_of=half_way_up)


def half_way_up(who: str) -> Way:
    """Return the way of somebody who has come as far as the third rung, and has been away."""
    done = {drill.name: n % 5 > 0 for n, drill in enumerate(drills()) if drill.rung < 3}
    (after,) = [drill for drill in shipped() if drill.name == "under-the-seat"]
    reason = "Something you could do was due to come back 12 days ago."
    missing = {
        drill.name: ("A box of bits", "After the fair") for drill in shipped() if drill.rung == 4
    }
    due = ("pack and power", "sensors and their calibration", "how one goes about it")
    return Way(2, steps(shipped(), done), done, due, Next(after, reason), missing)


def walk(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    for page in range(len(PAGES)):
        walk = Walk(Blank(), page)
        yield walk
        tried = walk.tried
        if isinstance(tried, CheckTry):
            tried.measured, tried.noted = True, "one cell is lower"
        elif isinstance(tried, SquawkTry):
            tried.sheet = ["the pack: one cell is weak (likely), on cell 3, read as 3.71 V"]
        elif isinstance(tried, StopTry):
            tried.turns, tried.cuts = False, 1
        else:
            continue
        yield walk


def settings(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    for mode in (1, 2, 3, 4):
        app.settings = app.settings.model_copy(update={"stick_mode": mode})
        yield SettingsSheet(Blank())
    app.settings = app.settings.model_copy(
        update={
            "units": "imperial",
            "full_screen": True,
            "volume": 0.0,
            "frames_per_s": 30,
        }
    )
    yield SettingsSheet(Blank())


def keys(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    yield Keys(Blank())
    waiting = Keys(Blank())
    waiting._clashed = True
    waiting.waits, waiting.said = "pack", app.ui.keys.clash("pack", "c") or ""
    yield waiting
    app.change(keys={"pack": "k"})
    sure = Keys(Blank())
    sure._sure = True
    yield sure


def pads(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    yield PadSheet(Blank())
    pads = MadeUpPads()
    app.devices, app.pad = pads, state_of()
    yield PadSheet(Blank())
    for prompt, asking in asked_for():
        sheet = PadSheet(Blank())
        sheet.helper = cast(Helper, MadeUpHelper(prompt, asking=asking))
        yield sheet
    for trouble in troubles():
        sheet = PadSheet(Blank())
        made = MadeUpHelper(prompts.REST, trouble, progress=0.4, may_skip=True, live=SAFE)
        sheet.helper = cast(Helper, made)
        yield sheet
    sheet = PadSheet(Blank())
    sheet.feel = Feel(guessed(pads.devices[0]))
    yield sheet
    buttons: dict[str, object] = {
        name: Button(index=i, momentary=True) for i, name in enumerate(SWITCHES)
    }
    known = guessed(pads.devices[0]).model_copy(update=buttons)
    pads.learn(known)
    app.pad = state_of(mapping=known)
    yield PadSheet(Blank())


def pause(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    pause = Pause(Blank(), drill_stood(), nothing, nothing)
    for rate in (1.0, 0.5, 0.25):
        pause.drill.rate = rate
        yield pause
    for id_ in ("again", "give-up"):
        pause._sure = id_
        yield pause
    unsaved = Pause(Blank(), drill_stood(FULL), nothing, nothing)
    unsaved._saving.where, unsaved._sure = "~/evenings", "give-up"
    yield unsaved
