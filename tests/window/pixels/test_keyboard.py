"""Key events as strokes."""

import pygame
import pytest

from sim.window.pixels.events import Keyboard


@pytest.fixture(autouse=True)
def display():
    pygame.display.init()
    yield
    pygame.display.quit()


def event(kind, key=pygame.K_p, text="p", mod=0):
    return pygame.Event(kind, key=key, unicode=text, mod=mod)


def test_a_key_that_stays_down_is_sent_anew_until_it_is_let_go():
    keyboard = Keyboard()
    down, up = event(pygame.KEYDOWN), event(pygame.KEYUP)
    found = keyboard.inputs([down, down, up, down])
    assert [(s.name, s.again) for s in found.strokes] == [("p", False), ("p", True), ("p", False)]
    assert keyboard.down == {"p"}


def test_a_letter_with_ctrl_has_a_name_of_its_own():
    stroke = event(pygame.KEYDOWN, pygame.K_q, "\x11", pygame.KMOD_LCTRL)
    (found,) = Keyboard().inputs([stroke]).strokes
    assert (found.name, found.text) == ("ctrl+q", "")


def test_a_key_without_a_letter_never_takes_that_of_a_key_held_beside_it():
    """The library gives a shift pressed while D repeats itself the letter of D."""
    keyboard = Keyboard()
    held = [event(pygame.KEYDOWN, pygame.K_d, "d"), event(pygame.KEYDOWN, pygame.K_LSHIFT, "d")]
    assert [(s.name, s.text) for s in keyboard.inputs(held).strokes] == [("d", "d"), ("shift", "")]
    assert keyboard.down == {"d", "shift"}
    (left,) = keyboard.inputs([event(pygame.KEYDOWN, pygame.K_LEFT, "d")]).strokes
    assert left.name == "left"
    (one,) = keyboard.inputs([event(pygame.KEYDOWN, pygame.K_KP1, "1")]).strokes
    assert (one.name, one.text) == ("1", "1")
