"""The journal: every action and stick sample of a run, one JSON line each, chained by hashes.

Each line carries the tick it starts at, a digest of the state after it, and a hash over itself and
the line before. A changed bit anywhere breaks the chain at its line; a changed simulation breaks
the digests. Lines are written as they happen, so a crash loses nothing that was finished: what is
left is a journal without an end, perhaps with a torn last line.
"""

import hashlib
import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal, Protocol

from pydantic import Field, ValidationError

from sim import __version__
from sim.aircraft.fields import Line, Seed, Strict
from sim.aircraft.textfile import load_model
from sim.bench.inputs import Inputs, Slider, Turning
from sim.bench.rig import History
from sim.errors import DryhopError, Refusal
from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.session.envelope import ENVELOPE, kept_in, unpacked
from sim.session.inputs import LONGEST_S, inputs_of
from sim.session.record import Outcome
from sim.session.scenario import Scenario
from sim.session.session import Session
from sim.session.trace import trace_text

JOURNAL = "journal.jsonl"
TRACE = "trace.csv"
DIGEST_BYTES = 8  # bytes; own: one in 2^64 that a change goes unseen
MAX_BYTES = 1 << 27  # bytes; own: some times the journal or trace of a very long evening
UNREADABLE = (ValueError, KeyError, TypeError, AttributeError, RecursionError, OverflowError)
START = "0" * (2 * DIGEST_BYTES)


class Differs(DryhopError):
    """The journal, or what the simulation makes of it, is not what was recorded."""

    def __init__(self, tick: int, what: str) -> None:
        super().__init__(f"differs at tick {tick}: {what}")
        self.tick = tick


def digest(data: bytes) -> str:
    """Return a short hash of some bytes."""
    return hashlib.blake2b(data, digest_size=DIGEST_BYTES).hexdigest()


def chained(before: str, content: dict[str, Any]) -> tuple[str, str]:
    """Return (line of text, its chain hash) for a journal entry after the entry `before`."""
    body = json.dumps(content, separators=(",", ":"), sort_keys=True)
    chain = digest((before + body).encode())
    return f'{body[:-1]},"~":"{chain}"}}', chain


class Drives(Protocol):
    """Something that does actions and lets time pass: a session or its recorder."""

    def do(self, action: act.Action) -> Outcome:
        """Do one thing."""
        ...

    def advance(self, inputs: Sticks | Inputs, seconds: float) -> History:
        """Let time pass."""
        ...


class Recorder:
    """Drives a session and says what it is told to do; the only writer of journals.

    `write` takes each line of the journal as it happens, with its line end.
    """

    def __init__(self, session: Session, write: Callable[[str], None], scenario_text: str) -> None:
        self.session = session
        self.ended = False
        self._put = write
        self._chain = START
        self._write(
            {
                "tick": session.rig.tick,
                "dryhop": __version__,
                "seed": session.seed,
                "scenario": digest(scenario_text.encode()),
                "state": digest(session.rig.fingerprint()),
            }
        )

    def do(self, action: act.Action) -> Outcome:
        """Do an action and record it, refused or not; one that was broken off is not recorded."""
        tick = self.session.rig.tick
        entry = {"act": action.model_dump(mode="json")}
        try:
            outcome = self.session.do(action)
        except Refusal:
            self._note(tick, entry)
            raise
        self._note(tick, entry)
        return outcome

    def advance(self, inputs: Sticks | Inputs, seconds: float) -> History:
        """Let time pass and record what the hands do."""
        tick = self.session.rig.tick
        history = self.session.advance(inputs, seconds)
        held = {name: list(value) for name, value in inputs_of(inputs)._asdict().items() if value}
        self._note(tick, {**held, "seconds": seconds})
        return history

    def close(self, trace_text: str) -> None:
        """Write the last line, which vouches for the trace; once."""
        if not self.ended:
            tick = self.session.rig.tick
            self._note(tick, {"end": True, "trace": digest(trace_text.encode())})
        self.ended = True

    def _note(self, tick: int, entry: dict[str, Any]) -> None:
        self._write({"tick": tick, **entry, "state": digest(self.session.rig.fingerprint())})

    def _write(self, content: dict[str, Any]) -> None:
        line, self._chain = chained(self._chain, content)
        self._put(line + "\n")


@dataclass(frozen=True)
class Entry:
    """One journal line whose chain hash is right."""

    tick: int
    content: dict[str, Any]


def entries(text: str) -> Iterator[Entry]:
    """Yield the lines of a journal; raises Differs at the first that is not as it was written."""
    chain, tick = START, 0
    for number, line in enumerate(text.split("\n")[:-1] or [""], start=1):
        try:
            content = json.loads(line)
            claimed = content.pop("~")
            stated = int(content["tick"])
            again, chain = chained(chain, content)
        except UNREADABLE:
            raise Differs(tick, f"journal line {number} can't be read") from None
        if again != line or claimed != chain:
            raise Differs(tick, f"journal line {number} has been changed") from None
        tick = stated
        yield Entry(tick, content)
    if not text.endswith("\n"):
        raise Differs(tick, "the journal's last line is cut off")


class _Line(Strict):
    """What every line states. `tick`: when it begins, ms; `state`: digest of the state after it."""

    tick: Annotated[int, Field(ge=0)]
    state: str


class _Header(_Line):
    dryhop: Line
    seed: Seed
    scenario: str


class _Done(_Line):
    act: act.Action


