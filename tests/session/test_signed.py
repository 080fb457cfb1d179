"""An instructor's name under a check-out: once, only there, and bound to the run."""

import json
from datetime import UTC, datetime

import pytest

from sim.errors import InputError, Refusal
from sim.session import actions as act
from sim.session.attempt import SCORECARD, Note
from sim.session.folder import RunFolder
from sim.session.journal import JOURNAL
from sim.session.scenario import load
from sim.session.signed import SIGNED, sign, signature_of, wants_signature

WHEN = datetime(2026, 5, 4, 19, 30, tzinfo=UTC)


def run_in(folder, drill="check-out", by="person", finished=True):
    note = Note(trainee="Ada", by=by, scenario=drill, seed=3)
    with RunFolder.begin(folder, load(drill), note) as run:
        if finished:
            run.recorder.do(act.Declare(verdict="stay on the bench"))
            run.finish()
            (folder / SCORECARD).write_text("{}")
    return folder


def test_an_instructor_signs_once(tmp_path):
    folder = run_in(tmp_path / "run")
    assert wants_signature(folder)
    assert signature_of(folder) is None
    made = sign(folder, "  Iris Made-Up ", WHEN)
    assert made == signature_of(folder)
    assert (made.instructor, made.at_utc) == ("Iris Made-Up", WHEN)
    assert not wants_signature(folder)
    with pytest.raises(Refusal, match="signed already"):
        sign(folder, "Somebody else", WHEN)
    assert signature_of(folder) == made


@pytest.mark.parametrize(
    ("drill", "finished", "why"),
    [("twins", True, "Only a club check-out"), ("check-out", False, "not over yet")],
)
def test_what_is_not_signed(tmp_path, drill, finished, why):
    folder = run_in(tmp_path / "run", drill, finished=finished)
    assert not wants_signature(folder)
    with pytest.raises(Refusal, match=why):
        sign(folder, "Iris", WHEN)
    assert not (folder / SIGNED).exists()


def test_only_what_a_person_did_is_signed_and_a_name_is_wanted(tmp_path):
    with pytest.raises(InputError, match="no attempt of a person"):
        sign(run_in(tmp_path / "careful", by="stand-in"), "Iris", WHEN)
    folder = run_in(tmp_path / "run")
    with pytest.raises(Refusal, match="Nobody's name"):
        sign(folder, "   ", WHEN)
    assert wants_signature(folder)


def test_a_name_under_another_run_or_one_that_is_spoiled_counts_for_nothing(tmp_path):
    folder, other = run_in(tmp_path / "run"), run_in(tmp_path / "other")
    sign(folder, "Iris", WHEN)
    (other / SIGNED).write_bytes((folder / SIGNED).read_bytes())
    assert signature_of(other) is not None  # the same acts, the same journal
    with (folder / JOURNAL).open("a") as journal:
        journal.write("\n")
    assert signature_of(folder) is None
    spoiled = json.loads((other / SIGNED).read_text()) | {"instructor": ""}
    (other / SIGNED).write_text(json.dumps(spoiled))
    assert signature_of(other) is None


def test_a_name_stays_text(tmp_path):
    folder = run_in(tmp_path / "run")
    assert sign(folder, "<script>\x1b[31m‮evil", WHEN).instructor == "<script>?[31m?evil"
