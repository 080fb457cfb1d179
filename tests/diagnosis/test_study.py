"""Small real studies, the shipped detection table, and the study command."""

import json
from dataclasses import replace
from importlib.util import find_spec

import pytest

from sim import cli
from sim.bench import bands
from sim.bench.checklist import CHECKS
from sim.commands.ends import BAD_INPUT, FINE, NO
from sim.diagnosis import table
from sim.diagnosis.attempts import Result, attempts, calls, studied
from sim.diagnosis.pool import here, on_cluster, on_cores
from sim.diagnosis.study import (
    LOOKS,
    MIDDLING,
    SEVERITIES,
    TECHNICAL,
    Batch,
    Study,
    load_model,
    prepared,
    put_back,
    trial,
    twin,
)
from sim.errors import DryhopError, InputError, Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.scoring.detection import wilson
from sim.session.actions import Read
from sim.session.scenario import load
from sim.session.session import Session

FAULTS: tuple[FaultId, ...] = ("pitch-channel-reversed", "level-trim-off")
FEW: tuple[CheckKey, ...] = ("propellers", "stick-display", "level-and-still")


@pytest.fixture(scope="module")
def small():
    """Return the detections of two faults by three checks."""
    return Study(here, 6).detections(FAULTS, FEW)


def test_each_fault_is_revealed_by_its_own_check_only(small):
    own = {"pitch-channel-reversed": "stick-display", "level-trim-off": "level-and-still"}
    for fault in FAULTS:
        for check in FEW:
            found = small[fault, check, 0.5]
            assert found.power == (1.0 if own[fault] == check else 0.0)
            assert found.false_alarm == 0.0


def test_a_check_the_fault_does_not_reach_is_left_at_the_first_looks(small):
    blind = small["pitch-channel-reversed", "propellers", 0.5]
    assert blind.readings_n == 2  # the same bits twice
    assert blind.power_high == wilson(0, 6)[1]
    assert small["level-trim-off", "level-and-still", 0.5].readings_n == 6
    assert small["level-trim-off", "level-and-still", 0.8].readings_n >= 3


def test_processes_give_the_same_table_as_one(small):
    with on_cores(2, load_model) as spread:
        assert Study(spread, 6).detections(FAULTS, FEW) == small


def test_a_twin_goes_its_own_way():
    session = Session(load("first-evening"), 3)
    before = session.rig.fingerprint()
    other = twin(session)
    first, second = trial(other, "propellers"), trial(twin(session), "propellers")
    assert session.rig.fingerprint() == before
    assert not session.record().events
    assert first.same(second)


def test_a_fault_undone_on_the_way_to_a_check_is_put_back_for_it():
    """Propellers are fitted without power, and the start that follows is a still one."""
    batch = Batch("gyro-bias-moved", 0.5, 1, ("pad-look",))
    session = prepared(batch, "pad-look")
    gyro = CATALOGUE["gyro-bias-moved"]
    assert not gyro.present(session.truth())
    put_back(session)
    assert gyro.present(session.truth())
    assert (session.view().conduct.place, session.view().conduct.props_fitted) == ("pad", True)
    assert trial(session, "pad-look").flagged


def test_touch_after_looks_back_on_a_run():
    session = prepared(Batch(None, 0.0, 1, ("touch-after",)), "touch-after")
    reads = [e.action for e in session.record().events if isinstance(e.action, Read)]
    assert reads[-1] == Read(check="restrained-run-up")
    assert trial(session, "touch-after").values


def test_what_breaks_off_is_kept_and_the_rest_goes_on(monkeypatch):
    def fails(rig):
        raise ZeroDivisionError("by design")

    monkeypatch.setitem(CHECKS, "propellers", replace(CHECKS["propellers"], take=fails))
    study = Study(here, 2)
    found = study.detections(FAULTS[:1], ("propellers", "stick-display"))
    assert {check for _, check, _ in found} == {"stick-display"}
    assert len(study.broken) == 2 + len(LOOKS) + 4  # two seeds at 0.5, one each beside
    assert "by design" in study.broken[0]


# --- the table ------------------------------------------------------------------------------------


def test_table_reads_back_as_written(small, tmp_path):
    rows = [table.row_of(*key, found=found) for key, found in small.items()]
    file = tmp_path / "detection.csv"
    table.save(rows, file)
    assert list(table.read(file)) == rows


