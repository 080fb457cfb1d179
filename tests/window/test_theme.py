"""Colours against the web's accessibility guideline."""

import pytest

from sim.window import theme


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ((0, 0, 0), (255, 255, 255), 21.0),  # WCAG 2.2, definition of contrast ratio
        ((119, 119, 119), (255, 255, 255), 4.48),  # the grey known to fail 4.5 by a hair
        ((118, 118, 118), (255, 255, 255), 4.54),  # and the one that just passes
    ],
)
def test_contrast_is_that_of_the_guideline(one, other, ratio):
    assert theme.contrast(one, other) == pytest.approx(ratio, abs=0.01)  # quoted to two digits


@pytest.mark.parametrize("pair", theme.TEXT_ON)
def test_every_writing_stands_out_from_its_ground(pair):
    assert theme.contrast(*pair) >= theme.LEAST_CONTRAST
