"""The slip that says why the clock stands in the hop."""

from sim.window.screens.flight import Flight
from tests.window.screens.person import KeyPerson
from tools.samples.drill import hop


def test_it_goes_on_by_its_own_key_which_can_be_changed(app):
    for screen in hop(app):
        if not isinstance(screen, Flight):
            continue
        app.go(screen)
        person = KeyPerson(app)
        for key, changed in (("g", {}), ("j", {"go-on": "j"}), ("return", {})):
            app.change(keys=changed)
            screen.practice.paused = True
            person.frame()
            assert "Go on" in person.said
            person.strike("space")  # the throttle's
            assert screen.practice.paused
            person.strike(key)
            assert not screen.practice.paused
