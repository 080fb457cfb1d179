"""The next check: the outcomes it may have, what it is worth, and that hands stay safe."""

from dataclasses import replace

import numpy as np
import pytest

from sim.bench.check import NEEDS
from sim.bench.checklist import CHECKS
from sim.diagnosis.nextcheck import (
    NOTHING,
    REFUSAL,
    SAFELY,
    chances,
    minutes_of,
    next_checks,
    worth,
)
from sim.diagnosis.table import Row, Table, shipped
from sim.reproduce.causes import Cause, Causes
from sim.scoring.information import WORTH_BITS, entropy_bits

NONE = Cause((), 0.0)
MIDDLE = (0.5, 0.5, 0.5)


def row(fault, check, power, false_alarm=0.0, line="roll_deg above", severity=0.5):
    blank = dict.fromkeys(Row.__annotations__, 0.0)
    told = {"fault": fault, "check": check, "severity": severity, "power": power}
    told |= {"false_alarm": false_alarm, "best_line": line}
    return Row(**(blank | told))


def cause(*faults, log_evidence=0.0, severity=MIDDLE):
    return Cause(tuple(sorted(faults)), log_evidence, None, severity)


def test_outcomes_are_the_lines_that_faults_move():
    table = Table(
        [
            row("cg-offset", "stick-display", 0.9, 0.05, "a above"),
            row("over-mass", "stick-display", 0.6, 0.02, "b below"),
        ]
    )
    lines, found = chances(table, "stick-display", [NONE, cause("cg-offset"), cause("over-mass")])
    assert lines == [NOTHING, "a above", "b below"]
    assert found[0] == pytest.approx([0.93, 0.05, 0.02])
    assert found[1, 1] == pytest.approx(0.9)  # the power is what was measured, false alarms in it
    assert found[2, 2] == pytest.approx(0.6)
    assert found[2, 1] == pytest.approx(0.05)
    assert found.sum(axis=1) == pytest.approx([1.0, 1.0, 1.0])


def test_what_the_controller_refuses_is_an_outcome():
    table = Table([row("gyro-bias-moved", "switches", 0.8, 0.0, "")])
    lines, found = chances(table, "switches", [NONE, cause("gyro-bias-moved")])
    assert lines == [NOTHING, REFUSAL]
    assert found[:, 1] == pytest.approx([0.0, 0.8])


def test_two_faults_at_once_show_either_way():
    table = Table(
        [
            row("cg-offset", "stick-display", 0.8, 0.0, "a above"),
            row("over-mass", "stick-display", 0.8, 0.0, "b above"),
            row("cg-offset", "failsafe", 0.8, 0.0, "c above"),
            row("over-mass", "failsafe", 0.5, 0.0, "c above"),
        ]
    )
    pair = [cause("cg-offset", "over-mass")]
    assert chances(table, "stick-display", pair)[1] == pytest.approx(np.array([[0.0, 0.5, 0.5]]))
    assert chances(table, "failsafe", pair)[1] == pytest.approx(np.array([[0.1, 0.9]]))


def test_power_follows_the_severity_by_its_three_points():
    graded = [row("cg-offset", "failsafe", s, 0.0, "a above", s) for s in (0.0, 0.5, 1.0)]
    found = chances(Table(graded), "failsafe", [cause("cg-offset", severity=(0.2, 0.4, 0.9))])[1]
    assert found[0, 1] == pytest.approx(0.185 * 0.2 + 0.63 * 0.4 + 0.185 * 0.9)


def test_a_check_that_parts_two_causes_comes_before_one_that_shows_both():
    table = Table(
        [
            row("pitch-channel-reversed", "stick-display", 1.0, 0.0, "pitch_low_share above"),
            row("roll-channel-reversed", "stick-display", 1.0, 0.0, "roll_low_share above"),
            row("pitch-channel-reversed", "failsafe", 1.0, 0.0, "same above"),
            row("roll-channel-reversed", "failsafe", 1.0, 0.0, "same above"),
        ]
    )
    two = Causes(
        (
            Cause((), -50.0),
            cause("pitch-channel-reversed"),
            cause("roll-channel-reversed"),
        )
    )
    found = next_checks(table, two)
    assert [one.check for one in found] == ["stick-display"]
    assert found[0].gain_bits == pytest.approx(1.0, abs=1e-6)
    best = found[0].outcomes[0]
    assert best.chance == pytest.approx(0.5)
    assert best.causes[0][1] == pytest.approx(1.0)


