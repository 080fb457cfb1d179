"""Runs and drills given away and opened again; and strangers' files, as spoiled as they come."""

import json
import random
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sim.aircraft import library
from sim.aircraft.textfile import dump_yaml, load_model
from sim.errors import DryhopError, InputError
from sim.logbook.book import Book
from sim.pages.debrief import DEBRIEF
from sim.pages.debrief import write as page
from sim.runs import replay, score, worked_out
from sim.session.attempt import ATTEMPT, SCORECARD, noted
from sim.session.envelope import SCENARIO
from sim.session.journal import JOURNAL, TRACE, Differs, digest
from sim.session.ownwords import OWN_WORDS, keep_words, own_words, words_of
from sim.session.scenario import Scenario, load
from sim.session.signed import SIGNED, Signature, signature_of
from sim.sharing.container import Content, listed, packed, sha256
from sim.sharing.shared import (
    DRILL,
    MOST_HELD_S,
    SharedDrill,
    SharedRun,
    drill_content,
    opened,
    place_of,
    put_drill,
    put_run,
    run_content,
    shared,
    write,
)
from tools.fuzz import judged
from tools.spoil import bytes_spoiled, contents_of, journal_of, journal_spoiled, json_spoiled

ENDED_S = 1.7e9  # s since 1970; any time gone by


def given(tmp_path, data, name="given"):
    path = tmp_path / f"{name}.dryhop"
    path.write_bytes(data)
    return path


def remade(kind, members, ended=ENDED_S, name="evening"):
    """Return a shared file of these members, all its digests right."""
    return packed(Content(listed(kind, name, "1.0", members, ended), members))


def anew(members, **changes):
    """Return the members of a run, some of them changed, journal and digests agreeing again."""
    members = members | changes
    lines = contents_of(members[JOURNAL])
    lines[0]["scenario"] = digest(members[SCENARIO])
    lines[-1]["trace"] = digest(members[TRACE])
    return members | {JOURNAL: journal_of(lines).encode()}


def left_over(folder):
    return sorted(path.name for path in folder.rglob("*") if path.name.startswith("."))


def run_in(path: Path) -> SharedRun:
    one = opened(path)
    assert isinstance(one, SharedRun)
    return one


def drill_in(path: Path) -> SharedDrill:
    one = opened(path)
    assert isinstance(one, SharedDrill)
    return one


# --- there and back --------------------------------------------------------------------------------


def test_a_run_comes_out_as_it_went_in(tmp_path, run_folder):
    file = tmp_path / "evening.dryhop"
    write(run_content(run_folder), file)
    one = run_in(file)
    assert (one.name, one.note.trainee, one.note.seed) == ("first-evening", "a person", 4)
    folder, there = place_of(one, tmp_path / "opened")
    assert not there
    assert put_run(one, folder, page) == folder
    for name in (SCENARIO, JOURNAL, TRACE, ATTEMPT):
        assert (folder / name).read_bytes() == (run_folder / name).read_bytes(), name
    assert json.loads((folder / SCORECARD).read_text()) == score(run_folder)
    assert (folder / DEBRIEF).read_text().count("<html") == 1
    assert replay(folder) == replay(run_folder)
    ended = [(place / SCORECARD).stat().st_mtime for place in (run_folder, folder)]
    assert ended[0] == pytest.approx(ended[1], abs=0.01)
    assert place_of(one, tmp_path / "opened") == (folder, True)
    assert left_over(tmp_path) == []


def test_the_logbook_takes_it_when_told_to(tmp_path, run_data):
    one = run_in(given(tmp_path, run_data))
    put_run(one, tmp_path / "opened" / "evening-1")
    with Book(tmp_path / "book.sqlite") as book:
        assert book.sync(tmp_path / "opened", anew=True) == 1
        [attempt] = book.attempts("a person")
        assert attempt.drill == "first-evening"


def test_marks_are_worked_out_and_not_taken_on_trust(tmp_path, run_folder):
    card = json.loads((run_folder / SCORECARD).read_text())
    (run_folder / SCORECARD).write_text(json.dumps(card | {"points": 100.0}))
    file = tmp_path / "evening.dryhop"
    write(run_content(run_folder), file)
    folder = put_run(run_in(file), tmp_path / "into")
    assert json.loads((folder / SCORECARD).read_text())["points"] == card["points"] < 100.0


