"""An attempt left in the middle is taken up where it was left, or scored as far as it went."""

import errno
import json
import shutil

import pytest

from sim.errors import InputError, Refusal
from sim.runs import kept_card, left_in_the_middle, replay, score, take_up
from sim.session import actions as act
from sim.session.attempt import ATTEMPT, SCORECARD, Note, noted
from sim.session.envelope import ENVELOPE, SCENARIO
from sim.session.folder import RunFolder, is_finished, under_way
from sim.session.journal import JOURNAL, TRACE, Differs, drill_of
from sim.session.scenario import load
from sim.trainees.driver import Hands
from sim.trainees.others import to_the_pad

NOTE = Note(trainee="a test", by="person", scenario="first-evening", seed=4)


@pytest.fixture(scope="module")
def half(tmp_path_factory, sticks):
    """Return (folder of an attempt left armed on the pad, fingerprint as it was left)."""
    folder = tmp_path_factory.mktemp("half") / "run"
    run = RunFolder.begin(folder, load("first-evening"), NOTE)
    hands = Hands(run.recorder, run.session)
    to_the_pad(hands)
    hands.do(act.Arm())
    hands.fly(sticks(0.3, roll=-0.25), 0.05)
    run.close()
    return folder, run.session.rig.fingerprint()


@pytest.fixture
def left(half, tmp_path):
    return shutil.copytree(half[0], tmp_path / "runs" / "run")


def finished(run):
    run.recorder.do(act.Disarm())
    run.recorder.do(act.Finish())
    return kept_card(run.finish(), run.note, run.folder)


def test_it_goes_on_from_the_very_bit(left, half, short):
    with take_up(left) as run:
        assert run.session.rig.fingerprint() == half[1]
        card = finished(run)
    assert (card["finished"], card["trainee"], card["seed"]) == (True, "a test", 4)
    assert replay(left) == run.session.rig.tick
    assert score(left) == card
    lines = (left / JOURNAL).read_bytes().splitlines()
    assert lines[: len((half[0] / JOURNAL).read_bytes().splitlines())] == (
        (half[0] / JOURNAL).read_bytes().splitlines()
    )


@pytest.mark.parametrize("torn", [b"x", b'{"act":{"do":"arm"},"sta', b"\0" * 300, b"\xff\xfe{"])
def test_a_torn_last_line_is_cut_off(left, half, torn):
    whole = (left / JOURNAL).read_bytes()
    (left / JOURNAL).write_bytes(whole + torn)
    with take_up(left) as run:
        assert run.session.rig.fingerprint() == half[1]
    assert (left / JOURNAL).read_bytes() == whole


def test_cut_anywhere_it_goes_on_with_what_was_whole(left, half):
    whole = (half[0] / JOURNAL).read_bytes()
    for size in range(0, len(whole), 97):
        (left / JOURNAL).write_bytes(whole[:size])
        with take_up(left):
            kept = whole[:size].count(b"\n")
            assert (left / JOURNAL).read_bytes().count(b"\n") == max(kept, 1)  # the header again
        assert not is_finished(left)


def test_a_line_changed_or_dropped_in_the_middle_is_no_place_to_go_on_from(left):
    lines = (left / JOURNAL).read_bytes().splitlines(keepends=True)
    for changed in ([*lines[:3], *lines[4:]], [lines[0].replace(b'"seed":4', b'"seed":5')]):
        (left / JOURNAL).write_bytes(b"".join(changed))
        with pytest.raises(Differs):
            take_up(left)
        assert (left / JOURNAL).read_bytes() == b"".join(changed)


def test_it_is_scored_as_far_as_it_went_and_never_cleared(left):
    card = score(left)
    assert (card["finished"], card["verdict"]) == (False, "stay on the bench")
    assert not (left / SCORECARD).exists()
    with pytest.raises(Differs, match="unfinished"):
        replay(left)


def test_the_note_and_the_drill_are_there_before_the_first_act(tmp_path):
    with RunFolder.begin(tmp_path / "run", load("first-evening"), NOTE):
        assert noted(tmp_path / "run") == NOTE
        assert drill_of(tmp_path / "run") == load("first-evening")
        assert (tmp_path / "run" / JOURNAL).read_text().count("\n") == 1


def test_one_program_at_a_time(left):
    with take_up(left):
        assert under_way(left)
        assert left_in_the_middle(left.parent) == []
        with pytest.raises(Refusal, match="under way"):
            take_up(left)
    assert [found.folder for found in left_in_the_middle(left.parent)] == [left]


