import pytest

from sim.window.canvas import Rect, TextCanvas
from sim.window.pictures.sticks import Hand, Panel, transmitter


def panel(x: float = 0.0, y: float = 0.0, stopped: bool = False, lit: bool = True) -> Panel:
    left, right = Hand(0.0, -1.0, "yaw", "throttle"), Hand(x, y, "roll", "pitch")
    return Panel(left, right, "self-level", True, stopped, lit)


class Discs(TextCanvas):
    def disc(self, centre, radius, colour, width=0.0):
        self.centres = [*getattr(self, "centres", []), centre]


def knobs(canvas: Discs) -> list[tuple[float, float]]:
    """Each stick draws its knob as two discs about one centre, before anything else round."""
    return canvas.centres[0:4:2]


def test_axes_are_named_and_switches_told_in_words():
    canvas = TextCanvas()
    transmitter(canvas, Rect(0.0, 0.0, 330.0, 180.0), panel(stopped=True, lit=False))
    assert {"yaw", "throttle", "roll", "pitch", "self-level", "stop", "off"} <= set(canvas.lines())


@pytest.mark.parametrize("size", [(330.0, 180.0), (300.0, 120.0), (660.0, 360.0)])
def test_right_and_up_are_positive_and_the_knob_stays_inside(size):
    rect = Rect(5.0, 7.0, *size)
    middle, right_up, far = Discs(), Discs(), Discs()
    transmitter(middle, rect, panel())
    transmitter(right_up, rect, panel(0.5, 0.5))
    transmitter(far, rect, panel(9.0, -9.0))
    (_, (x0, y0)), (_, (x1, y1)) = knobs(middle), knobs(right_up)
    assert x1 > x0
    assert y1 < y0
    assert all(rect.holds(centre) for centre in knobs(far))
