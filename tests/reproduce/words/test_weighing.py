"""From words to causes: worked on small tables made by hand, where what must come out is plain."""

from math import exp, log

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.reproduce.causes import NONE, Cause
from sim.reproduce.words.changes import HANDLED, RAISED, concerned
from sim.reproduce.words.report import Report
from sim.reproduce.words.table import SOUND, Row
from sim.reproduce.words.weighing import CAME_SINCE, bins, causes, quantiles

A: FaultId = "cg-offset"
B: FaultId = "over-mass"
C: FaultId = "prop-wrong-hand"


def row(fault, symptoms, hops, when="hover", severity=1.0, place="", variation=0, hands="steered"):
    when = when if symptoms else ""
    return Row(fault, severity, hands, when, symptoms, hops, place, variation, "0")


def table(*rows):
    """Return a table with sound hops, and each fault's let-go hops as quiet ones."""
    quiet = [row(SOUND, "", 100), row(SOUND, "", 100, hands="let-go")]
    cells = dict.fromkeys((r.fault, r.severity) for r in rows)
    rest = [row(fault, "", 10, severity=s, hands="let-go") for fault, s in cells]
    return (*quiet, *rows, *rest)


def said(**answers):
    return Report.model_validate({"sticks": (), **answers})


def nats(report, rows, fault, called=None):
    return cause(report, rows, fault, called).log_evidence


def cause(report: Report, rows: tuple[Row, ...], fault: FaultId | None, called=None) -> Cause:
    found = causes(report, rows) if called is None else causes(report, rows, called)
    one = found.of((fault,) if fault else NONE)
    assert one is not None
    return one


RIGHT, LEFT = row(A, "rolled-right flipped", 20), row(B, "rolled-left flipped", 20)


def test_who_knows_nothing_is_told_the_prior():
    found = causes(Report(), table(RIGHT, LEFT))
    assert [c.log_evidence for c in found.causes] == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)


@pytest.mark.parametrize(
    ("word", "likelier", "other"), [("rolled-right", A, B), ("rolled-left", B, A)]
)
def test_which_way_it_went_decides(word, likelier, other):
    report, rows = said(moved=(word, "flipped")), table(RIGHT, LEFT)
    assert 1.5 < nats(report, rows, likelier) - nats(report, rows, other) < 3.5
    assert nats(report, rows, likelier) - nats(report, rows, None) > 3.5
    assert causes(report, rows).posterior()[0][0].faults == (likelier,)


def test_a_quiet_report_speaks_for_a_sound_aircraft():
    report, rows = said(when="never", moved=(), heard=(), pilot="landed"), table(RIGHT, LEFT)
    assert causes(report, rows).posterior()[0][0].faults == NONE
    assert nats(report, rows, None) - nats(report, rows, A) > 2.0


def test_what_goes_together_counts_once():
    """One fault always rolls and flips, another in half its hops: two to one, told in one word or two."""
    half = (row(B, "rolled-right flipped", 20), row(B, "", 20))
    rows = table(row(A, "rolled-right flipped", 40), *half)
    both = said(moved=("rolled-right", "flipped"))
    apart = nats(both, rows, A) - nats(both, rows, B)
    assert log(1.7) < apart < log(2.8)  # as two pieces of news they would be log(4)


def test_the_phase_it_began_in_counts():
    rows = table(row(A, "rolled-right", 20, "on-legs"), row(B, "rolled-right", 20, "landing"))
    legs, landing = (said(when=when, moved=("rolled-right",)) for when in ("on-legs", "landing"))
    assert nats(legs, rows, A) - nats(legs, rows, B) > 1.0
    assert nats(landing, rows, B) - nats(landing, rows, A) > 1.0


def test_a_phase_named_speaks_for_what_begins_there_against_what_never_does():
    rows, report = table(row(A, "rolled-right", 20, "hover")), Report(when="hover")
    assert (
        nats(report, rows, A) - nats(report, rows, None) > 2.0
    )  # by the slips stated, 3.3 at most
    never = Report(when="never")
    assert 0.5 < nats(never, rows, None) - nats(never, rows, A) < 1.7  # a fifth goes unnoticed


