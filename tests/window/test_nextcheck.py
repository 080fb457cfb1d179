"""The next check in words: outcomes, what they would mean, what is needed first."""

import pytest

from sim.aircraft.library import TRAINER
from sim.diagnosis.nextcheck import NOTHING, REFUSAL, NextCheck, Outcome
from sim.diagnosis.table import shipped
from sim.keys import CheckKey
from sim.window.nextcheck import PROPELLERS, first, line_told, meaning, told


@pytest.mark.parametrize(
    ("check", "line", "words"),
    [
        ("stick-display", NOTHING, "everything within its bands"),
        ("switches", REFUSAL, "the controller will not arm for it"),
        ("field-turn", "once_a_turn_ut above", "“swing once a turn” above its band"),
        ("weigh-and-balance", "mass_kg above", "“mass” above its band"),
        ("propellers-in-hand", "rear_left_hand_sign below", "“hand of the blade” out of its band at a corner"),
        ("light-on-legs", "{place}_command_share either", "“command, each corner” out of its band"),
        ("settings-sheet", "roll.p now above", "“roll P gain, set now” above its band"),
    ],
)  # fmt: skip
def test_an_outcome_in_words(check: CheckKey, line: str, words: str) -> None:
    assert line_told(check, line, TRAINER) == words


def test_every_line_of_the_shipped_table_has_words():
    lines = {(row.check, row.best_line) for row in shipped() if row.best_line}
    assert len(lines) > 100
    for check, line in lines:
        told_ = line_told(check, line, TRAINER)  # type: ignore[arg-type]
        assert "_" not in told_, (check, line)
        assert "{" not in told_, (check, line)


OUTCOME = Outcome(
    NOTHING, 0.6, (((), 0.7), (("cg-offset", "over-mass"), 0.29), (("cg-offset",), 0.01))
)


def test_what_an_outcome_would_mean():
    assert meaning("stick-display", OUTCOME, TRAINER) == (
        "everything within its bands: none 70 in 100, cg-offset and over-mass 29 in 100"
    )


def test_a_check_with_what_it_takes_and_what_comes_first():
    found = NextCheck("light-on-legs", 0.25, 4.5, ("Fit the propellers first.",), "Goggles on.", True, (OUTCOME,))  # fmt: skip
    assert (
        told(found)
        == "Light on the legs for two seconds, then down: 4.5 min, propellers on, 0.25 bit expected"
    )
    assert first(found) == [PROPELLERS, "Fit the propellers first.", "Goggles on."]
    assert first(found._replace(propellers_on=False, caution="")) == ["Fit the propellers first."]
