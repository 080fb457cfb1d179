"""A drill under way: holds the truth, takes actions and sticks, shows what can be perceived."""

from typing import ClassVar

from sim.bench.connection import Board
from sim.bench.inputs import Inputs
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.errors import Refusal
from sim.faults.fault import Truth
from sim.kernel.radio import Sticks
from sim.procedure import cards, hazards
from sim.procedure.rubric import shipped
from sim.session import actions as act
from sim.session import byhand, connecting, perceived
from sim.session.calibrating import START_UP_S
from sim.session.deeds import DEEDS
from sim.session.flying import Flying
from sim.session.inputs import inputs_of, require
from sim.session.reach import reach_of
from sim.session.record import Event, Outcome, Record
from sim.session.scenario import Scenario
from sim.session.state import State
from sim.session.view import View, crash_words, visible

LOCK_UP = "The evening is over: the club locks up, and the pack is unplugged for you."


class Session:
    """One attempt at a drill. The same scenario, seed, actions and sticks give the same bits.

    state : the truth, whole; follows : what follows the aircraft in it.
    """

    follows: ClassVar[type[Flying]] = Flying

    def __init__(self, scenario: Scenario, seed: int) -> None:
        self.scenario = scenario
        self.seed = seed
        self.state = State(scenario, seed, self.follows)
        self._events: list[Event] = []
        if self.rig.world.conduct.pack_plugged:
            self.rig.run(HANDS_OFF, START_UP_S)  # somebody has plugged it in already
        self.state.flying.notice_change()
        self._at_start = self.state.known.present
        self.state.helper.begin(self._at_start)

    @property
    def rig(self) -> Rig:
        """The aircraft on the bench, on the pad or in the air."""
        return self.state.rig

    @property
    def board(self) -> Board:
        """Its controller board, as the set-up program sees it."""
        return self.state.board

    @property
    def phase(self) -> str:
        """Bench, pad, hop or debrief."""
        return self.state.flying.phase

    @property
    def minutes(self) -> float:
        """Minutes of the evening that are spent."""
        return self.state.evening.minutes

    @property
    def evening_min(self) -> float:
        """Minutes until the club locks up."""
        return self.scenario.careful_min * shipped().evening

    # --- the three calls everything uses -----------------------------------------------------

    def do(self, action: act.Action) -> Outcome:
        """Do one thing; raises Refusal with the reason if it can't be done now."""
        if self.phase == "debrief":
            raise Refusal("The drill is over.", "over")
        state, reach, before = self.state, reach_of(action), self.rig.world
        refused, reading = None, None
        state.evening.log(*hazards.on_reaching(reach, before.conduct, state.armed))
        try:
            outcome = DEEDS[action.do](state, action)
            reading = outcome.reading
        except Refusal as refusal:
            refused = str(refusal)
            raise
        finally:
            now = self.rig.world
            changed = (now.build, now.setup, now.site) != (before.build, before.setup, before.site)
            if refused is None:
                state.evening.minutes += action.takes_min
            state.evening.follow()
            state.by_hand.after(action, refused is not None, changed)
            if self.rig.world is not before:
                state.flying.notice_change()
            if refused is None:
                state.evening.log(*hazards.on_touching(reach, before.conduct, now.conduct))
            what = (self.rig.tick, self.phase, action, refused, reading, state.known.present)
            after = (now.conduct, changed, self.minutes, state.known.facts)
            self._events.append(Event(*what, *after))
        if self._evening_over():
            state.lock_up()
            return Outcome(f"{outcome.words} {LOCK_UP}", reading)
        return outcome

    def advance(self, inputs: Sticks | Inputs, seconds: float) -> History:
        """Let time pass with the hands as they are; returns what a logger aboard would have."""
        inputs, state = inputs_of(inputs), self.state
        require(inputs, seconds)
        if self.phase == "debrief":
            raise Refusal("The drill is over.", "over")
        byhand.refuse_hands(inputs, self.rig, self.board)
        state.evening.log(*byhand.hazards_of(inputs, self.rig))
        if inputs.motor is not None:
            state.evening.log(*state.unsafe_to_turn())
        history = state.by_hand.advance(inputs, seconds)
        if state.by_hand.check is not None or state.calibrations.under_way:
            state.evening.minutes += seconds / 60.0
            state.evening.follow()
        return history

    def view(self) -> View:
        """Return what the person there perceives."""
        state, rig, known = self.state, self.rig, self.state.known
        return View(
            phase=self.phase,
            time_s=rig.time_s,
            minutes=self.minutes,
            evening_min=self.evening_min,
            careful_min=self.scenario.careful_min,
            armed=state.armed,
            alarm=state.flying.alarm,
            shown_pack_v=rig.shown_pack_v,
            board=self.board.looks(rig.world.conduct.pack_plugged),
            cards=cards.in_hand(bool(self.scenario.blank), state.flying.hops.flown),
            crash=crash_words(int(rig.value("crash"))),
            shout=state.flying.shout,
            hops=len(state.flying.hops.all),
            conduct=visible(rig.world.conduct),
            room=rig.world.site.room,
            airframe=rig.world.airframe,
            aircraft=state.flying.seen(),
            setup=rig.world.setup if connecting.readable(self.board, rig.world) else None,
            sheet=rig.world.airframe.sheet.setup,
            facts=known.on_cards,
            readings=dict(known.readings),
            squawks=dict(known.squawks),
            collecting=state.calibrations.compass is not None,
            collected_ut=state.calibrations.collected_ut(),
            doing=state.by_hand.check,
            doing_s=state.by_hand.seconds,
            display=state.instruments.shown(self.board, rig, state.by_hand.held),
            transmitter=perceived.transmitter_meter(rig),
            motors=perceived.motors(rig),
            propellers=perceived.propellers(rig),
            cabled=self.board.cable,
            felt=perceived.felt(rig),
            faces=state.calibrations.faces_taken(),
            helping=self.scenario.helping,
            pointers=state.helper.pointers,
        )

    def truth(self) -> Truth:
        """Return the truth, for scoring, tests and the all-knowing stand-in."""
        return self.state.flying.truth()

    def record(self) -> Record:
        """Return the whole run so far, for scoring."""
        state, flying = self.state, self.state.flying
        pad, hops = self.rig.world.site.places.pad, flying.hops.as_of(self.rig)
        first = hops[0] if hops else None
        declared, reason = state.declared or (None, "")
        return Record(
            scenario=self.scenario,
            seed=self.seed,
            hidden=state.hidden,
            present_at_start=self._at_start,
            events=tuple(self._events),
            hazards=tuple(state.evening.hazards),
            takeoff_s=None if first is None else first.takeoff_s,
            present_at_takeoff=frozenset() if first is None else first.present,
            present_now=state.known.present,
            track=flying.track,
            touchdown_m_s=0.0 if first is None else first.touchdown_m_s,
            crash=flying.hops.crash(self.rig),
            declared=declared,
            reason=reason,
            finished=self.phase == "debrief",
            minutes=self.minutes,
            locked_up=state.locked_up,
            pad_north_m=pad.north_m,
            pad_east_m=pad.east_m,
            standing_m=self.rig.world.airframe.frame.foot_down_m,
            hops=hops,
            hints=tuple(state.helper.given),
        )

    def _evening_over(self) -> bool:
        """Tell whether the club locks up now; a hop under way is let come down first."""
        grounded = self.phase in ("bench", "pad") and not self.state.armed
        return grounded and self.minutes > self.evening_min