def test_another_run_of_the_same_name_gets_another_folder(tmp_path, run_data, a_run):
    first = run_in(given(tmp_path, run_data))
    put_run(first, place_of(first, tmp_path)[0])
    other = run_in(given(tmp_path, packed(run_content(a_run, nameless=True)), "nameless"))
    assert other.note.trainee == "somebody"
    folder, there = place_of(other, tmp_path)
    assert (folder.name, there) == ("first-evening-2", False)


def test_own_words_go_with_the_name_and_not_without(tmp_path, run_folder, members):
    said = own_words(["slow hands"], [], datetime(2026, 11, 1, tzinfo=UTC))
    keep_words(run_folder, said)
    assert OWN_WORDS not in run_content(run_folder, nameless=True).members
    folder = put_run(run_in(given(tmp_path, packed(run_content(run_folder)))), tmp_path / "into")
    assert words_of(folder) == said
    for bad in (b"{}", b"[", b'{"plus": ["\\u202e"], "at_utc": "2026-11-01T00:00:00Z"}'):
        with pytest.raises(InputError, match="own words"):
            opened(given(tmp_path, remade("run", members | {OWN_WORDS: bad})))


def test_a_signature_goes_with_its_run_and_with_no_other(tmp_path, run_folder, members):
    def signed(journal):
        signature = Signature(
            instructor="An Instructor",
            at_utc=datetime(2026, 11, 1, tzinfo=UTC),
            journal_sha256=sha256(journal),
        )
        return json.dumps(signature.model_dump(mode="json")).encode()

    (run_folder / SIGNED).write_bytes(signed(members[JOURNAL]))
    assert SIGNED not in run_content(run_folder, nameless=True).members
    folder = put_run(run_in(given(tmp_path, packed(run_content(run_folder)))), tmp_path / "into")
    assert signature_of(folder) == signature_of(run_folder) is not None
    with pytest.raises(InputError, match="signed for another run"):
        opened(given(tmp_path, remade("run", members | {SIGNED: signed(b"another")})))
    with pytest.raises(InputError, match="under a check-out"):
        opened(given(tmp_path, remade("run", members | {SIGNED: b"{}"})))


def test_only_a_finished_run_is_shared(tmp_path, run_folder):
    (run_folder / SCORECARD).unlink()
    with pytest.raises(InputError, match="not a finished run"):
        shared(str(run_folder))
    with pytest.raises(InputError, match="not a run folder"):
        shared(str(tmp_path))


def test_a_drill_takes_its_aircraft_with_it(tmp_path):
    own = library.airframe(library.TRAINER)
    mine = own.model_copy(update={"name": "my-own", "mass_kg": own.mass_kg * 1.01})
    (tmp_path / "my-own.yaml").write_text(dump_yaml(mine))
    text = "title: Mine\nstory: ''\npurpose: Try.\norigin: invented\nairframe: my-own.yaml\n"
    (tmp_path / "drill.yaml").write_text(text)
    file = tmp_path / "a.dryhop"
    write(shared(str(tmp_path / "drill.yaml")), file)
    (tmp_path / "my-own.yaml").unlink()
    one = drill_in(file)
    path = put_drill(one, tmp_path / "drills")
    assert path.name == "drill-1.yaml"
    assert load(str(path)).airframe == mine
    assert put_drill(one, tmp_path / "drills") == path
    other = one._replace(drill=one.drill.model_copy(update={"title": "Another"}))
    assert put_drill(other, tmp_path / "drills").name == "drill-2.yaml"
    assert left_over(tmp_path) == []


def test_nothing_is_written_over(tmp_path):
    content = drill_content("first-evening")
    file = tmp_path / "a.dryhop"
    write(content, file)
    with pytest.raises(InputError, match="lies there already"):
        write(content, file)
    write(content, file, replace=True)
    with pytest.raises(InputError, match="ends in"):
        write(content, tmp_path / "a.zip")
    one = drill_in(file)
    assert load(str(put_drill(one, tmp_path / "d"))) == load("first-evening")


