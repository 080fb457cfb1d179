import numpy as np

from sim.window.canvas import Rect, TextCanvas
from sim.window.pictures.charts import Strip

RECT = Rect(10.0, 20.0, 190.0, 84.0)
TIMES = np.arange(600) * 0.01


class Lines(TextCanvas):
    def line(self, points, colour, width=1.0, dash=()):
        self.drawn = [*getattr(self, "drawn", []), list(points)]


def test_live_number_stands_above_the_trace():
    canvas = Lines()
    Strip("roll", "deg", 4.0).draw(canvas, RECT, TIMES, 20.0 * np.sin(TIMES), 6.0)
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
    strip = Strip("roll", "deg", 4.0)
    strip.draw(canvas, RECT, TIMES, values, 2.0)
    assert strip.high < 100.0


def test_range_holds_the_trace_and_does_not_flicker():
    strip = Strip("roll", "deg", 4.0)
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
    strip = Strip("roll", "deg", 4.0)
    strip.draw(TextCanvas(), RECT, TIMES, 100.0 * np.sin(TIMES), 6.0)
    wide = strip.high - strip.low
    strip.draw(TextCanvas(), RECT, TIMES, np.sin(TIMES), 6.0)
    assert 4.0 <= strip.high - strip.low < 0.2 * wide


def test_peaks_survive_thinning():
    canvas = Lines()
    values = np.zeros(TIMES.size)
    values[301] = 30.0
    strip = Strip("roll", "deg", 4.0)
    strip.draw(canvas, RECT, TIMES, values, 6.0)
    heights = np.array(canvas.drawn[-1])[:, 1]
    assert np.ptp(heights) > 0.5 * 60.0


def test_nothing_recorded_yet_leaves_blank_paper():
    canvas = Lines()
    Strip("pack", "V", 0.5, 2).draw(canvas, RECT, np.empty(0), np.empty(0), 6.0)
    Strip("pack", "V", 0.5, 2).draw(canvas, RECT, [0.0], [12.0], 6.0)
    assert canvas.lines()[0] == "pack, V"
    assert not hasattr(canvas, "drawn")
