"""Small real studies, the shipped tables, and the study command."""

import json
from dataclasses import replace

import pytest

from sim import cli
from sim.bench import bands, moves
from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.bench.moves import Move
from sim.commands.ends import BAD_INPUT, FINE, NO
from sim.diagnosis import summary, table
from sim.diagnosis.moved import HARMLESS
from sim.diagnosis.pool import here, on_cores
from sim.diagnosis.readings import (
    AIRFRAME,
    TECHNICAL,
    Batch,
    SoundEvening,
    evening_shown,
    load_model,
    prepared,
    put_back,
    trial,
    twin,
)
from sim.diagnosis.sound import Shown
from sim.diagnosis.study import (
    BUILDS_APART,
    LOOKS,
    SEVERITIES,
    WORST,
    Study,
    graded,
    harmless,
    seeds,
)
from sim.errors import InputError
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.scoring.detection import wilson
from sim.session.actions import Read
from sim.session.scenario import load
from sim.session.session import Session

FAULTS: tuple[FaultId, ...] = ("pitch-channel-reversed", "level-trim-off")
FEW: tuple[CheckKey, ...] = ("propellers", "stick-display", "level-and-still")


def study(spread, runs, evenings=0):
    """Return a study by the shipped bands."""
    return Study(spread, bands.bands(AIRFRAME), AIRFRAME, runs, sound=6, evenings=evenings)


@pytest.fixture(scope="module")
def small():
    """Return what is measured of two faults by three checks."""
    return study(here, 4).measured(FAULTS, FEW)


def test_each_fault_is_revealed_by_its_own_check_only(small):
    own = {"pitch-channel-reversed": "stick-display", "level-trim-off": "level-and-still"}
    for fault in FAULTS:
        for check in FEW:
            if own[fault] == check:
                assert small.detections[fault, check, 0.8].power >= 0.75
                assert small.moves[fault, check]
            else:
                assert (fault, check, 0.8) not in small.detections
                assert small.detections[fault, check, WORST].power == 0.0
                assert small.moves[fault, check] == ()


def test_a_check_the_fault_does_not_reach_is_left_at_the_first_looks(small):
    blind = small.detections["pitch-channel-reversed", "propellers", WORST]
    assert blind.readings_n == 2  # the same bits twice
    assert blind.power_high == wilson(0, 2)[1]
    assert small.detections["level-trim-off", "level-and-still", 0.8].readings_n == 4


def test_what_has_no_degrees_is_read_as_often_and_counts_at_each_severity(small):
    found = {s: small.detections["pitch-channel-reversed", "stick-display", s] for s in SEVERITIES}
    assert {one.readings_n for one in found.values()} == {12}
    assert {one.power for one in found.values()} == {1.0}
    marks = {m.measure: m for m in small.moves["pitch-channel-reversed", "stick-display"]}
    assert (marks["pitch_low_share"].side, marks["pitch_low_share"].power) == ("above", 1.0)
    assert (marks["pitch_high_share"].side, marks["pitch_high_share"].power) == ("below", 1.0)


def test_a_fault_by_degrees_begins_as_a_deviation(small):
    mild = small.detections["level-trim-off", "level-and-still", HARMLESS]
    plain = small.detections["level-trim-off", "level-and-still", WORST]
    assert mild.power < plain.power == 1.0
    assert plain.area > 0.9
    assert plain.area_to_harmless > mild.area_to_harmless == 0.5


@pytest.mark.parametrize(
    ("fault", "degrees", "mild"),
    [
        ("level-trim-off", True, True),
        ("pitch-channel-reversed", False, False),
        ("rate-gain-high", True, False),
    ],
)
def test_which_faults_have_degrees_and_which_begin_harmless(fault, degrees, mild):
    assert (graded(fault, AIRFRAME), harmless(fault, AIRFRAME)) == (degrees, mild)


def test_each_severity_has_builds_of_its_own_and_the_worst_those_without_a_fault():
    drawn = {s: set(seeds(s, 8)) for s in SEVERITIES}
    assert drawn[WORST] == set(range(8))
    assert len(set().union(*drawn.values())) == 8 * len(SEVERITIES)
    assert BUILDS_APART % 2 == 0  # halves by even and odd stay halves


def test_processes_give_the_same_tables_as_one(small):
    with on_cores(2, load_model) as spread:
        again = study(spread, 4).measured(FAULTS, FEW)
    assert again.moves == small.moves
    assert repr(again.detections) == repr(small.detections)  # NaN is no equal of itself


