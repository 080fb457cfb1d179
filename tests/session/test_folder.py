"""The run folder: marks come from scenario and journal alone; the trace is as designed."""

import json

import numpy as np
import pytest

from sim.runs import rehearse, score
from sim.session.envelope import SCENARIO
from sim.session.journal import TRACE, Differs
from sim.session.scenario import load
from sim.session.trace import TRACE_COLUMNS
from sim.trainees.standins import Attempt


@pytest.mark.parametrize("stand_in", ["careful", "hasty", "clicker"])
def test_score_finds_the_card_that_rehearse_wrote(tmp_path, stand_in):
    folder = tmp_path / "run"
    card = rehearse(Attempt(load("second-hand"), stand_in, 3), "second-hand", folder)
    assert json.loads((folder / "scorecard.json").read_text()) == json.loads(json.dumps(card))
    (folder / "scorecard.json").unlink()
    (folder / TRACE).unlink()  # scenario and journal are enough
    assert score(folder) == card


def test_score_does_not_mark_another_drill(copied):
    path = copied / SCENARIO
    path.write_text(path.read_text().replace("severity: 0.5", "severity: 0.1"))
    with pytest.raises(Differs):
        score(copied)


def test_trace_is_100_hz_in_the_columns_of_the_design(short):
    header, *rows = (short / TRACE).read_text().splitlines()
    assert header == ",".join(TRACE_COLUMNS)
    assert TRACE_COLUMNS[:5] == (
        "time_s",
        "stick_roll",
        "stick_pitch",
        "stick_throttle",
        "stick_yaw",
    )
    times = np.array([float(row.split(",")[0]) for row in rows])
    assert np.allclose(np.diff(times), 0.01, atol=1e-6)  # s; nine digits are written
