import numpy as np

from sim.window.canvas import Rect, TextCanvas
from sim.window.pictures.charts import Strip

RECT = Rect(10.0, 20.0, 190.0, 84.0)
RANGES = (4.0, 10.0, 40.0, 100.0, 400.0)
TIMES = np.arange(600) * 0.01


class Lines(TextCanvas):
    def line(self, points, colour, width=1.0, dash=()):
        self.drawn = [*getattr(self, "drawn", []), list(points)]


def test_live_number_stands_above_the_trace():
    canvas = Lines()
    Strip("roll", "deg", RANGES).draw(canvas, RECT, TIMES, 20.0 * np.sin(TIMES), 6.0)
    head = canvas.measure("0", canvas.written[1].style)[1]
    trace = np.array(canvas.drawn[-1])
    assert trace[:, 1].min() >= RECT.y + head
    assert trace[:, 1].max() <= RECT.bottom
    assert trace[:, 0].min() >= RECT.x
    assert trace[:, 0].max() <= RECT.right
    assert canvas.lines()[:2] == ["roll, deg", f"{20.0 * np.sin(TIMES[-1]):.1f}".replace("-", "−")]


def test_only_the_last_seconds_are_drawn():
    canvas = Lines()
    values = np.where(TIMES < 3.0, 1000.0, 0.0)
    strip = Strip("roll", "deg", RANGES)
    strip.draw(canvas, RECT, TIMES, values, 2.0)
    assert strip.high < 100.0


def test_range_holds_the_trace_and_does_not_flicker():
    strip = Strip("roll", "deg", RANGES)
    rng = np.random.default_rng(5)
    seen = []
    for k in range(200):
        values = 10.0 * np.sin(TIMES + 0.02 * k) + rng.standard_normal(TIMES.size)
        strip.draw(TextCanvas(), RECT, TIMES, values, 6.0)
        assert strip.low <= values.min()
        assert values.max() <= strip.high
        seen.append((strip.low, strip.high))
    assert len(set(seen[20:])) == 1


def test_range_narrows_when_far_too_wide_and_never_below_the_least():
    strip = Strip("roll", "deg", RANGES)
    strip.draw(TextCanvas(), RECT, TIMES, 100.0 * np.sin(TIMES), 6.0)
    assert (strip.low, strip.high) == (-200.0, 200.0)
    strip.draw(TextCanvas(), RECT, TIMES, np.sin(TIMES), 6.0)
    assert (strip.low, strip.high) == (-2.0, 2.0)


def ranges_of(strip, *traces):
    found = []
    for least, most in traces:
        strip.fit(least, most)
        found.append((strip.low, strip.high))
    return found


def test_the_paper_changes_in_steps_and_lies_where_it_should():
    zero = Strip("roll", "deg", (10.0, 20.0))
    assert ranges_of(zero, (-1, 2), (-4.9, 1), (-5.1, 0), (-3, 3), (-2.2, 2)) == [
        (-5, 5),
        (-5, 5),
        (-10, 10),
        (-10, 10),  # six of ten is no room to spare
        (-5, 5),
    ]
    foot = Strip("height", "m", (1.0, 2.0), "foot")
    assert ranges_of(foot, (0.1, 0.9), (0.1, 1.1), (0.1, 0.5), (0.1, 0.4)) == [
        (0, 1),
        (0, 2),
        (0, 2),
        (0, 1),
    ]
    floating = Strip("pack", "V", (1.0, 2.0), "floating")
    assert ranges_of(floating, (12.3, 12.5), (12.1, 12.5), (11.4, 12.5)) == [
        (12, 13),
        (12, 13),
        (11, 13),
    ]
    assert ranges_of(floating, (50.0, 60.0)) == [(54, 56)]  # more than any paper holds


def test_peaks_survive_thinning():
    canvas = Lines()
    values = np.zeros(TIMES.size)
    values[301] = 30.0
    strip = Strip("roll", "deg", (60.0,))
    strip.draw(canvas, RECT, TIMES, values, 6.0)
    heights = np.array(canvas.drawn[-1])[:, 1]
    assert np.ptp(heights) > 0.48 * 60.0  # px; half of the paper, less the letters' gutter


def test_nothing_recorded_yet_leaves_blank_paper():
    canvas = Lines()
    Strip("pack", "V", (1.0, 2.0), "floating", 2).draw(canvas, RECT, np.empty(0), np.empty(0), 6.0)
    Strip("pack", "V", (1.0, 2.0), "floating", 2).draw(canvas, RECT, [0.0], [12.0], 6.0)
    assert canvas.lines()[0] == "pack, V"
    assert not hasattr(canvas, "drawn")
