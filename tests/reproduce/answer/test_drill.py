"""A drill from a report: searched until it shows, flown with several seeds, written as a valid file."""

import pytest

from sim.commands.validating import checked
from sim.errors import InputError, Refusal
from sim.reproduce.answer.drill import (
    SEEDS,
    Wanted,
    agrees,
    made,
    plainly,
    require_quiet,
    scenario_of,
    severities,
    text,
    told,
)
from sim.reproduce.answer.story import Told
from sim.reproduce.causes import Cause
from sim.session.scenario import Scenario, load
from tests.worlds import TRAINER

CAUSE = Cause(("cg-offset",), 3.0, "nose heavy", (0.2, 0.5, 0.8), 4)
WANTED = Wanted(TRAINER, Told("It leaned: at once, and far.", ()), ("rolled-left", "drifted-left"))


class Flown:
    """Flights as somebody would invent them: what shows at which severity, and with which seed."""

    def __init__(self, from_severity, shown=("rolled-left", "drifted-left"), not_with=(), sound=()):
        self.from_severity, self.shown, self.not_with = from_severity, shown, not_with
        self.sound = frozenset(sound)
        self.flights = []

    def __call__(self, drill: Scenario, seed: int) -> frozenset[str]:
        severity = drill.faults[0].severity if drill.faults else 0.0
        self.flights.append((severity, seed))
        there = drill.faults and severity >= self.from_severity and seed not in self.not_with
        return self.sound | frozenset(self.shown if there else ())


def test_the_likeliest_severity_first_then_its_ends_then_the_worst():
    assert severities(CAUSE) == [0.5, 0.8, 0.2, 0.9, 1.0]
    assert severities(CAUSE._replace(severity=(1.0, 1.0, 1.0))) == [1.0]


def test_it_is_handed_over_when_most_flights_show_it():
    flies = Flown(0.3)
    found = made(CAUSE, WANTED, flies)
    assert found.drill is not None
    (fault,) = found.drill.faults
    assert (fault.id, fault.severity, fault.variation) == ("cg-offset", 0.5, 4)
    assert flies.flights == [*((0.0, s) for s in SEEDS), *((0.5, s) for s in SEEDS)]
    assert [(one.severity, one.good) for one in found.tries] == [(0.5, SEEDS)]
    assert found.drill.seed == SEEDS[0]


def test_a_milder_one_that_does_not_show_is_made_worse():
    found = made(CAUSE, WANTED, Flown(0.85))
    assert [(one.severity, one.shows) for one in found.tries] == [
        (0.5, False), (0.8, False), (0.2, False), (0.9, True),
    ]  # fmt: skip
    assert found.drill is not None
    assert found.drill.faults[0].severity == 0.9


def test_most_flights_are_enough_and_the_seed_is_one_that_shows_it():
    found = made(CAUSE, WANTED, Flown(0.0, not_with=SEEDS[:2]))
    assert found.drill is not None
    assert found.tries[0].good == SEEDS[2:]
    assert found.drill.seed == SEEDS[2]
    assert "Severity 0.5: it shows in 3 of 5 flights." in told(found, CAUSE)


def test_less_than_most_is_not_enough_and_what_was_tried_is_said():
    found = made(CAUSE, WANTED, Flown(0.0, not_with=SEEDS[:3]))
    assert found.drill is None
    assert [one.shows for one in found.tries] == [False] * 5
    lines = told(found, CAUSE)
    assert lines[0] == "To be shown: it rolled to the left, it slid to the left."
    assert lines[1] == "Severity 0.5: it shows in 2 of 5 flights."
    assert lines[2] == "  Seen in all of them: nothing."
    assert "no drill was written" in lines[11]


def test_half_of_what_was_reported_must_show():
    seen = frozenset({"leaned", "slid"})
    assert agrees(("leaned", "rang", "rose", "slid"), seen, frozenset())
    assert agrees(("rang", "leaned", "slid"), seen, frozenset())
    assert not agrees(("leaned", "rang", "rose"), frozenset({"leaned"}), frozenset())


def test_plainly_is_with_what_was_reported_first():
    seen = frozenset({"leaned", "slid"})
    assert plainly(("leaned", "rang", "slid"), seen, frozenset())
    assert not plainly(("rang", "leaned", "slid"), seen, frozenset())
    assert plainly(("rang", "leaned", "slid"), seen, frozenset({"rang"}))
    assert not plainly(("leaned", "rang", "rose"), frozenset({"leaned"}), frozenset())


def test_without_what_was_reported_first_in_any_flight_there_is_no_drill():
    wanted = WANTED._replace(symptoms=("flipped", *WANTED.symptoms))
    found = made(CAUSE, wanted, Flown(0.0))
    assert found.tries[0].shows
    assert found.drill is None


def test_what_a_sound_one_does_too_proves_nothing():
    seen = frozenset({"leaned", "slid"})
    assert not agrees(("leaned", "rang"), seen, frozenset({"leaned", "slid"}))
    assert not agrees(("leaned",), seen, seen)
    assert agrees((), seen, frozenset({"slid"}))
    assert not agrees((), seen, seen)


def test_none_makes_no_drill():
    with pytest.raises(Refusal, match="no fault"):
        made(Cause((), 0.0), WANTED, Flown(0.0))


def test_what_shows_nothing_in_the_hop_says_why():
    lucky = Cause(("low-volt-alarm-unset",), 0.0, None, (0.5, 0.5, 0.5))
    found = made(lucky, WANTED, Flown(2.0))
    assert any("alarm" in line for line in told(found, lucky)[-1:])


def test_the_file_is_valid_and_the_same_drill(tmp_path):
    found = made(CAUSE, WANTED, Flown(0.3))
    assert found.drill is not None
    path = tmp_path / "brought-on-friday.yaml"
    path.write_text(text(found.drill, told(found, CAUSE)))
    assert checked(path) == load(str(path)) == found.drill
    assert load(str(path)).seed == SEEDS[0]
    assert path.read_text().startswith("# Drill made from a report; a simulation")
    assert "Propellers come off before any bench check" in path.read_text()


def test_a_pair_is_put_in_as_one():
    pair = Cause(("cg-offset", "over-mass"), 0.0, None, (0.3, 0.4, 0.5), 2)
    drill = scenario_of(pair, 0.4, WANTED)
    assert [(f.id, f.severity, f.variation) for f in drill.faults] == [
        ("cg-offset", 0.4, 2), ("over-mass", 0.4, 2),
    ]  # fmt: skip


def test_a_name_that_gives_it_away_is_refused(tmp_path):
    with pytest.raises(Refusal, match=r"gives the fault away"):
        require_quiet(tmp_path / "cg-offset.yaml", ("cg-offset",))
    require_quiet(tmp_path / "friday.yaml", ("cg-offset",))


def test_a_fault_that_can_t_be_there_is_an_error():
    with pytest.raises(InputError):
        made(CAUSE, WANTED._replace(airframe="no-such"), Flown(0.0))