def test_what_is_finished_is_not_taken_up_nor_overwritten(left):
    with take_up(left) as run:
        finished(run)
    before = {path.name: path.read_bytes() for path in left.iterdir()}
    assert left_in_the_middle(left.parent) == []
    for begins in (
        lambda: take_up(left),
        lambda: RunFolder.begin(left, load("first-evening"), NOTE),
        lambda: RunFolder.begin_or_reopen(left, load("first-evening"), NOTE),
    ):
        with pytest.raises(InputError, match="finished run"):
            begins()
    assert {path.name: path.read_bytes() for path in left.iterdir()} == before


def test_killed_before_its_scorecard_it_is_taken_up_and_scored(left):
    with take_up(left) as run:
        run.recorder.do(act.Disarm())
        run.recorder.do(act.Finish())
        run.finish()
    assert not is_finished(left)
    with take_up(left) as run:
        assert run.session.phase == "debrief"
        kept_card(run.finish(), run.note, run.folder)
    assert is_finished(left)
    assert replay(left) == run.session.rig.tick


@pytest.mark.parametrize("other", [{"seed": 5}, {"trainee": "another"}, {"by": "stand-in"}])
def test_anothers_unfinished_attempt_is_left_alone(left, other):
    note = NOTE.model_copy(update=other)
    with pytest.raises(InputError, match="another run"):
        RunFolder.begin_or_reopen(left, load("first-evening"), note)
    with pytest.raises(InputError, match="another run"):
        RunFolder.begin_or_reopen(left, load("club-loaner"), NOTE)


def test_a_scenario_of_ones_own_is_not_replaced(tmp_path):
    (tmp_path / SCENARIO).write_text("mine")
    with pytest.raises(InputError, match="would replace"):
        RunFolder.begin(tmp_path, load("first-evening"), NOTE)
    assert [path.name for path in tmp_path.iterdir()] == [SCENARIO]


@pytest.mark.parametrize("there", [(), (SCENARIO,)])
def test_killed_before_the_note_was_written_the_folder_is_free(tmp_path, there):
    (tmp_path / JOURNAL).touch()
    for name in there:
        (tmp_path / name).write_text("half a drill")
    with RunFolder.begin(tmp_path, load("first-evening"), NOTE) as run:
        finished_card = finished(run)
    assert finished_card["finished"]


def test_a_stand_ins_attempt_is_not_a_persons_to_take_up(left):
    note = NOTE.model_copy(update={"by": "stand-in"})
    (left / ATTEMPT).write_text(note.text())
    assert left_in_the_middle(left.parent) == []
    with pytest.raises(InputError, match="stand-in"):
        take_up(left)


def test_without_a_note_it_goes_on_by_the_journals_seed(left, half):
    (left / ATTEMPT).unlink()
    with take_up(left) as run:
        assert run.session.rig.fingerprint() == half[1]


def test_what_the_disk_refuses_goes_on_in_memory_and_is_saved_elsewhere(left, monkeypatch, sticks):
    run = take_up(left)
    size = (left / JOURNAL).stat().st_size

    def full(data):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(run._journal, "_append", full)
    run.recorder.advance(sticks(0.3), 0.05)
    assert run.trouble is not None
    assert str(left) in str(run.trouble.filename)
    assert (left / JOURNAL).stat().st_size == size
    with pytest.raises(OSError, match="No space"):
        finished(run)
    run.move(left.parent / "elsewhere")
    card = kept_card(run.finish(), run.note, run.folder)
    assert run.folder == left.parent / "elsewhere"
    assert replay(run.folder) == run.session.rig.tick
    assert json.loads((run.folder / SCORECARD).read_text()) == json.loads(json.dumps(card))
    assert not (left / TRACE).exists()


def test_a_deleted_folder_is_noticed_after_the_next_act(left):
    with take_up(left) as run:
        run.recorder.do(act.Disarm())
        run.sync()
        assert run.trouble is None
        shutil.rmtree(left)
        run.sync()
        assert isinstance(run.trouble, FileNotFoundError)


def test_the_folder_tells_nothing_of_what_is_hidden_until_the_attempt_is_over(left):
    hidden = [fault.id for fault in load("first-evening").faults]
    contents = [path.name + path.read_text() for path in left.iterdir()]
    assert hidden
    assert not any(fault in content for fault in hidden for content in contents)
    with take_up(left) as run:
        finished(run)
    assert load(str(left / SCENARIO)) == load("first-evening")
    assert not (left / ENVELOPE).exists()


@pytest.mark.parametrize("spoilt", ["", "x", "not packed", "eJwDAAAAAAE"])
def test_a_spoilt_envelope_is_no_drill(left, spoilt):
    whole = (left / ENVELOPE).read_text()
    (left / ENVELOPE).write_text(spoilt or whole[: len(whole) // 2])
    with pytest.raises(Differs, match="not the one recorded"):
        take_up(left)
