"""The bar while something is got ready that takes long."""

import sys
import time
from itertools import pairwise

import pytest

from sim.window.app import App, Blank
from sim.window.screens.waiting import CALM_S, Long, Waiting, share_after
from tests.window.screens.person import KeyPerson

USUAL_S = 10.0  # s
STEPS = "print('0 1 flight model', flush=True); import time; time.sleep(0.3); print('1 1 done')"


def work(program: str, text: str = "") -> Long:
    return Long([sys.executable, "-c", program], "Once", "Making {}.", USUAL_S, text)


def test_the_bar_never_stands_and_never_ends_by_itself():
    shares = [share_after(0.5 * k, USUAL_S) for k in range(80)]
    assert shares[0] == 0.0
    assert all(b - a > 1e-5 for a, b in pairwise(shares))
    assert shares[-1] < 1.0
    assert share_after(USUAL_S, USUAL_S) == pytest.approx(0.9)


def test_a_few_pictures_a_second_leave_the_machine_to_the_compiler():
    assert 0.1 <= CALM_S <= 0.5  # s; slower, and its one button would answer late


def test_it_says_what_is_made_and_goes_on_when_it_is_done(app):
    gone: list[App] = []
    screen = Waiting(gone.append, work(STEPS))
    app.go(screen)
    person = KeyPerson(app)
    person.frame()
    assert app.calm_s == CALM_S  # until another screen is up
    until = time.monotonic() + 20.0
    words = set()
    while not gone and time.monotonic() < until:
        person.frame(seconds=0.05)
        words.add(person.said)
        time.sleep(0.02)
    assert gone
    assert any("flight model" in said for said in words)


def test_it_says_why_it_went_wrong_and_can_be_left(app):
    screen = Waiting(lambda _: None, work("raise SystemExit('no room')"))
    app.go(screen)
    person = KeyPerson(app)
    until = time.monotonic() + 20.0
    while "no room" not in person.said and time.monotonic() < until:
        person.frame()
        time.sleep(0.02)
    assert "That went wrong: no room" in person.said
    person.press("pause")
    assert app.quits


def test_the_pace_of_one_screen_is_not_that_of_the_next(app):
    app.calm_s = CALM_S
    app.go(Blank())
    assert app.calm_s == 0.0


def test_the_program_reads_what_it_is_given_and_leaving_ends_it(app):
    reads = "import sys, time; print('0 1', sys.stdin.read(), flush=True); time.sleep(60.0)"
    left: list[App] = []
    screen = Waiting(lambda _: None, work(reads, "a kite"), left.append)
    app.go(screen)
    person = KeyPerson(app)
    until = time.monotonic() + 20.0
    while "a kite" not in person.said and time.monotonic() < until:
        person.frame()
        time.sleep(0.02)
    assert "Making a kite." in person.said
    person.press("pause")
    assert left == [app]
    assert not app.quits
    assert screen._process.wait(timeout=10.0) != 0
