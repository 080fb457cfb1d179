"""`dryhop sheet`: what the window's build sheet shows, line for line, and nothing else."""

import json

import pytest

from sim.aircraft import library
from sim.bench.bands import bands
from sim.paths import assets_dir
from sim.window.buildsheet import judged, section


@pytest.mark.parametrize("name", [library.TRAINER, "indoor-57mm"])
def test_every_line_of_the_page_is_printed_with_its_source(dryhop, name):
    said = dryhop("sheet", name, "--json")
    assert (said.code, said.err) == (0, "")
    rows = json.loads(said.out)
    of = judged(name)
    parts = [section(library.airframe(name), of, at, {}) for at in range(1 + len(of))]
    assert [(r["check"], r["line"], r["normal"], r["limits"], r["source"]) for r in rows] == [
        (part.check, line.words, line.normal, line.limit, line.source)
        for part in parts
        for line in part.lines
    ]
    assert all(row["normal"] and row["source"] for row in rows)
    assert {(r["check"], r["measure"]) for r in rows if r["check"]} <= set(bands(name))


def test_it_reads_as_a_table(dryhop):
    said = dryhop("sheet")
    assert (said.code, said.err) == (0, "")
    for words in ("As designed", "Weigh and balance", "heavy forward by", "Source: measured on"):
        assert words in said.out


def test_one_not_measured_shows_its_design_and_says_how_to_measure(dryhop, tmp_path):
    shipped = library.airframe(library.TRAINER)
    file = tmp_path / "mine.yaml"
    text = (assets_dir() / "airframes" / f"{library.TRAINER}.yaml").read_text()
    file.write_text(text.replace(f"name: {shipped.name}", "name: mine"))
    said = dryhop("sheet", str(file))
    assert said.code == 0
    assert "mass, ready to fly" in said.out
    assert f"dryhop study --bands --airframe {file}" in said.err


def test_an_unknown_one_is_refused_with_the_nearest(dryhop):
    said = dryhop("sheet", "trainer-254")
    assert said.code == 2
    assert library.TRAINER in said.err
