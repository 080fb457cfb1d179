"""What a person has done before, told from the run folders."""

import json

from sim.runs import done_before
from sim.scoring.scorecard import CLEARED
from sim.session.attempt import ATTEMPT, SCORECARD, Note
from sim.session.envelope import kept_in
from sim.session.journal import JOURNAL


def run_in(place, name, drill, verdict, trainee="Ada", by="person"):
    folder = place / name
    folder.mkdir(parents=True)
    note = Note(trainee=trainee, by=by, scenario=drill, seed=1)
    (folder / ATTEMPT).write_text(note.text())
    for path in (kept_in(folder), folder / JOURNAL):
        path.write_text("")
    if verdict:
        (folder / SCORECARD).write_text(json.dumps({"verdict": verdict}))
    return folder


def test_a_drill_counts_as_cleared_once_it_ever_was_and_only_for_who_did_it(tmp_path):
    run_in(tmp_path, "a", "twins", "stay on the bench")
    run_in(tmp_path, "b", "twins", CLEARED)
    run_in(tmp_path, "c", "twins", "stay on the bench")
    run_in(tmp_path, "d", "open-day", "stay on the bench")
    run_in(tmp_path, "e", "late-train", CLEARED, trainee="Bo")
    run_in(tmp_path, "f", "second-hand", CLEARED, by="stand-in")
    run_in(tmp_path, "g", "new-shelf", "")  # left in the middle
    (run_in(tmp_path, "h", "club-loaner", CLEARED) / SCORECARD).write_text("{")
    assert done_before(tmp_path, trainee="Ada") == {"twins": True, "open-day": False}
    assert done_before(tmp_path) == {"twins": True, "open-day": False, "late-train": True}
    assert done_before(tmp_path / "nothing") == {}
