"""An aircraft of somebody's own: what its file says is kept in the run; its kind is measured first."""

import pytest
from rich.console import Console

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.textfile import dump_yaml, load_model
from sim.bench import evidence
from sim.bench.bands import file_of as bands_file
from sim.bench.evidence import has_tables, measured
from sim.bench.moves import file_of as moves_file
from sim.commands import measuring
from sim.runs import replay, score
from sim.session.scenario import Scenario, load


@pytest.fixture
def file(tmp_path, monkeypatch):
    """Return the file of an aircraft like the trainer, but for its name; its tables go to a folder apart."""
    monkeypatch.setattr("sim.bench.measured.own_tables", lambda: tmp_path / "tables")
    path = tmp_path / "kite.yaml"
    like = library.airframe(library.TRAINER).model_copy(update={"name": "kite"})
    path.write_text(dump_yaml(like), encoding="utf-8")
    return path


@pytest.fixture
def quick(monkeypatch):
    """Let measuring take no time: the trainer's bands are given out for those of its twin."""
    asked = []

    def bands(spread, airframe, builds, evenings, begins, done):
        asked.append(airframe)
        begins("Fresh aircraft", 1)
        done()
        return list(measured(library.TRAINER).bands.values())

    monkeypatch.setattr("sim.diagnosis.bandstudy.bands", bands)
    return asked


@pytest.mark.parametrize("command", ["rehearse", "demo"])
def test_it_is_measured_before_its_first_drill_and_never_again(
    dryhop, file, quick, command, tmp_path
):
    more = ("--no-window",) if command == "demo" else ()
    words = (command, "first-evening", "--airframe", file, *more)
    said = dryhop(*words, "--out", tmp_path / "one")
    assert said.code == 0, said.err
    assert "Nothing is measured yet of sound aircraft like kite." in said.err
    assert [one.name for one in quick] == ["kite"]
    assert has_tables(load_model(file, Airframe))
    said = dryhop(*words, "--out", tmp_path / "two")
    assert said.code == 0
    assert "measured" not in said.err
    assert len(quick) == 1


def test_a_study_of_drills_on_it_measures_it_first(dryhop, file, quick):
    said = dryhop("study", "first-evening", "--airframe", file, "--runs", 1, "--workers", 1)
    assert said.code == 0, said.err
    assert len(quick) == 1


def test_its_run_is_done_again_when_the_file_says_something_else_or_is_gone(
    dryhop, file, quick, tmp_path
):
    run = tmp_path / "run"
    assert dryhop("rehearse", "first-evening", "--airframe", file, "--out", run).code == 0
    ticks, card = replay(run), score(run)
    heavy = library.airframe(library.TRAINER).model_copy(update={"mass_kg": 1.6, "name": "kite"})
    file.write_text(dump_yaml(heavy), encoding="utf-8")
    assert replay(run) == ticks
    file.unlink()
    assert replay(run) == ticks
    assert score(run)["points"] == card["points"]
    kept = load_model(run / "scenario.yaml", Scenario)
    assert isinstance(kept.airframe, Airframe)
    assert kept.airframe.mass_kg == 1.5


def test_a_run_whose_tables_are_gone_is_measured_again(dryhop, file, quick, tmp_path):
    run = tmp_path / "run"
    assert dryhop("rehearse", "first-evening", "--airframe", file, "--out", run).code == 0
    bands_file(load_model(file, Airframe)).unlink()
    evidence.measured.cache_clear()
    for command in ("replay", "score"):
        assert dryhop(command, run).code == 0
    assert len(quick) == 2


def test_what_a_changed_file_says_has_tables_of_its_own(file):
    one = load_model(file, Airframe)
    other = one.model_copy(update={"mass_kg": 1.51})
    assert len({bands_file(one), bands_file(other), moves_file(one)}) == 3
    assert bands_file(one) == bands_file(str(file))  # by file or in full


@pytest.mark.parametrize("name", ["../sly", "a/b", "é\\x"])
def test_a_name_never_leads_out_of_the_folder_of_tables(file, tmp_path, name):
    sly = load_model(file, Airframe).model_copy(update={"name": name})
    assert bands_file(sly).parent == tmp_path / "tables" / "bands"


def test_a_site_of_ones_own_is_kept_in_the_run_too(tmp_path):
    path = tmp_path / "loft.yaml"
    warm = library.site("lockup-garage").model_copy(
        update={"name": "loft", "temperature_degc": 21.0}
    )
    path.write_text(dump_yaml(warm), encoding="utf-8")
    drill = load("first-evening").on(None, None, str(path))
    path.unlink()
    assert load_model(tmp_path / "x", Scenario, dump_yaml(drill)) == drill
    assert drill.designed().site.temperature_degc == 21.0


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--airframe", "trainer-245mm", "airframe: trainer-245mm: not a known airframe; nearest: trainer-254mm"),
        ("--airframe", "gone.yaml", "gone.yaml: not a file beside the drill or here"),
        ("--site", "club-hal", "site: club-hal: not a known site; nearest: club-hall"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("command", ["rehearse", "demo", "practise", "study"])
def test_what_is_not_there_is_told_by_every_command(dryhop, command, option, value, says):
    said = dryhop(command, "first-evening", option, value)
    assert said.code == 2
    assert says in said.err


def test_measuring_needs_no_file_once_it_is_read(file, quick, tmp_path):
    airframe = load_model(file, Airframe)
    file.unlink()
    measuring.measured_first(Console(), airframe)
    assert has_tables(airframe)
    assert measured(airframe).bands.keys() == measured(library.TRAINER).bands.keys()