def test_a_sound_evening_is_read_twice_and_something_is_done_between():
    for nth, name in enumerate(("read again", "calibrated", "renewed")):
        rounds = evening_shown(SoundEvening(nth, 5))
        assert list(rounds) == ["first round", name]
        assert {check for check, _ in rounds["first round"]} == set(CHECKS)
        assert {check for check, _ in rounds[name]} == set(CHECKS)
    first, last = rounds["first round"], rounds["renewed"]
    assert first["pack-at-rest", "lowest_cell_v"] != last["pack-at-rest", "lowest_cell_v"]
    assert first["people-and-room", "goggles_on"] == [0.0]
    assert last["people-and-room", "goggles_on"] == [1.0]


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
    sound = prepared(Batch(None, 0.0, 1, ("pad-look",)), "pad-look")
    rates = [trial(one, "pad-look").values["rate_deg_s"] for one in (session, sound)]
    assert rates[0] > rates[1] + 1.0


def test_readings_are_taken_without_the_bookkeeping_of_the_score(monkeypatch):
    def asked(*_):
        raise AssertionError("nobody is scored here")

    monkeypatch.setattr("sim.session.flying.present_faults", asked)
    monkeypatch.setattr("sim.session.watch.FlightWatch.unsafe", asked)
    batch = Batch(None, 0.0, 1, ("light-on-legs",))
    found = trial(prepared(batch, "light-on-legs"), "light-on-legs")
    assert found.values["throttle_share"] > 0.3


def test_touch_after_looks_back_on_a_run():
    session = prepared(Batch(None, 0.0, 1, ("touch-after",)), "touch-after")
    reads = [e.action for e in session.record().events if isinstance(e.action, Read)]
    assert [r.check for r in reads] == ["restrained-run-up"]
    assert trial(session, "touch-after").values


def test_what_breaks_off_is_kept_and_the_rest_goes_on(monkeypatch):
    def fails(rig):
        raise ZeroDivisionError("by design")

    monkeypatch.setitem(CHECKS, "propellers", replace(CHECKS["propellers"], take=fails))
    found = study(here, 2).measured(FAULTS[:1], ("propellers", "stick-display"))
    assert {check for _, check, _ in found.detections} == {"stick-display"}
    assert len(found.broken) == 6 + LOOKS + 6  # sound, looks, and all six builds again
    assert "by design" in found.broken[0]


# --- the tables -----------------------------------------------------------------------------------


def rows_of(found):
    return [table.row_of(*key, found=one) for key, one in found.detections.items()]


