"""A drill begun in the window is fitted to whoever practises, and kept so in the run folder."""

from sim.session.journal import drill_of
from sim.session.scenario import load
from sim.window import start
from sim.window.practice import Practice
from tools.samples.drill import waited


def test_faults_drawn_at_the_edge_are_written_down_as_drawn(app, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sim.logbook.book.user_data", lambda: tmp_path)
    start.begin(app, load("lucky-dip"), "lucky-dip", 4)
    assert isinstance(app.drill, Practice)
    waited(app.drill)
    kept = drill_of(app.drill.folder)
    app.leave()
    assert kept.draw is None
    (fault,) = kept.faults
    assert isinstance(fault.severity, float)
    assert fault.variation is not None