@pytest.mark.parametrize(
    ("damage", "line"),
    [
        (lambda text: text.replace("power_low", "lowest"), 1),
        (lambda text: text.replace(",0.5,", ",much,", 1), None),
        (lambda text: text + "a,b\n", None),
    ],
)
def test_a_damaged_table_is_named_with_its_line(small, tmp_path, damage, line):
    file = tmp_path / "detection.csv"
    text = table.text([table.row_of(*key, found=found) for key, found in small.items()])
    file.write_text(damage(text), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        table.read(file)
    (problem,) = caught.value.problems
    assert problem.line == line if line else (problem.line or 0) > 1


def test_a_missing_table_is_bad_input(tmp_path):
    with pytest.raises(InputError, match="can't be read"):
        table.read(tmp_path / "none.csv")


def a_row(check, severity, power, false_alarm=0.0):
    low, high = wilson(round(20 * power), 20)
    return table.Row(
        "level-trim-off", check, severity, power, low, high, false_alarm, 20, 0.0, "", 0.0, 0.0, "0"
    )


def test_power_between_severities_lies_on_a_straight_line():
    rows = [a_row("level-and-still", s, p) for s, p in ((0.3, 0.4), (0.5, 0.8), (0.8, 1.0))]
    asked = table.Table(rows)
    seen = [asked.power("level-trim-off", "level-and-still", s) for s in (0.1, 0.4, 0.5, 0.8, 0.9)]
    assert seen == pytest.approx([0.4, 0.6, 0.8, 1.0, 1.0])
    assert asked.power("level-trim-off", "propellers") == 0.0


def test_a_check_that_cries_wolf_is_not_sensitive():
    rows = [a_row("propellers", 0.5, 1.0, 0.5), a_row("level-and-still", 0.5, 0.9)]
    asked = table.Table(rows)
    assert asked.sensitive_checks("level-trim-off") == ("level-and-still",)
    assert "level-trim-off" not in asked.gaps()
    assert "pitch-channel-reversed" in asked.gaps()


def test_summary_goes_between_its_markers():
    measured = table.Table([a_row("level-and-still", 0.5, 0.9)])
    before = f"head\n{table.BEGIN}\nstale words\n{table.END}\ntail\n"
    after = table.with_summary(before, measured)
    assert after is not None
    assert "stale words" not in after
    assert "| `level-trim-off` |" in after
    assert "`level-and-still` | 0.90" in after
    assert after.startswith("head\n")
    assert after.endswith("tail\n")
    assert table.with_summary(after, measured) == after
    assert table.with_summary("no markers", measured) is None


def test_shipped_table_covers_every_fault_and_check():
    shipped = table.shipped()
    missing = [
        (fault, check)
        for fault in CATALOGUE
        for check in CHECKS
        if shipped.row(fault, check) is None
    ]
    assert not missing


def test_every_technical_fault_is_revealed_before_takeoff():
    assert table.shipped().gaps() == ()


def technical():
    return [fault for fault in CATALOGUE.values() if fault.family in TECHNICAL]


def test_what_the_catalogue_says_reveals_or_proves_was_measured_to():
    shipped = table.shipped()
    weak = [
        (fault.id, check)
        for fault in technical()
        for check in dict.fromkeys(fault.revealed_by + fault.proved_by)
        if not (row := shipped.row(fault.id, check)) or not row.sensitive
    ]
    assert not weak


def test_what_was_measured_to_reveal_is_in_the_catalogue():
    """By a reading, at middling severity and at high; refusing to arm is not a reading."""
    shipped = table.shipped()
    untold = [
        (fault.id, check)
        for fault in technical()
        for check in CHECKS
        if check not in fault.revealed_by
        and all(
            (row := shipped.row(fault.id, check, severity)) is not None
            and row.sensitive
            and row.power - row.revealed_by_refusal >= table.SENSITIVE
            for severity in (MIDDLING, max(SEVERITIES))
        )
    ]
    assert not untold


# --- studies of drills ----------------------------------------------------------------------------


def result(stand_in, points, hidden=(), noticed=(), false=0):
    return Result("d", stand_in, 0, "cleared to hop", points, hidden, noticed, false, 0)


def test_careful_and_hasty_are_told_apart():
    drills = {"first-evening": load("first-evening")}
    document = studied(attempts(drills, ("careful", "hasty"), 2, here))
    assert document["separation"]["auc"] == 1.0
    assert document["stand_ins"]["careful"]["verdicts"] == {"cleared to hop": 2}
    noticed = document["stand_ins"]["hasty"]["faults"]["noticed"]
    assert noticed == 2  # the visitor in each run, whom it asks to leave; the channel in neither
    assert document["by_drill"]["first-evening"]["careful"]["cleared"] == 2


def test_a_stand_in_stuck_at_a_refusal_counts_as_far_as_it_went(monkeypatch):
    from sim.trainees import standins

    def gives_up(hands, scenario, rng):
        raise Refusal("by design", "over")

    monkeypatch.setitem(standins.STAND_INS, "hasty", gives_up)
    (one,) = attempts({"first-evening": load("first-evening")}, ("hasty",), 1, here)
    assert (one.stuck, one.verdict) == (True, "stay on the bench")


def test_calls_count_each_fault_of_the_catalogue_once_an_attempt():
    seen = calls([result("careful", 90.0, FAULTS, FAULTS[:1], 2), result("careful", 80.0)])
    assert (seen.hits, seen.misses, seen.false_alarms) == (1, 1, 2)
    assert seen.signals + seen.noises == 2 * len(CATALOGUE)


def test_no_sensitivity_without_calls_or_with_few_items():
    silent = studied([result("hasty", 20.0, FAULTS) for _ in range(10)])
    assert silent["stand_ins"]["hasty"]["d_prime_words"] == "no calls made"
    assert silent["stand_ins"]["hasty"]["d_prime"] is None
    assert silent["separation"] is None


# --- the command ----------------------------------------------------------------------------------


def run(monkeypatch, *words):
    """Return the exit code of a command."""
    monkeypatch.setattr("sys.argv", ["dryhop", *words])
    with pytest.raises(SystemExit) as caught:
        cli.main()
    return caught.value.code


def test_study_of_a_drill_prints_one_document(monkeypatch, capsys):
    words = ("study", "first-evening", "--stand-ins", "careful,hasty", "--runs", "1")
    assert run(monkeypatch, *words, "--workers", "1", "--json") == FINE
    document = json.loads(capsys.readouterr().out)
    assert document["stand_ins"]["careful"]["attempts"] == 1
    assert document["separation"]["auc"] == 1.0


def test_study_of_a_drill_in_words(monkeypatch, capsys):
    words = ("study", "first-evening", "--stand-ins", "hasty", "--runs", "1", "--workers", "1")
    assert run(monkeypatch, *words) == FINE
    assert "hasty" in capsys.readouterr().out


@pytest.mark.parametrize(
    "words",
    [
        ("study",),
        ("study", "--detection", "first-evening"),
        ("study", "first-evenin"),
        ("study", "first-evening", "--stand-ins", "carefull"),
        ("study", "first-evening", "--stand-ins", ","),
        ("study", "first-evening", "--runs", "0"),
        ("study", "first-evening", "--only", "rails"),
        ("study", "--detection", "--only", "railz"),
        ("study", "--bands", "--detection"),
        ("study", "--detection", "--evenings", "3"),
        ("study", "first-evening", "--airframe", "club-trainer-450"),
        ("study", "--bands", "--airframe", "club-trainer-45"),
    ],
)
def test_bad_input_exits_two(monkeypatch, words):
    assert run(monkeypatch, *words) == BAD_INPUT


def test_detection_command_writes_table_and_says_no_for_gaps(monkeypatch, capsys, tmp_path):
    from sim.commands import measuring as commands

    few = (("pitch-channel-reversed",), ("stick-display", "propellers"))
    monkeypatch.setattr(commands, "everything", lambda: few)
    file = tmp_path / "detection.csv"
    words = ("study", "--detection", "--runs", "4", "--workers", "1", "--out", str(file), "--json")
    code = run(monkeypatch, *words)
    document = json.loads(capsys.readouterr().out)
    assert code == NO  # the other faults were not measured
    assert table.read(file).sensitive_checks("pitch-channel-reversed") == ("stick-display",)
    assert "pitch-channel-reversed" not in {gap["fault"] for gap in document["gaps"]}
    assert not document["broken"]
    assert "roll-channel-reversed" in document["not_measured"]
    kept = [replace(row, power=0.25) for row in table.read(file)]
    table.save(kept, file)
    run(monkeypatch, *words, "--only", "stick-display")
    power = {row.check: row.power for row in table.read(file) if row.severity == 0.5}
    assert power == {"stick-display": 1.0, "propellers": 0.25}


def test_new_lines_take_the_places_of_old_ones():
    order = ("stick-display", "level-and-still")
    old = [a_row(check, s, 0.1) for check in reversed(order) for s in (0.8, 0.5)]
    gone = replace(old[0], check="no-more")
    new = [a_row("stick-display", 0.5, 0.9)]
    rows = table.renewed([*old, gone], new)
    wanted = [(check, s) for check in CHECKS if check in order for s in (0.5, 0.8)]
    assert [(row.check, row.severity) for row in rows] == wanted
    assert [row.power for row in rows if row.check == "stick-display"] == [0.9, 0.1]


@pytest.mark.skipif(find_spec("distributed") is not None, reason="a cluster can be asked here")
def test_a_cluster_without_its_package_says_what_to_install():
    with pytest.raises(DryhopError, match=r"dryhop\[cluster\]"), on_cluster("tcp://nowhere:1"):
        pass


def test_bands_command_writes_what_sound_builds_show(monkeypatch, capsys, tmp_path):
    file = tmp_path / "bands" / "club-trainer-450.csv"
    words = ("study", "--bands", "--runs", "2", "--evenings", "3", "--workers", "1")
    assert run(monkeypatch, *words, "--out", str(file), "--json") == FINE
    document = json.loads(capsys.readouterr().out)
    rows = bands.read(file)
    assert document["measures"] == len(rows)
    assert {check for check, _ in rows} == set(CHECKS)
    assert {(row.builds, row.evenings) for row in rows.values()} == {(2, 3)}
    sheet = rows["settings-sheet", "roll.p sheet"]
    assert sheet.low_outer == sheet.high_outer == 0.06
    goggles = rows["people-and-room", "goggles_on"]
    assert (goggles.low_inner, goggles.high_inner) == (0.0, 1.0)
    assert run(monkeypatch, *words, "--out", str(file)) == FINE
    assert f"{len(rows)} measures" in capsys.readouterr().out
    assert bands.read(file) == rows