def test_table_reads_back_as_written(small, tmp_path):
    file = tmp_path / "detection.csv"
    table.save(rows_of(small), file)
    assert repr(list(table.read(file))) == repr(rows_of(small))


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
    table.save(rows_of(small), file)
    file.write_text(damage(file.read_text(encoding="utf-8")), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        table.read(file)
    at = caught.value.problems[0].line or 0
    assert at == line if line else at > 1


def test_a_missing_table_is_bad_input(tmp_path):
    with pytest.raises(InputError, match="can't be read"):
        table.read(tmp_path / "none.csv")


def a_row(check, severity, power, false_alarm=0.0, fault="level-trim-off", area=0.5):
    low, high = wilson(round(20 * power), 20)
    shares = (power, low, high, false_alarm, 20, 0.0, "", 0.0, power, 0.025, power, 0.0, area, area)
    return table.Row(fault, check, severity, *shares, version="0")


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


# --- the summary ----------------------------------------------------------------------------------


def some_table():
    """Return three faults by degrees, at two severities."""
    faults = ("level-trim-off", "cg-offset", "over-mass")
    mild = [a_row("six-faces", 0.0, p, 0.02, f) for f, p in zip(faults, (0, 0.5, 0.8), strict=True)]
    return table.Table([*mild, *(a_row("six-faces", 0.5, 0.85, 0.01, f) for f in faults)])


def test_summary_has_median_and_quartiles_at_each_severity():
    lines = summary.summary(some_table()).splitlines()
    assert lines[2].startswith("| 0 | 0.50 (0.25–0.65) |")
    assert lines[3].startswith("| 0.5 | 0.85 (0.85–0.85) |")
    assert lines[4].startswith("| sound | mean 0.010 | mean 0.025 | mean 0.000 |")


def test_summary_goes_between_its_markers():
    before = f"head\n{summary.BEGIN}\nstale words\n{summary.END}\ntail\n"
    after = summary.with_summary(before, some_table())
    assert after is not None
    assert "stale words" not in after
    assert after.startswith("head\n")
    assert after.endswith("tail\n")
    assert summary.with_summary(after, some_table()) == after
    assert summary.with_summary("no markers", some_table()) is None


def test_faults_called_too_seldom_and_those_in_doubt_are_counted():
    assert set(summary.weak(some_table())) == {"cg-offset", "level-trim-off", "over-mass"}
    assert not summary.weak(table.Table([a_row("six-faces", 0.5, 0.9)]))
    assert summary.in_doubt(summary.at(some_table(), ("cg-offset", "over-mass"), 0.0)) == 2
    assert summary.in_doubt(summary.at(some_table(), ("level-trim-off",), 0.0)) == 0


def test_false_calls_count_faults_and_evenings():
    marks = [
        Move("cg-offset", "rails", "v", "above", 1.0, -float("inf"), 2.0),
        Move("over-mass", "rails", "v", "either", 1.0, -5.0, 3.0),
    ]
    evenings: list[Shown] = [{("rails", "v"): [v]} for v in (0.0, 2.5, 3.5, -6.0)]
    found = summary.false_calls(evenings, marks)
    assert found == summary.FalseCalls(evenings=4, calling=3, faults=1.0)
    assert summary.false_calls([], marks) is None


def test_curves_are_drawn_the_same_each_time(tmp_path):
    from sim.diagnosis.curves import draw

    files = draw(some_table(), tmp_path)
    assert [f.name for f in files] == [
        "detection.svg",
        "detection-sensing.svg",
        "detection-airframe.svg",
    ]
    first = [f.read_bytes() for f in files]
    assert b"level-trim-off" in first[1]
    assert [f.read_bytes() for f in draw(some_table(), tmp_path)] == first
    assert draw(table.Table([]), tmp_path) == []


# --- the shipped tables ---------------------------------------------------------------------------


def test_shipped_table_covers_every_fault_and_check():
    there = {(row.fault, row.check) for row in table.shipped()}
    assert not [(f, c) for f in CATALOGUE for c in CHECKS if (f, c) not in there]


def test_every_technical_fault_is_revealed_before_takeoff():
    assert table.shipped().gaps() == ()


def test_every_fault_but_those_of_the_air_has_a_line():
    """Propellers on at the bench have none: whoever stands there sees them."""
    known = {m.fault for marks in moves.moves(AIRFRAME).values() for m in marks}
    lacking = [n for n, f in CATALOGUE.items() if n not in known and not f.only_in_the_air]
    assert lacking == ["props-on-at-bench"]


def test_each_shipped_move_is_of_a_band_and_its_limits_lie_outside_it():
    shipped = bands.bands(AIRFRAME)
    for where, marks in moves.moves(AIRFRAME).items():
        band: Band = shipped[where]
        for m in marks:
            assert m.low <= band.low_inner
            assert m.high >= band.high_inner


def technical():
    return [fault for fault in CATALOGUE.values() if fault.family in TECHNICAL]


SHOWN = 0.5  # share; at its worst a fault shows at least so often where the catalogue says it does


def test_what_the_catalogue_says_reveals_or_proves_was_measured_to():
    shipped = table.shipped()
    weak = [
        (fault.id, check)
        for fault in technical()
        for check in dict.fromkeys(fault.revealed_by + fault.proved_by)
        if not (row := shipped.row(fault.id, check, WORST)) or max(row.power, row.doubtful) < SHOWN
    ]
    assert not weak


def test_each_technical_fault_is_called_by_a_check_that_the_catalogue_names():
    shipped = table.shipped()
    assert not [
        fault.id
        for fault in technical()
        if not set(shipped.sensitive_checks(fault.id)) & set(fault.revealed_by)
    ]


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
    assert document["separations"][0]["auc"] == 1.0


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
        ("study", "--bands", "--site", "club-hall"),
        ("study", "--bands", "--airframe", "trainer-254m"),
    ],
)
def test_bad_input_exits_two(monkeypatch, words):
    assert run(monkeypatch, *words) == BAD_INPUT


