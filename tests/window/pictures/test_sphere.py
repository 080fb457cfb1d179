import numpy as np

from sim.session.faces import NAMES
from sim.window.canvas import Rect, TextCanvas
from sim.window.pictures import sphere

RECT = Rect(10.0, 10.0, 380.0, 220.0)


class Dots(TextCanvas):
    def shape(self, points, colour):
        self.dots = [*getattr(self, "dots", []), tuple(np.mean(points, axis=0))]


def test_each_direction_is_seen_from_one_side_at_least():
    rng = np.random.default_rng(3)
    for direction in rng.standard_normal((60, 3)):
        x, y, z = (direction / np.linalg.norm(direction)).tolist()
        canvas = Dots()
        sphere.coverage(canvas, RECT, [(x, y, z)])
        assert 1 <= len(canvas.dots) <= 2
        assert all(RECT.holds(dot) for dot in canvas.dots)


def test_ahead_is_on_the_first_half_and_behind_on_the_second():
    ahead, behind = Dots(), Dots()
    sphere.coverage(ahead, RECT, [(1.0, 0.0, 0.0)])
    sphere.coverage(behind, RECT, [(-1.0, 0.0, 0.0)])
    assert ahead.dots[0][0] < RECT.centre[0] < behind.dots[0][0]


def test_same_spot_is_drawn_once():
    canvas = Dots()
    sphere.coverage(canvas, RECT, [(1.0, 0.0, 0.0)] * 50)
    assert len(canvas.dots) == 1


def test_every_face_is_named_and_places_do_not_overlap():
    for rect in (RECT, Rect(0.0, 0.0, 700.0, 120.0), Rect(0.0, 0.0, 200.0, 400.0)):
        canvas = TextCanvas()
        places = sphere.faces(canvas, rect, {"level"})
        assert {name for name, _ in places} == set(NAMES.values())
        assert len({(p.x, p.y) for _, p in places}) == len(NAMES)
        assert all(rect.x <= p.x and p.right <= rect.right + 1e-6 for _, p in places)


def test_a_taken_face_is_ticked():
    class Ticks(TextCanvas):
        def line(self, points, colour, width=1.0, dash=()):
            self.pieces = [*getattr(self, "pieces", []), points]

    none, one = Ticks(), Ticks()
    sphere.faces(none, RECT, set())
    sphere.faces(one, RECT, {"nose up"})
    assert len(one.pieces) == len(none.pieces) + 1
