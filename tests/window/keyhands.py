"""Hands that can only press keys: they do what a stand-in wants through the window's screens."""

from collections.abc import Callable
from math import hypot

import numpy as np

from sim.aircraft.assemble import TURN_LIMIT_RAD_S
from sim.bench.check import sticks as at_rest
from sim.bench.checklist import CHECKS
from sim.bench.inputs import Inputs, Slider, Turning
from sim.bench.rig import COLUMN, History
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.kernel.frames import Quat, attitude_error, from_angles
from sim.kernel.radio import Sticks
from sim.keys import CheckKey
from sim.session import actions as act
from sim.session.inputs import inputs_of
from sim.session.record import Outcome
from sim.session.view import View
from sim.trainees.byhand import OwnHands
from sim.trainees.byhand.hold import LOOK_S
from sim.window import sheet
from sim.window.app import App
from sim.window.names import HOLDS, PLACES_TOLD
from sim.window.practice import Practice
from sim.window.screens.desk import PANEL, Desk
from sim.window.screens.instruments import COMMAND_STEP, SNAPS, MotorSlip
from sim.window.screens.pages.calibrate import RATES, STEPS, CalibratePage
from sim.window.screens.propellers import PropellersSlip
from sim.window.screens.slips import squawk_causes, squawk_items
from sim.window.sticks.keysticks import SPRING_1_S
from tests.window.thumbs import FRAME_S, HANDS_ON, Thumbs, arrived

LONGEST_WAIT = 3000  # frames; own: longer than any check takes
MOST_STROKES = 400  # own: no list is longer
STEP_DEG = 45.0  # deg; what one arrow key turns
LONGEST_ANSWER = 8  # letters; own: what is written does not count, that it is written does
PLAIN = {
    "plug-pack": "p",
    "unplug-pack": "p",
    "switch-transmitter": "t",
    "remove-props": "o",
    "set-mode": "m",
    "arm": "a",
    "disarm": "x",
}


ARRIVES = 250  # frames; own: longer than a key takes to bring a stick anywhere
TURNS = 3000  # frames; own: longer than any turn takes
IDLE_FRAME_S = 0.05  # s; own: while nothing is moved, frames may be as long as the window lets them


ON_THE_PAD: tuple[act.Action, ...] = (
    act.SwitchTransmitter(on=True),
    act.FitProps(),
    act.Carry(to="pad", hold="standing"),
    act.PlugPack(),
)


