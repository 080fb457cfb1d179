"""A drill under way: holds the truth, takes actions and sticks, shows what can be perceived."""

from collections.abc import Callable
from typing import Any, cast

import numpy as np

from sim.aircraft.assemble import assemble
from sim.aircraft.blank import told
from sim.aircraft.changes import with_values
from sim.aircraft.fields import NO_OFFSET, PLACES, Place
from sim.aircraft.scatter import renewed
from sim.aircraft.world import World
from sim.bench import fitting
from sim.bench.check import Check, Need, unmet
from sim.bench.checklist import CHECKS
from sim.bench.checks.attitude import set_down
from sim.bench.connection import Board
from sim.bench.inputs import Inputs
from sim.bench.interlocks import refuse_to_arm
from sim.bench.parts import swap
from sim.bench.reading import Reading
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.errors import Reason, Refusal, refuse_for
from sim.faults.catalogue import present_faults
from sim.faults.fault import Truth
from sim.kernel.clock import ticks
from sim.kernel.history import HISTORY
from sim.kernel.radio import Sticks
from sim.keys import CheckKey, HazardKey, PartKey
from sim.procedure import cards, hazards, interruptions
from sim.procedure.preparations import PREPARATIONS, prepared
from sim.procedure.rubric import shipped
from sim.session import actions as act
from sim.session import byhand, connecting, perceived
from sim.session.calibrating import START_UP_S, Calibrations
from sim.session.connecting import WARM_MIN
from sim.session.display import Instruments
from sim.session.fixes import fix_of
from sim.session.flying import Flying
from sim.session.inputs import inputs_of, require
from sim.session.reach import reach_of
from sim.session.record import Event, Outcome, Record
from sim.session.scenario import Scenario
from sim.session.view import Seen, View, crash_words, look, visible
from sim.units import RAD_PER_DEG

WATCH_TICKS = ticks(0.02)  # own: on the pad and in the air somebody looks up this often
TRACE_MS = 10  # ms; design: trace at 100 Hz

HALF = "A part of it is read. What else there is to see has still to be done."
TAUT = "The cable is taut: so far and no further. The telemetry radio leaves the hands free."
LOCK_UP = "The evening is over: the club locks up, and the pack is unplugged for you."