def test_detection_command_writes_tables_and_says_no_for_gaps(monkeypatch, capsys, tmp_path):
    from sim.commands import measuring as commands

    few = (("pitch-channel-reversed",), ("stick-display", "propellers"))
    monkeypatch.setattr(commands, "everything", lambda: few)
    words = ("study", "--detection", "--runs", "2", "--workers", "1", "--out", str(tmp_path))
    code = run(monkeypatch, *words, "--json")
    document = json.loads(capsys.readouterr().out)
    assert code == NO  # the other faults were not measured
    file = tmp_path / "detection.csv"
    assert table.read(file).sensitive_checks("pitch-channel-reversed") == ("stick-display",)
    assert "pitch-channel-reversed" not in document["gaps"]
    assert not document["broken"]
    assert document["documents"] == []
    assert "roll-channel-reversed" in document["not_measured"]
    assert "roll-channel-reversed" in document["without_line"]
    assert "pitch-channel-reversed" not in document["without_line"]
    kept = [replace(row, power=0.25) for row in table.read(file)]
    table.save(kept, file)
    marks = moves.read(moves.file_of(AIRFRAME, tmp_path))
    assert {m.check for m in marks} == {"stick-display"}
    other = replace(marks[0], check="propellers", measure="fitted")
    moves.save([other], moves.file_of(AIRFRAME, tmp_path))
    run(monkeypatch, *words, "--only", "stick-display")
    power = {row.check: row.power for row in table.read(file) if row.severity == WORST}
    assert power == {"stick-display": 1.0, "propellers": 0.25}
    again = moves.read(moves.file_of(AIRFRAME, tmp_path))
    assert [m for m in again if m.check == "stick-display"] == marks
    assert other in again


def test_new_lines_take_the_places_of_old_ones():
    order = ("stick-display", "level-and-still")
    old = [a_row(check, s, 0.1) for check in reversed(order) for s in (0.8, 0.5)]
    gone = replace(old[0], check="no-more")
    new = [a_row("stick-display", 0.5, 0.9)]
    rows = table.renewed([*old, gone], new)
    wanted = [(check, s) for check in CHECKS if check in order for s in (0.5, 0.8)]
    assert [(row.check, row.severity) for row in rows] == wanted
    assert [row.power for row in rows if row.check == "stick-display"] == [0.9, 0.1]


def test_bands_command_writes_what_sound_builds_show(monkeypatch, capsys, tmp_path):
    file = bands.file_of(AIRFRAME, tmp_path)
    words = ("study", "--bands", "--runs", "2", "--evenings", "3", "--workers", "1")
    assert run(monkeypatch, *words, "--out", str(tmp_path), "--json") == FINE
    document = json.loads(capsys.readouterr().out)
    rows = bands.read(file)
    assert document["measures"] == len(rows)
    assert {check for check, _ in rows} == set(CHECKS)
    assert {(row.builds, row.evenings) for row in rows.values()} == {(2, 3)}
    sheet = rows["settings-sheet", "roll.p sheet"]
    assert sheet.low_outer == sheet.high_outer == 0.06
    goggles = rows["people-and-room", "goggles_on"]
    assert (goggles.low_inner, goggles.high_inner) == (0.0, 1.0)
    assert run(monkeypatch, *words, "--out", str(tmp_path)) == FINE
    assert f"{len(rows)} measures" in capsys.readouterr().out
    assert bands.read(file) == rows


def test_powers_of_another_airframe_never_replace_the_usual_ones(monkeypatch, capsys, tmp_path):
    from sim.commands import measuring as commands
    from sim.diagnosis import table as powers_kept

    marks, powers = tmp_path / "moves.csv", tmp_path / "powers.csv"
    usual = powers_kept.file_of().read_bytes()
    few = (("pitch-channel-reversed",), ("stick-display",))
    monkeypatch.setattr(commands, "everything", lambda: few)
    monkeypatch.setattr(powers_kept, "table_file", lambda kind, airframe, folder: powers)
    monkeypatch.setattr(moves, "file_of", lambda airframe, folder=None: marks)
    words = ("study", "--detection", "--runs", "2", "--workers", "1", "--airframe", "indoor-57mm")
    assert run(monkeypatch, *words, "--json") == NO  # the other faults were not measured
    document = json.loads(capsys.readouterr().out)
    assert document["files"] == [str(powers), str(marks)]
    assert document["documents"] == []
    assert {m.fault for m in moves.read(marks)} == {"pitch-channel-reversed"}
    assert powers_kept.file_of().read_bytes() == usual
    own, whose = powers_kept.measured_for("indoor-57mm")
    assert whose == "indoor-57mm"
    assert {(row.fault, row.check) for row in own} == {("pitch-channel-reversed", "stick-display")}