def test_none_is_told_from_a_fault_by_what_the_check_does_not_show():
    table = Table([row("cg-offset", "weigh-and-balance", 0.9, 0.0, "heavy_forward_mm either")])
    found = worth(table, "weigh-and-balance", Causes((NONE, cause("cg-offset"))))
    quiet = next(one for one in found.outcomes if one.line == NOTHING)
    prior = Causes((NONE, cause("cg-offset"))).posterior()
    faulty = dict((c.faults, p) for c, p in prior)[("cg-offset",)]
    assert dict(quiet.causes)[("cg-offset",)] == pytest.approx(
        faulty * 0.1 / (faulty * 0.1 + 1.0 - faulty)
    )


def test_minutes_count_the_way_there():
    assert minutes_of(CHECKS["look-and-tug"]) == 2.0  # in the hands, no power
    assert minutes_of(CHECKS["stick-display"]) == 1.0 + 0.5  # the pack is plugged in
    assert minutes_of(CHECKS["level-and-still"]) == 2.0 + 0.5 + 0.5  # and it is set down
    assert minutes_of(CHECKS["light-on-legs"]) == 0.5 + 3.0 + 0.5 + 0.5  # propellers, pad, power
    assert minutes_of(CHECKS["touch-after"]) > minutes_of(CHECKS["steady-throttle"])


def test_propellers_are_seen_to_before_there_is_power():
    assert set(SAFELY) == set(NEEDS)
    for key in CHECKS:
        needs = list(worth(Table([]), key, Causes((NONE,))).needs)
        power = [i for i, line in enumerate(needs) if line == NEEDS["powered"][2]]
        hands = [i for i, line in enumerate(needs) if "propellers" in line or "Unplug" in line]
        assert len(needs) == len(CHECKS[key].needs)
        assert not power or max(hands, default=-1) < power[0], key
    told = worth(Table([]), "restrained-run-up", Causes((NONE,))).needs
    assert told == tuple(NEEDS[n][2] for n in ("props_on", "clamped", "linked", "powered"))


def test_what_needs_propellers_comes_after_all_that_does_not():
    table = Table(
        [
            row("pack-high-resistance", "light-on-legs", 1.0, 0.0, "a below"),
            row("pack-high-resistance", "pack-at-rest", 0.4, 0.05, "b above"),
        ]
    )
    found = next_checks(table, Causes((NONE, cause("pack-high-resistance"))))
    assert [one.check for one in found] == ["pack-at-rest", "light-on-legs"]
    assert found[0].bits_a_minute < found[1].bits_a_minute
    assert [one.propellers_on for one in found] == [False, True]
    assert "Fit the propellers first." in found[1].needs
    assert "stop switch" in found[1].caution


def test_nothing_is_worth_doing_where_nothing_is_open():
    sure = Causes((NONE, cause("cg-offset", log_evidence=60.0)))
    assert next_checks(shipped(), sure) == []


def test_the_shipped_table_names_the_check_meant_for_a_fault():
    """A pitch or a roll channel reversed, or none: the stick display parts them in a minute."""
    open_ = Causes(
        (
            NONE,
            cause("pitch-channel-reversed", log_evidence=1.0),
            cause("roll-channel-reversed", log_evidence=1.0),
        )
    )
    best = next_checks(shipped(), open_)[0]
    assert best.check == "stick-display"
    ranked = np.array([chance for _, chance in open_.posterior()])
    assert WORTH_BITS < best.gain_bits <= entropy_bits(ranked) + 1e-9
    lines = {one.line: one.causes[0][0] for one in best.outcomes}
    assert lines["pitch_low_share above"] == ("pitch-channel-reversed",)
    assert lines["roll_low_share above"] == ("roll-channel-reversed",)
    assert lines[NOTHING] == ()


def test_false_alarms_make_a_check_worth_less():
    quiet = row("cg-offset", "failsafe", 0.9, 0.0, "a above")
    loud = replace(quiet, false_alarm=0.3)
    both = Causes((NONE, cause("cg-offset")))
    gains = [worth(Table([one]), "failsafe", both).gain_bits for one in (quiet, loud)]
    assert gains[0] > 1.5 * gains[1] > 0.0
