"""How the careful go by doubtful readings, and what they do about a finding."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.bench.bands import Band
from sim.bench.evidence import Measured
from sim.bench.moves import Move, by_measure
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.procedure.cards import in_hand
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


@pytest.mark.parametrize(
    ("mass_kg", "cause", "again"),
    [(1.81, "over-mass", True), (1.79, "over-mass", False), (1.81, "cg-offset", False)],
)
def test_what_still_speaks_plainly_for_a_claim_is_read_again(mass_kg, cause, again):
    band = Band(SCALES, "mass_kg", 1.2, 1.4, 1.5, 1.6, 1.8, 1, 0)
    move = Move("over-mass", SCALES, "mass_kg", "above", 0.9, float("-inf"), 1.7)
    claim = found(cause, "mass_kg").squawk
    view = SimpleNamespace(
        squawks={claim.item: claim},
        readings={SCALES: Reading(SCALES, {"mass_kg": mass_kg})},
        cards=in_hand(blank=False, hopped=False),
    )
    table = Measured({(SCALES, "mass_kg"): band}, by_measure([move]))
    hands: Any = SimpleNamespace(see=lambda: view, measured=table)
    left = Careful(hands, np.random.default_rng(1)).unproved()
    assert [item.check for _, item in left] == ([SCALES] if again else [])
