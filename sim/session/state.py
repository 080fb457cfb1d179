"""Everything an attempt holds; each part keeps what is its own, and all of it is the truth."""

from collections.abc import Callable
from typing import Any

import numpy as np

from sim.bench.check import Need, unmet
from sim.bench.connection import Board
from sim.bench.rig import History, Rig
from sim.errors import refuse_for
from sim.keys import HazardKey
from sim.procedure import hazards
from sim.session.byhand import ByHand
from sim.session.calibrating import Calibrations
from sim.session.display import Instruments
from sim.session.evening import Evening
from sim.session.flying import Flying
from sim.session.hints import Helper
from sim.session.known import Known
from sim.session.record import Outcome
from sim.session.scenario import Scenario


class State:
    """The parts of one attempt at a drill.

    follows : what follows the aircraft. hidden : the faults the drill put in; chance : of what breaks, of spare parts and of work.
    """

    def __init__(self, scenario: Scenario, seed: int, follows: type[Flying]) -> None:
        self.scenario = scenario
        world, self.hidden = scenario.set_out(np.random.default_rng(seed))
        self.chance = np.random.default_rng(seed).spawn(2)[1]  # [0] is the build's
        self.rig = rig = Rig(world, seed)
        rig.place()
        rig.listener = self._heard
        self.board = Board(bool(scenario.blank), seed)
        self.evening = Evening(rig)
        self.known = Known(scenario.airframe, scenario.place)
        planned_s = scenario.hop.planned_s
        self.flying = follows(rig, self.evening, self.known, planned_s, self.chance)
        self.by_hand = ByHand(rig)
        self.calibrations = Calibrations()
        self.instruments = Instruments()
        self.helper = Helper(scenario)
        self.declared: tuple[str, str] | None = None
        self.locked_up = False

    @property
    def armed(self) -> bool:
        """Whether the motors are armed."""
        return self.flying.armed

    def _heard(self, history: History) -> None:
        """Let everything that listens take in a stretch of time."""
        self.calibrations.hear(history)
        self.instruments.hear(history, self.rig.testing)
        self.flying.hear(history)

    def conduct(self, **changes: object) -> None:
        """Change who and what is where."""
        world = self.rig.world
        conduct = world.conduct.model_copy(update=changes)
        self.rig.change(world.model_copy(update={"conduct": conduct}))

    def needs(self, *needs: Need) -> None:
        """Refuse with what has to be done first, where something is needed that is not so."""
        refuse_for(unmet(needs, self.rig.world.conduct))

    def unsafe_to_turn(self) -> list[HazardKey]:
        """Return the hazards of turning the motors as things stand."""
        conduct, on_pad = self.rig.world.conduct, self.flying.phase == "pad"
        return hazards.on_turning(conduct) + hazards.on_arming(self.known.facts, conduct, on_pad)

    def end(self) -> None:
        """End the drill."""
        if self.rig.world.conduct.pack_plugged:
            self.evening.log("still-plugged")
        self.flying.phase = "debrief"

    def lock_up(self) -> None:
        """End the drill for somebody who is still at it: whoever locks up pulls the plug."""
        self.conduct(pack_plugged=False)
        self.locked_up = True
        self.end()


Deed = Callable[[State, Any], Outcome]
"""What an action does to an attempt. (state, action): what is said of it; may raise Refusal."""