class Session(Flying):
    """One attempt at a drill. The same scenario, seed, actions and sticks give the same bits."""

    def __init__(self, scenario: Scenario, seed: int) -> None:
        self.scenario = scenario
        self.seed = seed
        world, self._hidden = scenario.set_out(np.random.default_rng(seed))
        chance = np.random.default_rng(seed).spawn(2)[1]  # [0] is the build's
        super().__init__(Rig(world, seed), scenario.airframe, chance)
        self.rig.listener = self._heard
        self._by_hand = byhand.ByHand(self.rig)
        self._ticked: set[CheckKey] = set()  # on the card, but nobody did them
        self._events: list[Event] = []
        self._calibrations = Calibrations()
        self._instruments = Instruments()
        self.board = Board(bool(scenario.blank), seed)
        self._declared: tuple[str, str] | None = None
        self._locked_up = False
        self.rig.place()
        self._last_look = (self.rig.tick, look(self.rig))
        if self.rig.world.conduct.pack_plugged:
            self.rig.run(HANDS_OFF, START_UP_S)  # somebody has plugged it in already
        self._present = present_faults(self.truth())
        self._at_start = self._present

    # --- the three calls everything uses -----------------------------------------------------

    def do(self, action: act.Action) -> Outcome:
        """Do one thing; raises Refusal with the reason if it can't be done now."""
        if self.phase == "debrief":
            raise Refusal("The drill is over.", "over")
        handler: Callable[[Any], Outcome] = getattr(self, "_" + action.do.replace("-", "_"))
        reach, before, refused, reading = reach_of(action), self.rig.world, None, None
        began_min = self.minutes
        self._log_all(hazards.on_reaching(reach, before.conduct, self._armed()))
        try:
            outcome = handler(action)
            reading = outcome.reading
        except Refusal as refusal:
            refused = str(refusal)
            raise
        finally:
            now = self.rig.world
            changed = (now.build, now.setup, now.site) != (before.build, before.setup, before.site)
            if refused is None:
                self.minutes += action.takes_min
            self._warming.after(self.rig, self.minutes - began_min)
            self._by_hand.after(action, refused is not None, changed)
            if self.rig.world is not before:
                self._notice_change()
            if refused is None:
                self._log_all(hazards.on_touching(reach, before.conduct, now.conduct))
            what = (self.rig.tick, self.phase, action, refused, reading, self._present)
            self._events.append(Event(*what, now.conduct, changed))
        if self._evening_over():
            self._lock_up()
            return Outcome(f"{outcome.words} {LOCK_UP}", reading)
        return outcome

    def advance(self, inputs: Sticks | Inputs, seconds: float) -> History:
        """Let time pass with the hands as they are; returns what a logger aboard would have."""
        inputs = inputs_of(inputs)
        require(inputs, seconds)
        if self.phase == "debrief":
            raise Refusal("The drill is over.", "over")
        byhand.refuse_hands(inputs, self.rig, self.board)
        self._log_all(byhand.hazards_of(inputs, self.rig))
        if inputs.motor is not None:
            self._log_all(self._unsafe_to_turn())
        history = self._by_hand.advance(inputs, seconds)
        if self._by_hand.check is not None or self._calibrations.under_way:
            self.minutes += seconds / 60.0
            self._warming.after(self.rig, seconds / 60.0)
        return history

    @property
    def evening_min(self) -> float:
        """Minutes until the club locks up."""
        return self.scenario.careful_min * shipped().evening

    def view(self) -> View:
        """Return what the person there perceives."""
        rig = self.rig
        return View(
            phase=self.phase,
            time_s=rig.time_s,
            minutes=self.minutes,
            evening_min=self.evening_min,
            careful_min=self.scenario.careful_min,
            armed=rig.value("armed") > 0.0,
            alarm=self._watch.alarm,
            shown_pack_v=rig.shown_pack_v,
            board=self.board.looks(rig.world.conduct.pack_plugged),
            cards=cards.in_hand(bool(self.scenario.blank), bool(self._hops.all)),
            crash=crash_words(int(rig.value("crash"))),
            hops=len(self._hops.all),
            conduct=visible(rig.world.conduct),
            room=rig.world.site.room,
            airframe=rig.world.airframe,
            aircraft=self._seen(),
            setup=rig.world.setup if connecting.readable(self.board, rig.world) else None,
            sheet=rig.world.airframe.sheet.setup,
            facts=frozenset(self._facts | self._ticked),
            readings=dict(self._readings),
            squawks=dict(self._squawks),
            collecting=self._calibrations.compass is not None,
            collected_ut=self._calibrations.collected_ut(),
            doing=self._by_hand.check,
            doing_s=self._by_hand.seconds,
            display=self._instruments.shown(self.board, rig, self._by_hand.held),
            transmitter=perceived.transmitter_meter(rig),
            motors=perceived.motors(rig),
            propellers=perceived.propellers(rig),
            cabled=self.board.cable,
            felt=perceived.felt(rig),
            faces=self._calibrations.faces_taken(),
        )

    def truth(self) -> Truth:
        """Return the truth, for scoring, tests and the all-knowing stand-in."""
        left = self.scenario.hop.planned_s
        if self._watch.takeoff_s is not None:
            left = max(1.0, left - (self.rig.time_s - self._watch.takeoff_s))
        rig = self.rig
        whole = with_values(rig.world, {"conduct.props_fitted": True, "conduct.bare": ()})
        craft = assemble(whole, rig.target)
        return Truth(rig.world, craft, rig.tables, rig.cells(), left)

    def record(self) -> Record:
        """Return the whole run so far, for scoring."""
        pad, hops = self.rig.world.site.places.pad, self._hops.as_of(self.rig)
        first = hops[0] if hops else None
        rows = np.vstack(self._trace) if self._trace else np.empty((0, len(HISTORY)))
        declared, reason = self._declared or (None, "")
        return Record(
            scenario=self.scenario,
            seed=self.seed,
            hidden=self._hidden,
            present_at_start=self._at_start,
            events=tuple(self._events),
            hazards=tuple(self._hazards),
            takeoff_s=None if first is None else first.takeoff_s,
            present_at_takeoff=frozenset() if first is None else first.present,
            present_now=self._present,
            track=History(rows),
            touchdown_m_s=0.0 if first is None else first.touchdown_m_s,
            crash=self._hops.crash(self.rig),
            declared=declared,
            reason=reason,
            finished=self.phase == "debrief",
            minutes=self.minutes,
            locked_up=self._locked_up,
            pad_north_m=pad.north_m,
            pad_east_m=pad.east_m,
            hops=hops,
        )

    # --- perception ---------------------------------------------------------------------------

    def _seen(self) -> Seen:
        if self._last_look[0] != self.rig.tick:
            self._last_look = (self.rig.tick, look(self.rig))
        return self._last_look[1]

    def _heard(self, history: History) -> None:
        """Keep the trace of the pad and the hop, and compass readings while they are wanted."""
        conduct = self.rig.world.conduct
        if conduct.place == "pad" and conduct.props_fitted:
            self._trace.append(history.each(TRACE_MS).rows)
        self._calibrations.hear(history)
        self._instruments.hear(history, self.rig.testing)
        self._watch_flight()

    # --- changes ------------------------------------------------------------------------------

    def _void(self, action: act.Action) -> None:
        """Make due again what an action that is a fix may have made untrue."""
        fix = fix_of(action)
        if fix is not None:
            self._due_again(fix)

    def _change(self, world: World) -> None:
        self.rig.change(world)

    def _conduct(self, **changes: object) -> None:
        world = self.rig.world
        conduct = world.conduct.model_copy(update=changes)
        self._change(world.model_copy(update={"conduct": conduct}))

    def _refuse_if(self, condition: bool, words: str, reason: Reason) -> None:
        if condition:
            raise Refusal(words, reason)

    def _needs(self, *needs: Need) -> None:
        refuse_for(unmet(needs, self.rig.world.conduct))

    def _armed(self) -> bool:
        return self.rig.value("armed") > 0.0

    def _unsafe_to_turn(self) -> list[HazardKey]:
        conduct, facts = self.rig.world.conduct, frozenset(self._facts)
        return hazards.on_turning(conduct) + hazards.on_arming(facts, conduct, self.phase == "pad")

    # --- actions ------------------------------------------------------------------------------

    def _switch_transmitter(self, action: act.SwitchTransmitter) -> Outcome:
        self._conduct(transmitter_on=action.on)
        self.rig.run(HANDS_OFF, 0.2)
        return Outcome(f"Transmitter {'on' if action.on else 'off'}.")

    def _plug_pack(self, action: act.PlugPack) -> Outcome:
        conduct = self.rig.world.conduct
        self._refuse_if(conduct.pack_plugged, "The pack is plugged in already.", "already")
        burnt = connecting.plugged_wrong(self.rig.world)
        if burnt is not None:
            self._log("wrong-polarity-plugged")
            self._change(burnt)
            return Outcome("A crack, a flash, smoke: you pull the pack out again. It is dead.")
        if self.rig.world.build.pack.swollen:
            self._log("swollen-pack-plugged")
        self._conduct(pack_plugged=True)
        if conduct.hold != "hands":  # set down, it lies still while it starts
            still = {"build.sensors.gyro_moved_deg_s": NO_OFFSET}
            self._change(renewed(self.rig.world, still, self._chance))
        self._log_all(hazards.on_power(self.rig.world.conduct))
        self._void(action)
        self.rig.run(HANDS_OFF, START_UP_S)
        return Outcome("Plugged in; the controller has started.")

    def _unplug_pack(self, action: act.UnplugPack) -> Outcome:
        conduct = self.rig.world.conduct
        self._refuse_if(not conduct.pack_plugged, "The pack is not plugged in.", "already")
        self._refuse_if(
            self._seen().rotors_turning and conduct.props_fitted,
            "The propellers are still turning: disarm and wait.",
            "rotors_still",
        )
        self._conduct(pack_plugged=False)
        self.board.power_gone()
        self._calibrations = Calibrations()
        self.rig.run(HANDS_OFF, 0.5)
        return Outcome("Unplugged.")

    def _settle_phase(self) -> None:
        """Tell the pad from the bench: propellers on, standing on the pad."""
        conduct = self.rig.world.conduct
        on_pad = conduct.place == "pad" and conduct.hold == "standing" and conduct.props_fitted
        self.phase = "pad" if on_pad else "bench"
        self.rig.watch_ticks = WATCH_TICKS if on_pad else 0

    def _refuse_if_turning(self) -> None:
        self._refuse_if(self._armed(), "The motors are armed: disarm first.", "disarmed")
        turning = self._seen().rotors_turning
        self._refuse_if(turning, "The motors are still turning: wait.", "rotors_still")

    def _refuse_if_flown_with_props(self) -> None:
        on = self._hops.flown and self.rig.world.conduct.props_fitted
        words = "After a hop the propellers come off before anything is changed."
        self._refuse_if(on, words, "props_off")

    def _cable(self, action: act.Cable) -> Outcome:
        words = connecting.plug_cable(self.board, self.rig.world, action.plugged)
        self.rig.tie(action.plugged)
        return Outcome(words)

    def _connect(self, action: act.Connect) -> Outcome:
        return Outcome(connecting.connect(self.board, self.rig.world, action))

    def _disconnect(self, action: act.Disconnect) -> Outcome:
        return Outcome(self.board.disconnect())

    def _load_software(self, action: act.LoadSoftware) -> Outcome:
        world, words = connecting.load(self.board, self.rig.world)
        self._change(world)
        return Outcome(words)

    def _fit_props(self, action: act.FitProps) -> Outcome:
        on = self.rig.world.conduct.propellers_on == set(PLACES)
        self._refuse_if(on, "The propellers are on already.", "already")
        self._refuse_if_turning()
        self._conduct(props_fitted=True, bare=())
        self._log_all(hazards.on_power(self.rig.world.conduct))
        self._settle_phase()
        self._due_again("fit-props")
        return Outcome("Propellers fitted: hand, face, tightness, free turn looked at.")

    def _fit_prop(self, action: act.FitProp) -> Outcome:
        place, piece = action.place, action.piece
        self._refuse_if_turning()
        fitting.refuse_fitting(self.rig.world.conduct, place, piece)
        if piece in fitting.SPARES:
            gone = fix_of(action) in self.scenario.lacking
            self._refuse_if(gone, "There is no propeller on the shelf tonight.", "not_tonight")
            part = cast(PartKey, f"propeller-{place.replace('_', '-')}")
            swap(self.rig, part, self.scenario.pack_charge, self._chance)
            bad = self.scenario.bad_spares
            fitting.take_from_shelf(self.rig, place, piece, self._chance, bad)
        elif piece != place:
            fitting.exchange(self.rig, place, cast(Place, piece))
        fitting.tighten(self.rig, place, action.face, action.tightness, self._chance)
        self._log_all(hazards.on_power(self.rig.world.conduct))
        self._settle_phase()
        self._due_again("fit-props")
        self._void(action)
        return Outcome(f"A propeller is on at the {fitting.told(place)}.")

    def _remove_prop(self, action: act.RemoveProp) -> Outcome:
        conduct, place = self.rig.world.conduct, action.place
        bare = place not in conduct.propellers_on
        self._refuse_if(bare, f"None is on at the {fitting.told(place)}.", "already")
        self._refuse_if_turning()
        left = fitting.on_hubs(conduct, conduct.propellers_on - {place})
        self._conduct(props_fitted=left.props_fitted, bare=left.bare)
        self._settle_phase()
        self._due_again("remove-props")
        return Outcome(f"The one at the {fitting.told(place)} is off.")

    def _remove_props(self, action: act.RemoveProps) -> Outcome:
        off = not self.rig.world.conduct.props_fitted
        self._refuse_if(off, "The propellers are off already.", "already")
        self._refuse_if_turning()
        self._conduct(props_fitted=False, bare=())
        self._settle_phase()
        self._void(action)
        return Outcome("Propellers off and laid aside.")

    def _prepare(self, action: act.Prepare) -> Outcome:
        gone = fix_of(action) in self.scenario.lacking
        self._refuse_if(gone, "Not to be had tonight.", "not_tonight")
        self._change(prepared(self.rig.world, action.what, self._chance))
        self._void(action)
        if action.what == "restart-card":
            self._ticked.clear()
        return Outcome(PREPARATIONS[action.what][0])

    def _wait(self, action: act.Wait) -> Outcome:
        self._refuse_if(self._armed(), "Disarm before waiting.", "disarmed")
        self.rig.wait(60.0 * action.minutes)
        self.minutes += action.minutes
        if self.rig.world.conduct.pack_plugged and action.minutes >= WARM_MIN:
            self._void(action)
            self._change(connecting.warmed(self.rig.world))
        return Outcome(f"Waited {action.minutes:g} minutes.")

    def _carry(self, action: act.Carry) -> Outcome:
        self._refuse_if(self._armed(), "The motors are armed: disarm first.", "disarmed")
        self._refuse_if(
            self._seen().rotors_turning and self.rig.world.conduct.props_fitted,
            "The propellers are still turning: wait.",
            "rotors_still",
        )
        connecting.refuse_leaving(self.board, action.to)
        self._hops.picked_up(self.rig)
        self._conduct(place=action.to, hold=action.hold)
        self._log_all(hazards.on_power(self.rig.world.conduct))
        self._log_all(hazards.on_leaving(self.rig.world.conduct, action.to))
        self.rig.place()
        self.rig.run(HANDS_OFF, 0.5)
        self._settle_phase()
        return Outcome(f"At the {action.to.replace('_', ' ')}.")

    def _turn(self, action: act.Turn) -> Outcome:
        if self.rig.world.conduct.hold == "standing":
            return self._turn_on_plate(action)
        self._needs("in_hands")
        self.rig.turn(action.roll_deg, action.pitch_deg, action.heading_deg)
        return Outcome(TAUT if self.rig.taut() else "Turned.")

    def _turn_on_plate(self, action: act.Turn) -> Outcome:
        """Lift it from the levelled plate and set it down again with the nose another way."""
        off_plate = self.rig.world.conduct.place != "bench" or action.roll_deg or action.pitch_deg
        self._refuse_if(bool(off_plate), "Take the aircraft in your hands first.", "in_hands")
        self._refuse_if_turning()
        set_down(self.rig, action.heading_deg * RAD_PER_DEG)
        self.rig.run(HANDS_OFF, 0.5)
        return Outcome("Set down with the nose another way.")

    def _read(self, action: act.Read) -> Outcome:
        check = CHECKS[action.check]
        self._refuse_check(check)
        self._by_hand.drop()
        unsafe = self._unsafe_to_turn() if check.hurts else []
        reading = check.take(self.rig)
        self._log_all(unsafe)
        self.minutes += check.minutes
        self._took(check, reading)
        return Outcome(check.asks, reading)

    def _begin(self, action: act.Begin) -> Outcome:
        self._refuse_check(CHECKS[action.check])
        self.minutes += self._by_hand.begin(action.check)
        return Outcome(
            f"Begun: {CHECKS[action.check].title[0].lower()}{CHECKS[action.check].title[1:]}."
        )

    def _done(self, action: act.Done) -> Outcome:
        self._refuse_if(self._armed(), "Disarm first.", "disarmed")
        reading = self._by_hand.done()
        check = CHECKS[cast(CheckKey, reading.check)]
        if check.key in self._current:
            reading = reading.after(self._readings[check.key])
        self._took(check, reading)
        return Outcome(HALF if reading.missing else check.asks, reading)

    def _refuse_check(self, check: Check) -> None:
        self._needs(*check.needs)
        self._refuse_if(self._armed(), "Disarm before starting a check.", "disarmed")
        if connecting.shown_by(check):
            connecting.refuse_unreached(self.board, self.rig.world)

    def _took(self, check: Check, reading: Reading) -> None:
        """Keep a reading; the check is a fact once all its lines have been read."""
        self._ticked = interruptions.ticked_unread(self._ticked, check, self.rig)
        self._due_again(f"read:{check.key}")
        self._current.add(check.key)
        self._readings[check.key] = reading
        if not reading.missing:
            self._facts.add(check.key)
            self._unproved = {f for f in self._unproved if not self._proves_gone(f, check.key)}

    def _squawk(self, action: act.Squawk) -> Outcome:
        self._squawks[action.item] = action
        return Outcome("Noted on the squawk sheet.")

    def _withdraw(self, action: act.Withdraw) -> Outcome:
        none = action.item not in self._squawks
        self._refuse_if(none, f"No squawk about {action.item!r}.", "unknown")
        del self._squawks[action.item]
        return Outcome("Struck out.")

    def _set(self, action: act.Set) -> Outcome:
        self._refuse_if(self._armed(), "Disarm before changing a setting.", "disarmed")
        connecting.refuse_setting(self.board, self.rig.world, action.key)
        world = connecting.with_setting(self.rig.world, action.key, action.value)
        sheet, was = world.airframe.sheet.setup, self.rig.world.setup.controller
        self._log_all(hazards.on_setting(was, world.setup.controller, sheet))
        self._change(told(world, fix_of(action)))
        self._void(action)
        return Outcome(f"{action.key} is now {action.value}.")

    def _swap(self, action: act.Swap) -> Outcome:
        self._needs("unplugged")
        self._refuse_if_flown_with_props()
        words = action.part.replace("-", " ")
        gone = fix_of(action) in self.scenario.lacking
        self._refuse_if(gone, f"There is no {words} in the parts bin tonight.", "not_tonight")
        swap(
            self.rig, action.part, self.scenario.pack_charge, self._chance, self.scenario.bad_spares
        )
        if action.part == "pack":
            self._watch.silence()
        self._void(action)
        return Outcome(f"Done: {words}.")

    def _calibrate(self, action: act.Calibrate) -> Outcome:
        connecting.refuse_calibrating(self.board, self.rig.world)
        self._refuse_if(self._armed(), "Disarm before a calibration.", "disarmed")
        words, reading = self._calibrations.step(self.rig, action.what)
        self._change(told(self.rig.world, fix_of(action)))
        self._void(action)
        return Outcome(words, reading)

    def _set_mode(self, action: act.SetMode) -> Outcome:
        self._conduct(self_level=action.self_level)
        return Outcome("Self-level." if action.self_level else "Rate.")

    def _arm(self, action: act.Arm) -> Outcome:
        self._refuse_if(self._armed(), "Armed already.", "already")
        refuse_to_arm(self.rig, self._by_hand.held)
        self._log_all(self._unsafe_to_turn())
        self.rig.put("armed", 1.0)
        return Outcome("Armed.")

    def _disarm(self, action: act.Disarm) -> Outcome:
        self.rig.put("armed", 0.0)
        return Outcome("Disarmed.")

    def _answer(self, action: act.Answer) -> Outcome:
        cards.item_of(action.card, action.item)
        return Outcome("Answered.")

    def _declare(self, action: act.Declare) -> Outcome:
        self._refuse_if(self._hops.flown, "Too late: it has flown.", "flown")
        self._refuse_if(self._armed(), "Disarm first.", "disarmed")
        self._declared = (action.verdict, action.reason)
        if action.verdict == "stay on the bench":
            self._end()
        return Outcome(action.verdict)

    def _finish(self, action: act.Finish) -> Outcome:
        self._refuse_if(self._armed(), "Disarm first.", "disarmed")
        self._end()
        return Outcome("Debrief.")

    def _evening_over(self) -> bool:
        """Tell whether the club locks up now; a hop under way is let come down first."""
        grounded = self.phase in ("bench", "pad") and not self._armed()
        return grounded and self.minutes > self.evening_min

    def _lock_up(self) -> None:
        """End the drill for somebody who is still at it: whoever locks up pulls the plug."""
        self._conduct(pack_plugged=False)
        self._locked_up = True
        self._end()

    def _end(self) -> None:
        if self.rig.world.conduct.pack_plugged:
            self._log("still-plugged")
        self.phase = "debrief"
