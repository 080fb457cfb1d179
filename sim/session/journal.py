"""The journal: every action and stick sample of a run, one JSON line each, chained by hashes.

Each line carries the tick it starts at, a digest of the state after it, and a hash over itself and
the line before. A changed bit anywhere breaks the chain at its line; a changed simulation breaks
the digests. Lines are written as they happen, so a crash loses nothing that was finished.
"""

import hashlib
import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO

from pydantic import ValidationError

from sim import __version__
from sim.bench.rig import History
from sim.errors import DryhopError, Refusal
from sim.kernel.radio import Sticks
from sim.session import actions as act
from sim.session.session import Outcome, Session
from sim.session.trace import trace_text

JOURNAL = "journal.jsonl"
SCENARIO = "scenario.yaml"
TRACE = "trace.csv"
DIGEST_BYTES = 8  # bytes; own: one in 2^64 that a change goes unseen
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


class Recorder:
    """Drives a session and writes what it is told to do; the only writer of journals."""

    def __init__(self, session: Session, stream: TextIO, scenario_text: str) -> None:
        self.session = session
        self._stream = stream
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
        """Do an action and record it, refused or not."""
        tick = self.session.rig.tick
        try:
            return self.session.do(action)
        finally:
            self._note(tick, {"act": action.model_dump(mode="json")})

    def advance(self, sticks: Sticks, seconds: float) -> History:
        """Let time pass and record the sticks."""
        tick = self.session.rig.tick
        history = self.session.advance(sticks, seconds)
        self._note(tick, {"sticks": list(sticks), "seconds": seconds})
        return history

    def close(self, trace_text: str) -> None:
        """Write the last line, which vouches for the trace."""
        self._note(self.session.rig.tick, {"end": True, "trace": digest(trace_text.encode())})
        self._stream.flush()

    def _note(self, tick: int, entry: dict[str, Any]) -> None:
        self._write({"tick": tick, **entry, "state": digest(self.session.rig.fingerprint())})

    def _write(self, content: dict[str, Any]) -> None:
        line, self._chain = chained(self._chain, content)
        self._stream.write(line + "\n")


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
        except UNREADABLE:
            raise Differs(tick, f"journal line {number} can't be read") from None
        again, chain = chained(chain, content)
        if again != line or claimed != chain:
            raise Differs(tick, f"journal line {number} has been changed") from None
        tick = stated
        yield Entry(tick, content)
    if not text.endswith("\n"):
        raise Differs(tick, "the journal's last line is cut off")


@dataclass(frozen=True)
class Step:
    """What one entry does: an action, or sticks held for some seconds; the end does nothing."""

    tick: int
    action: act.Action | None = None
    sticks: Sticks | None = None
    seconds: float = 0.0


def step_of(entry: Entry) -> Step:
    """Return what an entry does; raises Differs if nobody can do that."""
    content = entry.content
    if "act" in content:
        try:
            return Step(entry.tick, act.ACTION.validate_python(content["act"]))
        except ValidationError:
            raise Differs(entry.tick, "an action nobody can do") from None
    if "sticks" in content:
        return Step(entry.tick, None, Sticks(*content["sticks"]), content["seconds"])
    return Step(entry.tick)


def _apply(session: Session, entry: Entry) -> None:
    step = step_of(entry)
    if step.action is not None:
        with suppress(Refusal):
            session.do(step.action)
    elif step.sticks is not None:
        session.advance(step.sticks, step.seconds)


def begun(folder: Path) -> tuple[Session, list[Step]]:
    """Return the session a run folder starts from, and every step of its journal in order.

    Raises Differs if scenario or journal are not as they were written.
    """
    lines = entries(text_of(folder / JOURNAL))
    _, session = _begun(folder, lines)
    return session, [step_of(entry) for entry in lines]


def text_of(path: Path, tick: int = 0) -> str:
    """Return a recorded file's text exactly as written; Differs if it is gone or not UTF-8."""
    try:
        return path.read_bytes().decode("utf-8")
    except OSError:
        raise Differs(tick, f"{path.name} is missing") from None
    except UnicodeDecodeError:
        raise Differs(tick, f"{path.name} is not the one recorded") from None


def _begun(folder: Path, lines: Iterator[Entry]) -> tuple[Entry, Session]:
    """Return the journal's header and a new session of the drill it vouches for."""
    from sim.session.scenario import load

    try:
        header = next(lines)
        recorded, seed = header.content["scenario"], int(header.content["seed"])
    except (StopIteration, *UNREADABLE):
        raise Differs(0, "the journal has no header") from None
    if recorded != digest(text_of(folder / SCENARIO).encode()):
        raise Differs(0, "scenario.yaml is not the one recorded")
    return header, Session(load(str(folder / SCENARIO)), seed)


def replayed(folder: Path, verify: bool = True) -> Session:
    """Return the session of a run folder, done again.

    Raises Differs if scenario or journal are not as they were written and, with `verify`, if the
    simulation's state or the trace differ by a bit.
    """
    lines = entries(text_of(folder / JOURNAL))
    header, session = _begun(folder, lines)
    _compare(session, header, verify)
    ended = False
    for entry in lines:
        if ended:
            raise Differs(entry.tick, "the journal goes on after its end")
        if session.rig.tick != entry.tick:
            raise Differs(session.rig.tick, f"the journal goes on at tick {entry.tick}")
        _apply(session, entry)
        _compare(session, entry, verify)
        ended = "end" in entry.content
        if verify and ended:
            _compare_trace(session, folder, entry)
    if not ended:
        raise Differs(session.rig.tick, "the journal has no end: the run was not finished")
    return session


def _compare(session: Session, entry: Entry, verify: bool) -> None:
    if verify and entry.content.get("state") != digest(session.rig.fingerprint()):
        raise Differs(entry.tick, "the state after this entry is another")


def _compare_trace(session: Session, folder: Path, entry: Entry) -> None:
    text = text_of(folder / TRACE, entry.tick)
    if digest(text.encode()) != entry.content["trace"] or text != trace_text(session.record()):
        raise Differs(entry.tick, "trace.csv is not the one recorded")
