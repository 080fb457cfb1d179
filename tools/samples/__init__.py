"""Every screen in all its states, always the same: for labels, pictures and tests."""

from collections.abc import Callable, Iterator

from sim.window.app import App, Screen
from tools.samples import after, drill, made, own, reported, sheets, told

Sample = Callable[[App], Iterator[Screen]]

SAMPLES: dict[str, Sample] = {
    "home": sheets.home,
    "own": own.own,
    "told": told.told,
    "reported": reported.reported,
    "made": made.made,
    "walk": sheets.walk,
    "settings": sheets.settings,
    "keys": sheets.keys,
    "pads": sheets.pads,
    "pause": sheets.pause,
    "own-words": after.own_words,
    "debrief": after.debrief,
    "classroom": after.classroom,
    "bench": drill.bench,
    "hop": drill.hop,
    "watch": drill.watch,
}  # what draws each screen: it yields the screen once for each state