def test_a_run_folder_is_not_written_over(tmp_path, run_data):
    (tmp_path / "into").mkdir()
    with pytest.raises(InputError, match="lies there already"):
        put_run(run_in(given(tmp_path, run_data)), tmp_path / "into")


# --- what does not belong together -----------------------------------------------------------------


@pytest.fixture
def members(a_run):
    return dict(run_content(a_run).members)


def refused(tmp_path, data, says):
    with pytest.raises(InputError) as told:
        opened(given(tmp_path, data))
    assert says in str(told.value)
    assert [path.name for path in tmp_path.iterdir() if path.name != "given.dryhop"] in (
        [],
        ["whole"],
    )


def test_parts_of_two_runs(tmp_path, members):
    assert opened(given(tmp_path, remade("run", anew(members))))
    other = members[SCENARIO] + b"# another\n"
    refused(tmp_path, remade("run", members | {SCENARIO: other}), "scenario.yaml is not the one")
    refused(tmp_path, remade("run", members | {TRACE: b"x\n"}), "trace.csv is not the one")
    note = members[ATTEMPT].replace(b'"seed": 4', b'"seed": 5')
    refused(tmp_path, remade("run", members | {ATTEMPT: note}), "another seed")
    refused(tmp_path, remade("run", members | {ATTEMPT: b"{}"}), "not a note")
    refused(tmp_path, remade("run", members | {JOURNAL: b"\xff\xfe"}), "not UTF-8")
    lines = members[JOURNAL].splitlines(keepends=True)
    refused(tmp_path, remade("run", members | {JOURNAL: b"".join(lines[:-1])}), "unfinished")
    for name in (SCENARIO, JOURNAL, TRACE, ATTEMPT):
        rest = {key: data for key, data in members.items() if key != name}
        refused(tmp_path, remade("run", rest), "has to be there is missing")


def test_an_end_that_has_not_come_or_is_not_stated(tmp_path, members):
    refused(tmp_path, remade("run", members, ended=9e10), "has not come yet")
    refused(tmp_path, remade("run", members, ended=None), "is missing")


def test_hands_that_are_moved_for_a_day(tmp_path, members):
    lines = contents_of(members[JOURNAL])
    held = next(line for line in lines if "seconds" in line)
    held["seconds"] = 60.0
    many = [*lines[:-1], *[held] * int(MOST_HELD_S / 60.0 + 1), lines[-1]]
    journal = journal_of(many).encode()
    refused(tmp_path, remade("run", members | {JOURNAL: journal}), "more than 4 hours")


def test_a_run_that_the_simulation_does_not_give_again_is_left_out_whole(tmp_path, members):
    lines = contents_of(members[JOURNAL])
    lines[2]["tick"] += 1
    changed = members | {JOURNAL: journal_of(lines).encode()}
    one = run_in(given(tmp_path, remade("run", changed)))
    with pytest.raises(Differs, match="goes on at tick"):
        put_run(one, tmp_path / "into" / "run")
    assert list((tmp_path / "into").iterdir()) == []


def test_a_disk_that_takes_no_more_leaves_nothing_behind(tmp_path, run_data):
    def full(*_):
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space"):
        put_run(run_in(given(tmp_path, run_data)), tmp_path / "into" / "run", full)
    assert list((tmp_path / "into").iterdir()) == []


DRILL_TEXT = "title: T\npurpose: P\norigin: invented\n"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a: &a [x]\nb: *a\n", "anchors"),
        ("title: !!python/object/apply:os.system [ls]\n", "tags are not allowed"),
        (DRILL_TEXT + "seed: 1e400\n", "seed"),
        (DRILL_TEXT + f"careful_min: {'9' * 400}\n", "careful_min"),
        (DRILL_TEXT + "story: \"\\u202eevil\"\n", "U+202E"),
        (DRILL_TEXT + "story: \"\\x1b[2J\"\n", "U+001B"),
        (DRILL_TEXT + "airframe: /etc/passwd.yaml\n", "in the drill itself"),
        (DRILL_TEXT + "site: ../site.yml\n", "in the drill itself"),
        (DRILL_TEXT + "airframe: no-such\n", "not a known airframe"),
        (DRILL_TEXT + "rung: 7\n", "rung"),
        (DRILL_TEXT + "faults: [{id: no-such}]\n", "not a known fault"),
        ("[" * 100_000, "nested"),
        ("x", "key: value"),
        ("", "empty"),
    ],
)  # fmt: skip
def test_a_drill_of_a_stranger(tmp_path, text, says):
    refused(tmp_path, remade("drill", {DRILL: text.encode()}, None), says)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"cells": 4}, "must be those of the pack"),
        ({"pack": "no-such"}, "not one of the shipped packs"),
        ({"propeller": {"table": "5x9"}}, "5x9"),
    ],
)
def test_an_airframe_of_a_stranger_that_is_none(tmp_path, change, says):
    drill = load("first-evening").model_dump(mode="json")
    own = library.airframe(library.TRAINER).model_dump(mode="json")
    for key, value in change.items():
        own[key] = own[key] | value if isinstance(value, dict) else value
    text = dump_yaml(drill | {"airframe": own | {"name": "own"}})
    refused(tmp_path, remade("drill", {DRILL: text.encode()}, None), says)


