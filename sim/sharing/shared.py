"""What is shared: a finished run, or a drill with its aircraft; packed, checked, and laid down again.

Of a run go drill, journal, trace, the note of who tried, the trainee's own words and an instructor's
name under a check-out. Its scorecard and page do not: they are
worked out anew where it is opened, so that nobody's marks are taken on trust and no page of a stranger
is shown. A drill goes with airframe and site in full.
"""

import os
import secrets
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import numpy as np
from pydantic import ValidationError

from sim import __version__
from sim.aircraft.airframe import Airframe
from sim.aircraft.fields import slug
from sim.aircraft.library import Design, airframe_problems, is_file
from sim.aircraft.textfile import (
    MAX_BYTES,
    contents_of,
    dump_yaml,
    load_model,
    numbered,
    require_nothing_there,
    write_atomic,
    write_text_atomic,
)
from sim.errors import InputError, Problem
from sim.runs import Finished, kept_card, nothing_else, require_run_folder
from sim.session.attempt import ATTEMPT, SCORECARD, Note, noted
from sim.session.attempt import MAX_BYTES as NOTE_BYTES
from sim.session.envelope import SCENARIO
from sim.session.folder import SOMEBODY, is_finished
from sim.session.journal import (
    JOURNAL,
    TRACE,
    Differs,
    digest,
    drill_text,
    entries,
    header_of,
    replayed,
    step_of,
    text_of,
)
from sim.session.ownwords import MAX_BYTES as WORDS_BYTES
from sim.session.ownwords import OWN_WORDS, OwnWords, words_of
from sim.session.scenario import Scenario, find, load
from sim.session.signed import MAX_BYTES as SIGNED_BYTES
from sim.session.signed import SIGNED, Signature, signature_of
from sim.sharing.container import (
    EXTENSION,
    MOST_BYTES,
    Content,
    Kind,
    listed,
    packed,
    refuse,
    sha256,
    unpacked,
)

DRILL = "drill.yaml"
MOST_STEPS = 100_000  # lines of a journal; own: some times the longest evening by hand
MOST_HELD_S = 4 * 3600.0  # s; own: hands and sticks; an evening has less than two hours of them
TOMORROW_S = 86_400.0  # s; own: clocks of two machines and their zones differ by no more
NEEDED = (SCENARIO, JOURNAL, TRACE, ATTEMPT)  # of a run; without the trainee's own words it is one
ALLOWED: dict[Kind, dict[str, int]] = {
    "run": {
        SCENARIO: MAX_BYTES,
        JOURNAL: MOST_BYTES,
        TRACE: MOST_BYTES,
        ATTEMPT: NOTE_BYTES,
        OWN_WORDS: WORDS_BYTES,
        SIGNED: SIGNED_BYTES,
    },
    "drill": {DRILL: MAX_BYTES},
}


class SharedRun(NamedTuple):
    """A run that was opened and found whole; nothing of it is on the disk yet."""

    name: str
    note: Note
    drill: Scenario
    members: dict[str, bytes]
    ended_s: float

    @property
    def airframe(self) -> Design:
        """What it was done on."""
        return self.drill.airframe


class SharedDrill(NamedTuple):
    """A drill that was opened and found good."""

    name: str
    drill: Scenario

    @property
    def airframe(self) -> Design:
        """What it is to be done on."""
        return self.drill.airframe


Opened = SharedRun | SharedDrill


# --- giving away ---------------------------------------------------------------------------------


def run_content(folder: Path, nameless: bool = False) -> Content:
    """Return a finished run as it is shared; InputError or Differs if there is none to share.

    nameless : without names: of who practised, with their own words, and of who signed.
    """
    require_run_folder(folder)
    note = noted(folder)
    if note is None or not is_finished(folder):
        raise InputError((Problem(str(folder), None, "", "", "not a finished run: no file of it"),))
    if nameless and note.by == "person":
        note = note.model_copy(update={"trainee": SOMEBODY})
    members = {
        SCENARIO: drill_text(folder).encode(),
        JOURNAL: text_of(folder / JOURNAL).encode(),
        TRACE: text_of(folder / TRACE).encode(),
        ATTEMPT: note.text().encode(),
    }
    if not nameless and (words := words_of(folder)) is not None:
        members[OWN_WORDS] = words.text().encode()
    if not nameless and signature_of(folder) is not None:
        members[SIGNED] = (folder / SIGNED).read_bytes()
    ended = (folder / SCORECARD).stat().st_mtime
    manifest = listed("run", slug(note.scenario), __version__, members, round(ended, 3))
    return Content(manifest, members)