class KeyHands:
    """Does actions by strokes. `strike(key)` strikes one, `types(words)` writes, `frame` lets time go.

    `frame(held, seconds)` draws one frame with keys held down.
    """

    def __init__(
        self,
        app: App,
        strike: Callable[[str], None],
        types: Callable[[str], None],
        frame: Callable[[frozenset[str], float], None],
    ) -> None:
        self.app, self.strike, self.types, self.frame = app, strike, types, frame
        self.struck = 0
        self.thumbs = Thumbs()
        self._turned = False  # the hands are on the aircraft, the sticks not at rest

    @property
    def practice(self) -> Practice:
        """Return the drill under way."""
        assert isinstance(self.app.drill, Practice)
        return self.app.drill

    @property
    def desk(self) -> Desk:
        """Return the desk."""
        assert isinstance(self.app.screen, Desk), self.app.screen
        return self.app.screen

    def key(self, name: str) -> None:
        """Strike a key."""
        self.struck += 1
        self.strike(name)

    def settle(self) -> None:
        """Wait until nothing is being done."""
        for _ in range(LONGEST_WAIT):
            if self.practice.ready and not self.practice.busy:
                return
            self.frame(frozenset(), FRAME_S)
        raise AssertionError(f"still busy: {self.practice.busy}")

    def reach(self, node: str) -> None:
        """Bring the focus to a node by Tab, arrows and page keys."""
        ui = self.app.ui
        prefix, _, number = node.rpartition(":")
        for _ in range(MOST_STROKES):
            if ui.focus == node:
                return
            here, _, at = (ui.focus or "").rpartition(":")
            if prefix and here == prefix:
                away = int(number) - int(at)
                room = sum(n.id.rpartition(":")[0] == prefix for n in ui.tree)
                if abs(away) >= room > 1:
                    self.key("pagedown" if away > 0 else "pageup")
                else:
                    self.key("down" if away > 0 else "up")
            else:
                self.key("tab")
        raise AssertionError(f"no way to {node} from {ui.focus}: {[n.id for n in ui.tree]}")

    def press(self, node: str) -> None:
        """Bring the focus somewhere and press it."""
        self.reach(node)
        self.key("return")

    # --- the two calls of a stand-in -------------------------------------------------------------

    def do(self, action: act.Action) -> Outcome:
        """Do something by keys; raises Refusal as the session would."""
        self.settle()
        before = self.practice.last
        self.perform(action)
        for _ in range(LONGEST_WAIT):
            said = self.practice.last
            if said is not before and said is not None and not self.practice.busy:
                break
            self.frame(frozenset(), FRAME_S)
        else:
            raise AssertionError(f"nothing came of {action}")
        assert type(said.action) is type(action), (said, action)
        if said.refused:
            raise Refusal(said.words, *said.reasons)
        return Outcome(said.words, said.reading)

    def advance(self, inputs: Sticks | Inputs, seconds: float) -> History:
        """Do with sticks, aircraft and motor test what hands should do for a time."""
        sticks, turning, motor = inputs_of(inputs)
        if turning is not None:
            self._turn_it(turning, seconds)
        else:
            if self._turned:
                self._arrive(at_rest(), True)
            self._turned = False
            if self.practice.view.doing is not None:
                if isinstance(self.app.screen, Desk):
                    self._switch(sticks)
                    self._slide(motor)
                if motor is None:
                    self._arrive(sticks, False)
            self._pass(sticks, seconds)
        return History(np.empty((0, len(COLUMN))))

    def _pass(self, sticks: Sticks, seconds: float) -> None:
        """Keep the sticks where they should be for a time."""
        left_s = seconds
        while left_s > 1e-9:
            dt_s = min(FRAME_S, left_s)
            dt_s += self.steer(sticks, False, dt_s, min(IDLE_FRAME_S, left_s))
            left_s -= dt_s

    def steer(self, sticks: Sticks, hands_on: bool, dt_s: float, idle_s: float = 0.0) -> float:
        """Do one frame towards where the sticks should be; return by how much it was longer.

        idle_s : how long it may be if nothing has to be held, s.
        """
        held = self.thumbs.keys(sticks, self.app.controls.positions)
        more_s = max(0.0, idle_s - dt_s) if not held else 0.0
        self.frame(held | ({HANDS_ON} if hands_on else set()), dt_s + more_s)
        return more_s

    def _arrive(self, sticks: Sticks, hands_on: bool) -> None:
        """Bring the sticks where they should be, taking them up if they lie on the desk."""
        for _ in range(ARRIVES):
            if arrived(sticks, self.app.controls.positions):
                return
            if not hands_on:
                self._take_sticks()
            self.steer(sticks, hands_on, FRAME_S)
        raise AssertionError(f"{self.app.controls.positions} does not come to {sticks}")

    # --- the aircraft in the hands ---------------------------------------------------------------

    springs_1_s: float = SPRING_1_S  # how fast a stick let go comes back

    def _turn_it(self, turning: Turning, seconds: float) -> None:
        """Turn it as one does by eye: for a moment, or until it has come as far as it should."""
        self._turned = True
        wanted = at_rest(0.0, turning.roll, turning.pitch, turning.yaw)
        if seconds <= LOOK_S:
            self.steer(wanted, True, seconds)
            return
        goal_rad = hypot(*turning.rate_rad_s(TURN_LIMIT_RAD_S)) * seconds
        size = hypot(*turning)
        axis = tuple(part / size for part in turning)
        turned_rad = 0.0
        for _ in range(TURNS):
            now = self.app.controls.positions
            speed = hypot(now.roll, now.pitch, now.yaw)
            if turned_rad + 0.5 * speed**2 / self.springs_1_s * TURN_LIMIT_RAD_S >= goal_rad:
                break
            before = self._attitude()
            self.steer(wanted, True, FRAME_S)
            moved = attitude_error(self._attitude(), before)
            turned_rad += sum(part * by for part, by in zip(axis, moved, strict=True))
        else:
            raise AssertionError(f"it does not turn: {turning}, {turned_rad:.2f} rad")
        self._arrive(at_rest(), True)

    def _attitude(self) -> Quat:
        """Return how the aircraft is seen to lie."""
        seen = self.practice.view.aircraft
        attitude: Quat = from_angles(seen.roll_rad, seen.pitch_rad, seen.heading_rad)
        return attitude

    def _take_sticks(self) -> None:
        """Take up the sticks, if they lie on the desk."""
        if isinstance(self.app.screen, Desk) and self.app.ui.focus != PANEL:
            if self.app.ui.typing:
                self.key("tab")
            self.key("j")

    def _switch(self, sticks: Sticks) -> None:
        """Put the transmitter's own switches where they should be."""
        if self.practice.stop != (sticks.stop > 0.0):
            self.key("backspace")
        if self.practice.view.conduct.transmitter_on != (sticks.transmitter_on > 0.0):
            self.key("t")
            self.settle()

    def _slide(self, motor: Slider | None) -> None:
        """Lay the motor test down and push its slider; take it away when it is done with."""
        slip = self.desk.slip
        if motor is None:
            if isinstance(slip, MotorSlip):
                self.key("escape")
            return
        if not isinstance(slip, MotorSlip):
            if self.app.ui.focus == PANEL:
                self.key("j")
            if self.desk.in_front != "display":
                self.key("i")
                self.frame(frozenset(), 0.0)
            self.key("u")
            slip = self.desk.slip
            assert isinstance(slip, MotorSlip)
        self.reach("motor-output")
        while slip.output != motor.output:
            self.key("right")
        self.reach("motor-command")
        if motor.command in SNAPS.values():
            self.key(next(key for key, command in SNAPS.items() if command == motor.command))
        while abs(slip.command - motor.command) > 0.5 * COMMAND_STEP + 1e-9:
            self.key("right" if slip.command < motor.command else "left")

    # --- one act by keys -------------------------------------------------------------------------

    def perform(self, action: act.Action) -> None:
        """Press what does an action."""
        if action.do == "unplug-pack" and not self.practice.view.conduct.pack_plugged:
            raise Refusal("The pack is not plugged in.", "already")  # the key would plug it in
        if action.do in PLAIN:
            self._let_go(PLAIN[action.do])
            self.key(PLAIN[action.do])
            return
        getattr(self, "_" + action.do.replace("-", "_"))(action)

    def _fit_prop(self, action: act.FitProp) -> None:
        desk = self.desk
        if not isinstance(desk.slip, PropellersSlip):
            self.key("o")
        slip = desk.slip
        assert isinstance(slip, PropellersSlip)
        self._choose("corner", lambda: slip.place == action.place)
        self._choose("piece", lambda: (slip.piece or slip.place) == action.piece)
        self._choose("face", lambda: slip.face == action.face)
        self._choose("tightness", lambda: slip.tightness == action.tightness)
        self.press("one")

    def _remove_prop(self, action: act.RemoveProp) -> None:
        slip = self.desk.slip
        assert isinstance(slip, PropellersSlip)
        self._choose("corner", lambda: slip.place == action.place)
        self.press("one")

    def _choose(self, node: str, done: Callable[[], bool]) -> None:
        """Press the arrow of a choice until it shows what is wanted."""
        self.reach(node)
        for _ in range(MOST_STROKES):
            if done():
                return
            self.key("right")
        raise AssertionError(f"{node} never shows it")

    def _fit_props(self, action: act.FitProps) -> None:
        self.key("o")
        self.press("fit-all")

    def _let_go(self, key: str) -> None:
        """Put the sticks down where their keys are in the way of an act's."""
        if isinstance(self.app.screen, Desk) and self.app.ui.focus == PANEL and key == "a":
            self.key("j")

    def page(self, key: str) -> None:
        """Turn to a page of the folder."""
        if self.app.ui.typing:
            self.key("tab")
        if isinstance(self.desk.slip, MotorSlip):
            self.key("escape")
        if self.app.ui.focus == PANEL:
            self.key("j")
        self.key(key)

    def _begin(self, action: act.Begin) -> None:
        self.page("1")
        checks = [item.check for item in self.desk.card.card.items]
        if action.check in checks:
            self.press(f"item:{checks.index(action.check)}")
            return
        ordered = [c.key for c in sorted(CHECKS.values(), key=lambda c: (c.code, c.key))]
        self.page("2")
        self.press(f"check:{ordered.index(action.check)}")

    def _done(self, action: act.Done) -> None:
        self.page("k")

    def _read(self, action: act.Read) -> None:
        self.page("1")
        checks = [item.check for item in self.desk.card.card.items]
        if action.check in checks:
            self.shown(action.check, f"item:{checks.index(action.check)}")
            return
        ordered = [c.key for c in sorted(CHECKS.values(), key=lambda c: (c.code, c.key))]
        self.page("2")
        self.shown(action.check, f"check:{ordered.index(action.check)}")

    def shown(self, check: CheckKey, node: str) -> None:
        """Have a check shown at its line: by Enter, or by its own key if it is done by hand."""
        self.reach(node)
        self.key("y" if CHECKS[check].by_hand is not None else "return")

    def _answer(self, action: act.Answer) -> None:
        self.page("1")
        page = self.desk.card
        wanted = [c.key for c in page.cards].index(action.card)
        while page.at != wanted:
            self.key("]" if page.at < wanted else "[")
        if action.item == "complete":
            self.key("c")
            if page.doubted == action.card:  # the helper asks once; what was counted stays counted
                self.key("c")
            return
        items = [i.key for i in page.card.items]
        self.reach(f"item:{items.index(action.item)}")
        self.reach(f"answer-{action.card}-{action.item}")
        self.types(action.value[:LONGEST_ANSWER])
        self.key("return")

    def _squawk(self, action: act.Squawk) -> None:
        fault = CATALOGUE[action.cause]
        if action.check is None:
            self.key("q")
        else:
            self.pick(action.check, action.line)
        self.press(f"squawk-item:{squawk_items().index((fault.family, fault.item))}")
        causes = squawk_causes(fault.family, fault.item)
        self.press(f"squawk-cause:{causes.index(action.cause)}")
        self.press(f"sure:{action.confidence - 1}")

    def pick(self, check: CheckKey, line: str) -> None:
        """Pick a line of a reading, which is laid on top from the log if it is not there."""
        if self.desk.lines.check != check:
            log = self.practice.log[::-1]
            self.page("8")
            read = (i for i, (_, s) in enumerate(log) if s.reading and s.reading.check == check)
            self.press(f"log:{next(read)}")
        if self.app.ui.typing:
            self.key("tab")
        for _ in range(self.desk.lines.pages + 1):
            self.frame(frozenset(), 0.0)
            seen = self.desk.lines.seen
            if line in seen:
                break
            self.key("l")
        self.key("r")
        for _ in range(seen.index(line)):
            self.key("right")
        self.key("return")

    def _set(self, action: act.Set) -> None:
        self.page("3")
        self.settle()  # the page is read as it is opened
        self.frame(frozenset(), 0.0)
        rows = sheet.rows(self.practice.view)
        at = next(i for i, row in enumerate(rows) if row.key == action.key)
        self.press(f"setting:{at}")
        row = rows[at]
        if row.options:
            away = row.options.index(action.value) - row.options.index(row.value)
            for _ in range(abs(away)):
                self.key("right" if away > 0 else "left")
            self.press("set-it")
            return
        for _ in sheet.entry(row.value):
            self.key("backspace")
        self.types(sheet.entry(action.value))
        self.key("return")

    def _swap(self, action: act.Swap) -> None:
        from sim.bench.parts import PARTS

        self.page("5")
        self.press(f"part:{list(PARTS).index(action.part)}")

    def _prepare(self, action: act.Prepare) -> None:
        from sim.procedure.preparations import PREPARATIONS

        self.page("6")
        self.press(f"prepare:{list(PREPARATIONS).index(action.what)}")

    def _wait(self, action: act.Wait) -> None:
        from sim.procedure.preparations import PREPARATIONS

        self.page("6")
        self.press(f"prepare:{len(PREPARATIONS)}")

    def _calibrate(self, action: act.Calibrate) -> None:
        self.page("4")
        self.press(f"step:{[step for step, _ in STEPS].index(action)}")

    _cable = _load_software = _disconnect = _calibrate

    def _connect(self, action: act.Connect) -> None:
        self.page("4")
        page = self.desk.pages[CalibratePage.act]
        assert isinstance(page, CalibratePage)
        self.reach("by")
        while page.by != action.by:
            self.key("right")
        self.reach("rate")
        for _ in RATES:
            if page.rate != str(action.rate_bd):
                self.key("right")
        self.press("connect")

    def _carry(self, action: act.Carry) -> None:
        options = [(p, h) for p in PLACES_TOLD for h in HOLDS]
        self.key("g")
        self.press(f"carry:{options.index((action.to, action.hold))}")

    def _finish(self, action: act.Finish) -> None:
        self.key("e")
        self.press("finish:0")

    def _declare(self, action: act.Declare) -> None:
        self.key("v")
        self.reach("reason")
        self.types(action.reason)
        self.key("return")
        self.press(f"verdict:{['clear', 'stay on the bench'].index(action.verdict)}")

    def _withdraw(self, action: act.Withdraw) -> None:
        self.page("7")
        claims = list(self.practice.view.squawks)
        self.press(f"squawk:{claims.index(action.item)}")

    def _turn(self, action: act.Turn) -> None:
        wanted = (action.roll_deg, action.pitch_deg, action.heading_deg)
        self.page("h")
        pose = self.desk.hand.pose
        if wanted == tuple(pose) or any(angle % STEP_DEG for angle in pose):
            self.key("0")
            self.settle()
        for axis, (minus, plus) in enumerate((("left", "right"), ("up", "down"), (",", "."))):
            away = round((wanted[axis] - self.desk.hand.pose[axis]) / STEP_DEG)
            for _ in range(abs(away)):
                self.settle()
                self.key(plus if away > 0 else minus)


class WindowHands(OwnHands):
    """The hands of somebody who works by hand and sees what the window has to show."""

    def __init__(self, keys: KeyHands) -> None:
        super().__init__(keys, keys.practice.session)
        self._keys = keys

    def see(self) -> View:
        """Return what the window draws from."""
        return self._keys.practice.view

    def do(self, action: act.Action) -> Outcome:
        """Do one thing; a check of which a part was missed is worked at once more."""
        outcome = super().do(action)
        if isinstance(action, act.Read) and outcome.reading is not None and outcome.reading.missing:
            return super().do(action)
        return outcome
