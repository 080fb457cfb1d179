"""The study of symptoms: which hops are flown, how they are counted, and that the table is of this model."""

import pytest

from sim import __version__
from sim.aircraft.library import TRAINER
from sim.diagnosis.flown import Asked
from sim.diagnosis.pool import here
from sim.diagnosis.symptomstudy import (
    BUILDS,
    PLAIN_BUILDS,
    SEVERITIES,
    SOUND_BUILDS,
    Hop,
    counted,
    faults,
    hop,
    measured,
    place_of,
    planned,
    renewed,
)
from sim.faults.catalogue import CATALOGUE
from sim.reproduce.words.observed import SYMPTOMS, Observed
from sim.reproduce.words.table import SOUND, Row, in_order, read, save, shares, shipped

QUIET = Observed("steered", None, frozenset())
FLIPPED = Observed("steered", "leaving", frozenset({"flipped", "rolled-right"}))


def asked(fault, severity, seed):
    return Asked(fault, severity, seed, TRAINER)


def test_each_severity_has_builds_of_its_own_and_what_has_no_degrees_has_more():
    jobs = planned(TRAINER, BUILDS, ("cg-offset", "motor-order-swapped"))
    by_fault = {
        f: [j for j in jobs if j.fault == f] for f in (None, "cg-offset", "motor-order-swapped")
    }
    assert [len(by_fault[f]) for f in by_fault] == [
        SOUND_BUILDS,
        BUILDS * len(SEVERITIES),
        PLAIN_BUILDS,
    ]
    assert {j.severity for j in by_fault["cg-offset"]} == set(SEVERITIES)
    assert len({j.seed for j in by_fault["cg-offset"]}) == BUILDS * len(SEVERITIES)
    assert {j.severity for j in by_fault["motor-order-swapped"]} == {1.0}
    assert not any(j.fault is None for j in planned(TRAINER, 1, ("cg-offset",), sound=False))


def test_what_people_do_is_not_flown():
    assert set(CATALOGUE) - set(faults()) == {
        f.id for f in CATALOGUE.values() if f.family == "conduct"
    }


def test_hops_alike_in_all_their_words_are_counted_with_the_first_seed():
    hops = [
        Hop(asked("cg-offset", 0.4, 3), "", (FLIPPED,)),
        Hop(asked("cg-offset", 0.4, 4), "", (QUIET,)),
        Hop(asked("cg-offset", 0.4, 5), "", (FLIPPED,)),
        Hop(asked("cg-offset", 0.7, 6), "", (FLIPPED,)),
    ]
    rows = counted(hops)
    assert [(r.severity, r.hops, r.variation, r.symptoms) for r in rows] == [
        (0.4, 2, 3, "rolled-right flipped"),
        (0.4, 1, 4, ""),
        (0.7, 1, 6, "rolled-right flipped"),
    ]
    found = shares(rows)
    assert found["cg-offset", 0.4, "steered", "flipped"] == (2, 3)
    assert found["cg-offset", 0.4, "steered", "ringing"] == (0, 3)
    assert found["cg-offset", 0.7, "steered", "flipped"] == (1, 1)


def test_a_fault_flown_anew_loses_its_old_lines_and_no_other_does():
    def row(fault, hops):
        return Row(fault, 1.0, "steered", "", "", hops, "", 0, __version__)

    kept = [row("over-mass", 1), row("cg-offset", 2), row("no-longer-known", 3)]
    lines = renewed(kept, [row("cg-offset", 7), row(SOUND, 9)])
    assert [(r.fault, r.hops) for r in lines] == [(SOUND, 9), ("cg-offset", 7), ("over-mass", 1)]


@pytest.mark.parametrize(
    ("fault", "seed", "place"),
    [
        ("prop-wrong-hand", 1, "front right"),
        ("prop-wrong-hand", 2, "rear left"),
        ("motor-order-swapped", 1, "front left and front right"),
        ("loop-sign-reversed", 1, "roll"),
        ("loop-sign-reversed", 2, "pitch"),
        ("rate-gain-high", 1, ""),
    ],
)
def test_where_a_fault_sits_is_said_in_words(fault, seed, place):
    assert place_of(fault, 1.0, seed, TRAINER) == place


def test_the_study_flies_counts_and_is_written_as_it_is_read(tmp_path):
    jobs = [
        asked(None, 0.0, 7),
        asked("throttle-channel-reversed", 1.0, 7),
        asked("over-mass", 1.0, 7),
    ]
    rows = measured(here, jobs)
    told = {(r.fault, r.hands): r for r in rows}
    assert told[SOUND, "steered"].shown == frozenset()
    assert told["throttle-channel-reversed", "steered"].shown == {"would-not-arm"}
    assert told["throttle-channel-reversed", "steered"].when == "starting"
    assert "throttle-high" in told["over-mass", "steered"].shown
    path = tmp_path / "symptoms.csv"
    save(rows, path)
    assert list(read(path)) == rows


def test_the_shipped_table_has_every_fault_and_knows_every_word():
    rows = shipped()
    assert {r.fault for r in rows} == {SOUND, *faults()}
    assert all(r.symptoms == in_order(r.shown) and r.shown <= set(SYMPTOMS) for r in rows)
    assert sum(r.hops for r in rows if r.fault == SOUND and r.hands == "steered") == SOUND_BUILDS
    for fault in faults():
        hops = sum(r.hops for r in rows if r.fault == fault and r.hands == "let-go")
        assert hops in (BUILDS * len(SEVERITIES), PLAIN_BUILDS), fault


@pytest.mark.parametrize("fault", ["loop-sign-reversed", "pitch-channel-reversed", "over-mass"])
def test_the_shipped_table_is_of_this_flight_model(fault):
    row = next(r for r in shipped() if (r.fault, r.severity, r.hands) == (fault, 1.0, "steered"))
    seen = hop(asked(fault, 1.0, row.variation)).seen[0]
    assert in_order(seen.symptoms) == row.symptoms
    assert (seen.when or "") == row.when