def test_severity_follows_what_shows_only_at_the_worst():
    rows = table(row(A, "", 20, severity=0.2), row(A, "flipped", 20, severity=1.0))
    bad = cause(said(moved=("flipped",)), rows, A)
    mild = cause(said(moved=()), rows, A)
    assert bad.severity[1] > 0.7 > 0.4 > mild.severity[1]
    assert bad.severity[0] < bad.severity[1] < bad.severity[2]


def test_severities_stand_for_stretches_from_the_limit_to_the_worst():
    edges = [edge for stretch in bins((0.2, 0.4, 1.0)) for edge in stretch]
    assert edges == pytest.approx([0.1, 0.3, 0.3, 0.7, 0.7, 1.0])
    assert quantiles(((0.1, 0.6), (0.6, 1.0)), (1.0, 0.0)) == (0.125, 0.35, 0.575)
    assert quantiles(((0.1, 0.6), (0.6, 1.0)), (1.0, 1.0))[1] == 0.6


def test_the_direction_names_the_place_and_the_seed_that_makes_it():
    left = row(A, "rolled-left", 10, place="front left", variation=4)
    right = row(A, "rolled-right", 10, place="front right", variation=7)
    rows = table(left, right)
    found = cause(said(moved=("rolled-right",)), rows, A)
    assert (found.place, found.variation) == ("front right", 7)
    found = cause(said(moved=("rolled-left",)), rows, A)
    assert (found.place, found.variation) == ("front left", 4)


def test_sticks_let_go_are_judged_by_hops_with_the_sticks_let_go():
    rows = table(row(A, "rolled-right", 20))
    rows += (row(B, "", 20), row(B, "rolled-right", 20, hands="let-go"))
    steered = said(moved=("rolled-right",))
    let_go = Report(moved=("rolled-right",), sticks=("let-go",))
    assert nats(steered, rows, A) > nats(steered, rows, B)
    assert nats(let_go, rows, B) > nats(let_go, rows, A)


def called(fault, check, severity):
    return {A: 0.9, B: 0.0}.get(fault, 0.02) if check == "weigh-and-balance" else 0.0


def test_a_check_that_was_passed_speaks_against_what_it_shows():
    rows = table(row(A, "", 10), row(B, "", 10))
    passed = Report(worked=("weigh-and-balance",))
    away = nats(passed, rows, B) - nats(passed, rows, A, called)
    assert away == pytest.approx(-log(CAME_SINCE + (1 - CAME_SINCE) * (1 - 0.81)), abs=0.01)
    assert nats(passed, rows, B, called) == pytest.approx(0.0, abs=1e-9)
    twice = Report(worked=("weigh-and-balance", "weigh-and-balance"))
    assert nats(twice, rows, A, called) == nats(passed, rows, A, called)
    assert nats(passed, rows, A, called) > log(CAME_SINCE)


def test_a_check_at_which_it_showed_speaks_for_what_it_shows():
    rows = table(row(A, "", 10), row(B, "", 10))
    shown = Report(when="at-the-bench", check="weigh-and-balance")
    assert nats(shown, rows, A, called) - nats(shown, rows, B, called) > 3.0
    assert nats(shown, rows, A, called) - nats(shown, rows, None, called) > 2.5


def test_what_was_changed_raises_what_it_has_hands_on():
    rows = table(row(C, "", 10), row(B, "", 10))
    changed = Report(changed=("propellers",))
    assert exp(nats(changed, rows, C)) == pytest.approx(RAISED)
    assert nats(changed, rows, B) == pytest.approx(0.0, abs=1e-9)
    assert nats(Report(changed=("nothing",)), rows, C) == pytest.approx(0.0, abs=1e-9)


def test_each_change_has_hands_on_some_faults_and_on_no_one_s_conduct():
    for change in HANDLED:
        found = concerned(change)
        assert bool(found) == (change != "nothing")
        assert len(found) < len(CATALOGUE) / 2
    assert "prop-nick-imbalance" in concerned("propellers") - concerned("motor")
    assert "roll-channel-reversed" in concerned("transmitter") - concerned("pack")