class _Held(_Line):
    sticks: Sticks
    turning: Turning | None = None
    motor: Slider | None = None
    seconds: Annotated[float, Field(gt=0, le=LONGEST_S)]


class _End(_Line):
    end: Literal[True]
    trace: str


@dataclass(frozen=True)
class Step:
    """What one entry does: an action, or hands kept as they are for some seconds; or the end."""

    tick: int
    action: act.Action | None = None
    inputs: Inputs | None = None
    seconds: float = 0.0
    trace: str | None = None


def step_of(entry: Entry) -> Step:
    """Return what an entry does; raises Differs if nobody can do that."""
    content = entry.content
    try:
        if "act" in content:
            return Step(entry.tick, _Done.model_validate(content).act)
        if "sticks" in content:
            held = _Held.model_validate(content)
            inputs = Inputs(held.sticks, held.turning, held.motor)
            return Step(entry.tick, None, inputs, held.seconds)
        return Step(entry.tick, trace=_End.model_validate(content).trace)
    except ValidationError:
        raise Differs(entry.tick, "the journal holds what nobody can do") from None


def apply(drives: Drives, step: Step) -> None:
    """Do what a step does, refused or not; raises Differs if no hands can have done so."""
    if step.action is not None:
        with suppress(Refusal):
            drives.do(step.action)
    elif step.inputs is not None:
        try:
            drives.advance(step.inputs, step.seconds)
        except (ValueError, Refusal) as error:
            raise Differs(step.tick, f"hands that can't have done so: {error}") from None


def begun(folder: Path) -> tuple[Session, list[Step]]:
    """Return the session a run folder starts from, and every step of its journal in order.

    Raises Differs if scenario or journal are not as they were written.
    """
    lines = entries(text_of(folder / JOURNAL))
    _, session = _begun(folder, lines)
    return session, [step_of(entry) for entry in lines]


def text_of(path: Path, tick: int = 0, torn: bool = False) -> str:
    """Return a recorded file's text exactly as written; raises Differs if it can't be.

    `torn`: up to its last line end only, since a crash may have torn the line after it.
    """
    try:
        if path.stat().st_size > MAX_BYTES:
            raise Differs(tick, f"{path.name} is larger than any recorded: over {MAX_BYTES} bytes")
        content = path.read_bytes()
    except FileNotFoundError:
        raise Differs(tick, f"{path.name} is missing") from None
    try:
        return (content[: content.rfind(b"\n") + 1] if torn else content).decode("utf-8")
    except UnicodeDecodeError:
        raise Differs(tick, f"{path.name} is not the one recorded") from None


def header_of(entry: Entry | None) -> tuple[int, str]:
    """Return (seed, digest of the scenario) as a journal's first line states them."""
    try:
        header = _Header.model_validate(entry.content if entry else None)
    except ValidationError:
        raise Differs(0, "the journal has no header") from None
    return header.seed, header.scenario


def _begun(folder: Path, lines: Iterator[Entry]) -> tuple[Entry, Session]:
    """Return the journal's header and a new session of the drill it vouches for."""
    header = next(lines, None)
    seed, recorded = header_of(header)
    if header is None or recorded != digest(drill_text(folder).encode()):
        raise Differs(0, "scenario.yaml is not the one recorded")
    return header, Session(drill_of(folder), seed)


def drill_text(folder: Path) -> str:
    """Return the text of a run folder's drill, sealed or open; raises Differs if it can't be read."""
    path = kept_in(folder)
    text = text_of(path)
    try:
        return unpacked(text) if path.name == ENVELOPE else text
    except ValueError:
        raise Differs(0, f"{path.name} is not the one recorded") from None


def drill_of(folder: Path) -> Scenario:
    """Return the drill of a run folder; raises Differs or, if it is no drill, InputError."""
    return load_model(kept_in(folder), Scenario, drill_text(folder))


def replayed(folder: Path, verify: bool = True, whole: bool = True) -> Session:
    """Return the session of a run folder, done again.

    Parameters
    ----------
    folder : Path
        A run folder.
    verify : bool
        Compare the simulation's state and the trace, bit by bit.
    whole : bool
        Take finished runs only; else an attempt left in the middle as well, up to its last whole
        line.

    Returns
    -------
    Session
        As it was after the last line.

    Raises
    ------
    Differs
        If scenario, journal or, with `verify`, what comes of them are not as they were written.
    """
    lines = entries(text_of(folder / JOURNAL, torn=not whole))
    header, session = _begun(folder, lines)
    _compare(session, header, verify)
    ended = False
    for entry in lines:
        if ended:
            raise Differs(entry.tick, "the journal goes on after its end")
        if session.rig.tick != entry.tick:
            raise Differs(session.rig.tick, f"the journal goes on at tick {entry.tick}")
        step = step_of(entry)
        apply(session, step)
        _compare(session, entry, verify)
        ended = step.trace is not None
        if verify and ended:
            _compare_trace(session, folder, step)
    if whole and not ended:
        raise Differs(session.rig.tick, "the journal has no end: the attempt is unfinished")
    return session


def _compare(session: Session, entry: Entry, verify: bool) -> None:
    if verify and entry.content.get("state") != digest(session.rig.fingerprint()):
        raise Differs(entry.tick, "the state after this entry is another")


def _compare_trace(session: Session, folder: Path, end: Step) -> None:
    text = text_of(folder / TRACE, end.tick)
    if digest(text.encode()) != end.trace or text != trace_text(session.record()):
        raise Differs(end.tick, "trace.csv is not the one recorded")
