"""Detectors: each shows what it is for, on its side alone, and lies still where nothing happens."""

import numpy as np
import pytest

from sim.reproduce.words.detectors import OPPOSITES, banded
from sim.reproduce.words.flight import NotFlown
from sim.reproduce.words.observed import SYMPTOMS, observed, phases_shown
from tests.reproduce.words.made import (
    AIR,
    CUT_S,
    HOVER_RAD_S,
    KNOWN,
    LIFT_S,
    WARM_K,
    T,
    between,
    flight,
    lagged,
    quiet,
    sway,
)

DEG = np.pi / 180.0
HOVER = (8.0, 12.0)


def shown(changes=None, **how):
    return set(observed(flight(changes, **how)).symptoms)


def ramp(rate, start_s, end_s):
    return rate * np.clip(T - start_s, 0.0, end_s - start_s)


def test_a_quiet_hop_shows_nothing():
    assert observed(flight()) == ("steered", None, frozenset())
    assert observed(flight(hands="let-go")) == ("let-go", None, frozenset())


SIGNED = [
    ("rolled-right", "rolled-left", lambda s: {"roll_rad": between(*HOVER, s * 12 * DEG)}),
    ("pitched-up", "pitched-down", lambda s: {"pitch_rad": between(*HOVER, s * 12 * DEG)}),
    ("yawed-right", "yawed-left", lambda s: {"heading_rad": ramp(s * 40 * DEG, 8.0, 9.0)}),
    ("climbed", "sank", lambda s: {"height_m": quiet()["height_m"] + s * ramp(1.4, 9.0, 9.35)}),
    ("drifted-forward", "drifted-back", lambda s: {"north_m": s * ramp(0.5, 7.0, 9.0)}),
    ("drifted-right", "drifted-left", lambda s: {"east_m": s * ramp(0.5, 7.0, 9.0)}),
    ("held-right", "held-left", lambda s: {"stick_roll": s * between(5.0, 16.0, 0.15), "roll_rad": s * lagged(between(5.0, 16.0, 0.15 * 0.35))}),
    ("held-back", "held-forward", lambda s: {"stick_pitch": s * between(5.0, 16.0, 0.15), "pitch_rad": s * lagged(between(5.0, 16.0, 0.15 * 0.35))}),
    ("held-yaw-right", "held-yaw-left", lambda s: {"stick_yaw": s * between(5.0, 16.0, 0.15), "heading_rad": s * lagged(ramp(0.15 * 1.5, 5.0, 16.0))}),
    ("throttle-high", "throttle-low", lambda s: {"stick_throttle": np.where(T < CUT_S, 0.5 + s * 0.05, 0.0)}),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other", "made"), SIGNED, ids=[row[0] for row in SIGNED])
def test_each_is_told_from_its_opposite(one, other, made):
    assert {one, other} & shown(made(+1.0)) == {one}
    assert {one, other} & shown(made(-1.0)) == {other}
    assert not {one, other} & shown(made(+0.3))
    assert not {one, other} & shown(made(-0.3))


def test_every_pair_of_opposites_is_tried():
    assert {(one, other) for one, other, _ in SIGNED} == set(OPPOSITES)


@pytest.mark.parametrize(
    ("stick", "motion", "word"),
    [("roll", "roll_rad", "roll-backwards"), ("pitch", "pitch_rad", "pitch-backwards")],
)
def test_a_stick_that_works_backwards_is_told_from_one_that_works(stick, motion, word):
    push = sway(0.5, 0.3)
    right = {f"stick_{stick}": push, motion: lagged(push * 0.35)}
    wrong = {f"stick_{stick}": push, motion: -lagged(push * 0.35)}
    assert not shown(right)
    assert word in shown(wrong)
    assert word not in shown(wrong, hands="let-go")


def test_a_yaw_stick_that_works_backwards_is_told_from_one_that_works():
    push = sway(0.5, 0.3)
    turn = {"stick_yaw": push, "yaw_rate_rad_s": lagged(push * 1.5)}
    assert "yaw-backwards" not in shown(turn)
    assert "yaw-backwards" in shown(turn | {"yaw_rate_rad_s": -turn["yaw_rate_rad_s"]})


@pytest.mark.parametrize(
    ("gain", "words"), [(0.4, {"weak"}), (0.8, set()), (1.4, set()), (2.0, {"wild"})]
)
def test_too_much_is_told_from_too_little(gain, words):
    push = sway(0.5, 0.2)
    moved = {"stick_roll": push, "roll_rad": gain * lagged(push * 0.35)}
    assert {"weak", "wild"} & shown(moved) == words


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_stick_that_moves_another_axis_is_crossed(sign):
    push = sway(0.5, 0.3)
    both = {"stick_roll": push, "roll_rad": lagged(push * 0.35)}
    assert "crossed" not in shown(both)
    assert "crossed" in shown({"stick_roll": push, "pitch_rad": sign * lagged(push * 0.35)})


def test_on_the_legs_a_smaller_lean_is_seen():
    slight = 4 * DEG
    assert "rolled-right" in shown({"roll_rad": between(2.0, 3.0, slight)})
    assert "rolled-right" not in shown({"roll_rad": between(*HOVER, slight)})


def test_a_turn_that_was_asked_for_is_none():
    turn = {
        "stick_yaw": between(8.0, 9.0, 0.5),
        "heading_rad": lagged(ramp(0.5 * KNOWN.yaw_limit_rad_s, 8.0, 9.0)),
    }
    assert "yawed-right" not in shown(turn)
    assert "yawed-right" in shown({"heading_rad": turn["heading_rad"]})


@pytest.mark.parametrize(
    ("away_m", "steered", "let_go"), [(0.4, set(), set()), (0.7, set(), {1}), (1.0, {1}, {1})]
)
def test_it_may_go_as_far_as_it_was_sent(away_m, steered, let_go):
    for axis, word in (("north_m", "drifted-forward"), ("east_m", "drifted-right")):
        gone = {axis: between(*HOVER, away_m)}
        assert (word in shown(gone)) == bool(steered)
        assert (word in shown(gone, hands="let-go")) == bool(let_go)


@pytest.mark.parametrize("hz", [2.0, 5.0])
def test_a_swing_is_as_large_within_its_band_as_it_is_and_nothing_beside_it(hz):
    swing = 0.3 * np.sin(2.0 * np.pi * hz * T)
    assert banded(swing, (1.0, 6.0)) == pytest.approx(0.3 / 2**0.5, rel=0.02)
    assert banded(swing, (8.0, 45.0)) < 0.003


def test_a_swing_is_told_from_a_shake():
    slow, fast = sway(3.0, 4 * DEG), sway(16.0, 0.3)
    assert {"wobbled", "ringing"} & shown({"pitch_rad": slow}) == {"wobbled"}
    assert {"wobbled", "ringing"} & shown({"pitch_rate_rad_s": fast}) == {"ringing"}
    assert not {"wobbled", "ringing"} & shown({"pitch_rad": slow / 6, "pitch_rate_rad_s": fast / 4})


def test_over_is_over_and_on_its_side_is_not_flipped_alone():
    over = between(10.0, 20.0, 100 * DEG)
    assert "flipped" in shown({"roll_rad": over})
    assert "flipped" not in shown({"roll_rad": over * 0.6})


def test_round_in_circles_either_way_but_not_to_and_fro():
    turn = 2 * np.pi * (T - 8.0) / 3.0
    there = between(8.0, 14.0, 1.0)
    for sign in (1.0, -1.0):
        circle = {
            "north_m": there * 0.3 * np.sin(turn),
            "east_m": there * sign * 0.3 * (np.cos(turn) - 1),
        }
        assert "circled" in shown(circle)
    assert "circled" not in shown({"north_m": there * 0.3 * np.sin(turn)})


def test_what_would_not_lift_was_pulled_at():
    down = {"load_n": np.full(len(T), 3.0), "height_m": np.zeros(len(T))}
    pulled = down | {"stick_throttle": np.where(T > LIFT_S, 0.8, 0.5)}
    assert "stayed-down" in shown(pulled, land_s=None)
    assert "stayed-down" not in shown(down, land_s=None)


def one_speed(**rows):
    return {f"speed_{place}_rad_s": values for place, values in rows.items()}


RUN = quiet()["speed_front_left_rad_s"]
MOTORS = [
    ({"motor-late"}, one_speed(rear_left=np.where(T < 0.8, 0.0, RUN))),
    (set(), one_speed(rear_left=np.where(T < 0.2, 0.0, RUN))),
    ({"motor-silent"}, one_speed(rear_left=0.0 * RUN)),
    ({"motor-faltered"}, one_speed(front_right=np.where(AIR & (T > 9) & (T < 9.3), 0.5 * RUN, RUN))),
    (set(), one_speed(front_right=np.where(AIR & (T > 9) & (T < 9.3), 0.8 * RUN, RUN))),
    ({"went-dead"}, one_speed(**{p: np.where((T > 9) & (T < 9.5), 50.0, RUN) for p in ("front_left", "front_right", "rear_right", "rear_left")})),
]  # fmt: skip


@pytest.mark.parametrize(("words", "changes"), MOTORS)
def test_motors_are_heard(words, changes):
    heard = {"motor-late", "motor-silent", "motor-faltered", "went-dead"}
    found = heard & shown(changes)
    assert found - {"motor-faltered"} == words - {"motor-faltered"} or words == {"motor-silent"}
    assert words <= found


def test_a_silent_motor_begins_it_at_the_start():
    assert observed(flight(one_speed(rear_left=0.0 * RUN))).when == "starting"
    assert HOVER_RAD_S > 0.0


def test_rattle_and_rough_are_heard_each_by_itself():
    assert {"rattle", "rough"} & shown({"accel_x_m_s2": sway(30.0, 1.0)}) == {"rattle"}
    assert {"rattle", "rough"} & shown({"drive_rear_left": 0.5 + sway(30.0, 0.02)}) == {"rough"}
    assert not {"rattle", "rough"} & shown(
        {"accel_x_m_s2": sway(30.0, 0.2), "drive_rear_left": 0.5 + sway(30.0, 0.004)}
    )


def test_one_hot_motor_is_told_from_four():
    one = (WARM_K[0] + 8.0, *WARM_K[1:])
    assert {"one-hot", "all-hot"} & shown(rotors_k=one) == {"one-hot"}
    assert {"one-hot", "all-hot"} & shown(rotors_k=tuple(k + 30.0 for k in WARM_K)) == {"all-hot"}


def test_the_alarm_waits_out_a_dip():
    volts = quiet()["shown_pack_v"]
    assert "alarm" in shown({"shown_pack_v": volts - between(9.0, 9.7, 2.0)})
    assert "alarm" not in shown({"shown_pack_v": volts - between(9.0, 9.3, 2.0)})


@pytest.mark.parametrize(
    ("from_s", "phase"), [(2.0, "on-legs"), (5.2, "leaving"), (9.0, "hover"), (17.0, "landing")]
)
def test_it_began_in_the_phase_it_began_in(from_s, phase):
    leaning = flight({"roll_rad": between(from_s, from_s + 1.0, 12 * DEG)})
    assert observed(leaning).when == phase
    assert "rolled-right" in phases_shown(leaning)[phase]


def test_what_never_flew_says_why():
    assert observed(NotFlown(True)).symptoms == {"stayed-dark"}
    assert observed(NotFlown(False)).symptoms == {"would-not-arm"}
    assert observed(NotFlown(False)).when == "starting"


def test_a_cue_to_cut_is_a_symptom():
    assert shown(cue=True) == {"had-to-cut"}


def test_words_are_listed_once():
    assert len(set(SYMPTOMS)) == len(SYMPTOMS)
