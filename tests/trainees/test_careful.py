"""How the careful go by doubtful readings, and what they do about a finding."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.trainees import careful
from sim.trainees.careful import Careful
from sim.trainees.craftwork import claim
from sim.trainees.judges.finding import found

SCALES: CheckKey = "weigh-and-balance"
PLAIN = replace(found("over-mass", "mass_kg"), plain=True)
DOUBTFUL = found("over-mass", "mass_kg")
OTHER = found("cg-offset", "heavy_right_mm")


class Eyes:
    """Hands whose eye sees one list of findings after another, and that keep what is written."""

    def __init__(self, looks, squawks=()):
        self.looks = list(looks)
        self.squawks = {s.item: s for s in squawks}

    def suspects(self, reading):
        return self.looks.pop(0)

    def do(self, action):
        self.squawks[action.item] = action

    def see(self):
        return SimpleNamespace(squawks=self.squawks)


@pytest.fixture(autouse=True)
def _reads(monkeypatch):
    monkeypatch.setattr(careful, "read", lambda hands, check: Reading(check, {}))


def looked(looks, squawks=()):
    hands: Any = Eyes(looks, squawks)
    return Careful(hands, np.random.default_rng(1)).looked(SCALES)[1], hands


@pytest.mark.parametrize(
    ("looks", "stand"),
    [
        ([[]], []),
        ([[PLAIN]], [PLAIN]),
        ([[DOUBTFUL], []], []),
        ([[DOUBTFUL], [DOUBTFUL]], [DOUBTFUL]),
        ([[DOUBTFUL], [PLAIN]], [PLAIN]),
        ([[DOUBTFUL], [OTHER]], []),
        ([[PLAIN, OTHER], [PLAIN, OTHER]], [PLAIN, OTHER]),
    ],
)
def test_what_is_doubtful_is_looked_at_twice(looks, stand):
    findings, hands = looked(looks)
    assert findings == stand
    assert hands.looks == []


def test_a_new_part_counts_as_sound_unless_it_is_plainly_not():
    before = (DOUBTFUL.squawk,)
    assert looked([[DOUBTFUL], [DOUBTFUL]], before)[0] == []
    assert looked([[PLAIN]], before)[0] == [PLAIN]


def test_a_suspicion_is_written_down_once():
    hands: Any = Eyes([])
    claim(hands, DOUBTFUL)
    claim(hands, replace(PLAIN, squawk=PLAIN.squawk.model_copy(update={"confidence": 1})))
    assert list(hands.squawks.values()) == [DOUBTFUL.squawk]
    claim(hands, found("leg-snag-or-bent", "rocks_mm", item=DOUBTFUL.squawk.item))
    assert hands.squawks[DOUBTFUL.squawk.item].cause == "leg-snag-or-bent"