# --- spoiled ones ----------------------------------------------------------------------------------


def spoiled(kind, content, chance):
    """Return a shared file with something wrong in it: anywhere, or in a member with right digests."""
    members = dict(content.members)
    way = chance.random()
    if way < 0.3:
        return bytes_spoiled(packed(content), chance)
    if way < 0.4:
        told = json.loads(json_spoiled(content.manifest.text().encode(), chance))
        try:
            manifest = content.manifest.model_validate(told)
        except ValueError:
            return bytes_spoiled(packed(content), chance)
        whole = manifest.model_copy(update={"sha256": manifest.right_digest})
        return packed(replace_manifest(content, whole))
    name = chance.choice(sorted(members))
    if name == JOURNAL:
        members[name] = journal_spoiled(members[name], chance)
    elif name == ATTEMPT:
        members[name] = json_spoiled(members[name], chance)
    else:
        members[name] = bytes_spoiled(members[name], chance)
        if kind == "run":
            members = anew(members)
    if any(len(data) > 1 << 24 for data in members.values()):
        members[name] = b""
    return remade(kind, members, content.manifest.ended)


def replace_manifest(content, manifest):
    return content._replace(manifest=manifest)


def in_full():
    """Return a drill with airframe and site in full, where most numbers can be spoiled."""
    whole = {"airframe": library.airframe("trainer-254mm"), "site": library.site("lockup-garage")}
    drill = load("first-evening").model_copy(update=whole)
    members = {DRILL: dump_yaml(drill).encode()}
    return Content(listed("drill", "own", "1.0", members, None), members)


@pytest.mark.parametrize("files", [400, pytest.param(10_000, marks=pytest.mark.slow)])
def test_a_spoiled_file_is_refused_in_one_line_or_taken_whole(tmp_path, a_run, files):
    goods = {"run": [run_content(a_run)], "drill": [drill_content("lucky-dip"), in_full()]}
    came = {"refused": 0, "taken": 0, "differs": 0}
    for n in range(files):
        chance = random.Random(files * 1_000_003 + n)
        kind = chance.choice(("run", "drill", "drill"))
        path = given(tmp_path, spoiled(kind, chance.choice(goods[kind]), chance))
        into = tmp_path / f"into-{n}"
        try:
            one = opened(path)
        except InputError as error:
            judged(["open"], 2, "", f"{error}\n")
            came["refused"] += 1
            continue
        came[_taken(one, into)] += 1
        shutil.rmtree(into)
    assert [path.name for path in tmp_path.iterdir()] == ["given.dryhop"]
    assert came["refused"] > 0.4 * files
    assert came["taken"] > 0.05 * files


def _taken(one, into: Path) -> str:
    """Lay down what was opened; return what came of it. What is laid down must be whole."""
    if isinstance(one, SharedDrill):
        path = put_drill(one, into)
        assert load_model(path, Scenario) == one.drill
        return "taken"
    try:
        folder = put_run(one, into / "run")
    except DryhopError as error:
        judged(["open"], 1, "", f"{error}\n")
        assert list(into.iterdir()) == []
        return "differs"
    assert noted(folder) == one.note
    card = worked_out(folder)[1]
    assert json.loads((folder / SCORECARD).read_text()) == json.loads(json.dumps(card))
    assert left_over(into) == []
    return "taken"
