"""While the rotors run down: what is asked for is kept, and a crash says what to do."""

from dataclasses import replace

from sim.session import actions as act
from sim.window.screens.flight import CRASHED, Flight
from tests.window.screens.person import KeyPerson
from tools.samples.drill import carried_out, done, practised


def test_what_is_asked_for_is_done_when_nothing_turns(app):
    with practised(app) as (desk, practice):
        carried_out(desk, practice)
        done(desk, practice, act.Arm())
        flight = Flight(desk)
        for _ in range(40):
            practice.step(0.02)
        app.go(flight)
        person = KeyPerson(app)
        person.strike("p")  # armed: not a time to pull plugs
        assert flight.kept == ""
        done(desk, practice, act.Disarm())
        assert practice.flows
        person.strike("p")
        assert "Then: plug or unplug the pack." in " ".join(person.said.split())  # on two lines
        while practice.flows:
            practice.step(0.02)
        while practice.view.conduct.pack_plugged or practice.busy:
            person.frame()
        assert app.screen is desk
        assert desk.later == ""
        practice.seen = replace(practice.view, crash=("It fell over.",))
        app.go(flight)
        practice.seen = replace(practice.view, armed=True)
        person.frame()
        assert CRASHED[:20] in person.said