def drill_content(name: str) -> Content:
    """Return a drill, by file or shipped name, as it is shared."""
    drill = load(name)
    members = {DRILL: _text(drill).encode()}
    return Content(listed("drill", slug(find(name).stem), __version__, members, None), members)


def _text(drill: Scenario) -> str:
    head = "# A drill that was shared; a simulation, which proves nothing of a real aircraft.\n"
    return head + dump_yaml(drill)


def shared(what: str, nameless: bool = False) -> Content:
    """Return a run folder or a drill as it is shared."""
    folder = Path(what)
    return run_content(folder, nameless) if folder.is_dir() else drill_content(what)


def noted_name(content: Content) -> str:
    """Return the name of who practised what is shared; nothing for a drill or a stand-in's run."""
    if ATTEMPT not in content.members:
        return ""
    note = Note.model_validate_json(content.members[ATTEMPT])
    return note.trainee if note.by == "person" and note.trainee != SOMEBODY else ""


def write(content: Content, path: Path, replace: bool = False) -> None:
    """Write what is shared; InputError if it is too large or something lies there already."""
    if path.suffix.lower() != EXTENSION:
        refuse(path, f"a shared file ends in {EXTENSION}")
    require_nothing_there(path, replace)
    data = packed(content)
    if max(len(data), sum(map(len, content.members.values()))) > MOST_BYTES:
        refuse(path, f"too large to be shared: more than {MOST_BYTES} bytes")
    write_atomic(path, data)


# --- opening -------------------------------------------------------------------------------------


def opened(path: Path) -> Opened:
    """Return what a shared file holds, checked as far as it can be without flying it.

    Raises InputError that says what is wrong. Nothing is written.
    """
    content = unpacked(path, contents_of(path, MOST_BYTES), ALLOWED)
    if content.manifest.kind == "drill":
        return _drill(path, content)
    return _run(path, content)


def _decoded(path: Path, content: Content, name: str) -> str:
    if name not in content.members:
        refuse(path, "a member that has to be there is missing", name)
    try:
        return content.members[name].decode("utf-8")
    except UnicodeDecodeError:
        refuse(path, "not UTF-8 text", name)


def _scenario(path: Path, text: str, name: str) -> Scenario:
    """Return a drill that can be set out; complaints name file and member."""
    drill = load_model(path / name, Scenario, text)
    for key, design in (("airframe", drill.airframe), ("site", drill.site)):
        if isinstance(design, str) and is_file(design):
            refuse(
                path, "must be in the drill itself, not in another file", f"{name}: {key}", design
            )
    if isinstance(drill.airframe, Airframe) and (
        problems := airframe_problems(str(path / name), drill.airframe)
    ):
        raise InputError(problems)
    try:
        drill.require_possible()
        drill.world(np.random.default_rng(0))
    except (ArithmeticError, ValueError) as error:
        refuse(path, f"no aircraft can be made of it: {str(error)[:100]}", name)
    return drill


def _drill(path: Path, content: Content) -> SharedDrill:
    text = _decoded(path, content, DRILL)
    return SharedDrill(content.manifest.name, _scenario(path, text, DRILL))


def _run(path: Path, content: Content) -> SharedRun:
    names = dict.fromkeys((*NEEDED, *content.members))
    texts = {name: _decoded(path, content, name) for name in names}
    ended = content.manifest.ended
    if ended is None or ended > time.time() + TOMORROW_S:
        refuse(path, "when it was over is missing, or has not come yet", "ended")
    try:
        note = Note.model_validate_json(texts[ATTEMPT])
    except ValidationError:
        refuse(path, "not a note of who tried", ATTEMPT)
    _require_good_words(path, texts)
    drill = _scenario(path, texts[SCENARIO], SCENARIO)
    try:
        _require_whole(texts, note)
    except Differs as error:
        refuse(path, str(error))
    return SharedRun(content.manifest.name, note, drill, dict(content.members), ended)


def _require_good_words(path: Path, texts: dict[str, str]) -> None:
    """Refuse own words and a signature that are none, or a signature for another run."""
    try:
        if OWN_WORDS in texts:
            OwnWords.model_validate_json(texts[OWN_WORDS])
    except ValidationError:
        refuse(path, "not a trainee's own words", OWN_WORDS)
    try:
        signed = SIGNED in texts and Signature.model_validate_json(texts[SIGNED])
    except ValidationError:
        refuse(path, "not an instructor's name under a check-out", SIGNED)
    if signed and signed.journal_sha256 != sha256(texts[JOURNAL].encode()):
        refuse(path, "signed for another run", SIGNED)


def _require_whole(texts: dict[str, str], note: Note) -> None:
    """Raise Differs unless journal, drill, trace and note belong together and end."""
    if texts[JOURNAL].count("\n") > MOST_STEPS:
        raise Differs(0, f"the journal is longer than any: over {MOST_STEPS} lines")
    lines = entries(texts[JOURNAL])
    seed, recorded = header_of(next(lines, None))
    if recorded != digest(texts[SCENARIO].encode()):
        raise Differs(0, f"{SCENARIO} is not the one recorded")
    if seed != note.seed:
        raise Differs(0, f"{ATTEMPT} states another seed than the journal")
    held_s, trace, tick = 0.0, None, 0
    for entry in lines:
        if trace is not None:
            raise Differs(entry.tick, "the journal goes on after its end")
        step, tick = step_of(entry), entry.tick
        held_s, trace = held_s + step.seconds, step.trace
    if held_s > MOST_HELD_S:
        raise Differs(
            tick, f"hands and sticks are moved for more than {MOST_HELD_S / 3600:g} hours"
        )
    if trace is None:
        raise Differs(tick, "the journal has no end: the attempt is unfinished")
    if digest(texts[TRACE].encode()) != trace:
        raise Differs(tick, f"{TRACE} is not the one recorded")


# --- laying down ---------------------------------------------------------------------------------


@contextmanager
def _aside(below: Path) -> Iterator[Path]:
    """Give a new hidden folder beside the place to be filled; it is gone afterwards, whatever happens."""
    part = below / f".{secrets.token_hex(8)}.part"
    part.mkdir(parents=True)
    try:
        yield part
    finally:
        shutil.rmtree(part, ignore_errors=True)


def put_run(run: SharedRun, folder: Path, also: Finished = nothing_else) -> Path:
    """Lay an opened run down as a run folder, its marks worked out anew; return the folder.

    folder : not there yet; it appears whole or not at all. also : what else is made of the run.
    Raises InputError if something lies there, Differs if the run can't be done again.
    """
    if folder.exists():
        raise InputError((Problem(str(folder), None, "", "", "lies there already"),))
    with _aside(folder.parent) as part:
        for name, data in run.members.items():
            write_atomic(part / name, data)
        record = replayed(part, verify=False).record()
        kept_card(record, run.note, part, also)
        os.utime(part / SCORECARD, (run.ended_s, run.ended_s))
        os.rename(part, folder)
    return folder


def put_drill(one: SharedDrill, folder: Path) -> Path:
    """Keep an opened drill among some drills, under a name that is free; return its file.

    The same drill that lies there already is not written twice.
    """
    text = _text(one.drill)
    folder.mkdir(parents=True, exist_ok=True)
    for path in numbered(folder, one.name, ".yaml"):
        if not path.exists():
            write_text_atomic(path, text)
        elif path.read_bytes() != text.encode():
            continue
        return path
    raise AssertionError("numbers do not end")


def place_of(run: SharedRun, below: Path) -> tuple[Path, bool]:
    """Return the folder below another for an opened run, and whether the same run lies there already."""
    kept = (ATTEMPT, JOURNAL)
    for folder in numbered(below, run.name, ""):
        if not folder.exists():
            return folder, False
        try:
            same = all((folder / name).read_bytes() == run.members[name] for name in kept)
        except OSError:
            continue
        if same and is_finished(folder):
            return folder, True
    raise AssertionError("numbers do not end")
