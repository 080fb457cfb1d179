"""The set-up connection to the controller and the load of its software.

By cable or by telemetry radio, each with its own serial rate; a wrong rate connects to nothing.
The cable powers the board but not the drives.
"""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from sim.errors import Refusal

By = Literal["cable", "telemetry"]
Rate = Literal[9600, 19200, 38400, 57600, 115200, 230400]  # Bd; common serial rates
RATE_BD: dict[By, Rate] = {"cable": 115200, "telemetry": 57600}  # Bd; common practice
FAIL_CHANCE = 0.3  # own: how often a load stops half way
HANGS = "one light, steady"
MOST_FAILURES = 2  # own: the third try always goes through, a drill must end


def _chance(seed: int) -> np.random.Generator:
    return np.random.default_rng([seed % 2**63, 7])


@dataclass
class Board:
    """The controller board as seen from the set-up program.

    fresh : True if settings can be reached by an open connection only, as on a new board; seed
    fixes the mishaps of its loads.
    """

    fresh: bool
    seed: int
    cable: bool = False
    by: By | None = None
    hangs: bool = False
    failures: int = 0
    chance: np.random.Generator = field(init=False)

    def __post_init__(self) -> None:
        """Seed the mishaps."""
        self.chance = _chance(self.seed)

    def powered(self, pack: bool) -> bool:
        """Tell whether the board has power, from pack or cable. pack : True if plugged in."""
        return pack or self.cable

    def connected(self, pack: bool) -> bool:
        """Tell whether a connection is open and still has what carries it."""
        return {"cable": self.cable, "telemetry": pack, None: False}[self.by]

    def looks(self, pack: bool) -> str:
        """Return what lights and set-up program show of the board."""
        if not self.powered(pack):
            return "no light"
        if self.hangs:
            return HANGS
        return f"connected by {self.by}" if self.connected(pack) else "lights on, not connected"

    def plug_cable(self, plugged: bool, pack: bool) -> str:
        """Put the cable in or pull it out; without any power the board forgets that it hangs."""
        if plugged == self.cable:
            raise Refusal(f"The cable is {'in' if plugged else 'out'} already.", "already")
        self.cable = plugged
        if not plugged and self.by == "cable":
            self.by = None
        if not self.powered(pack):
            self.hangs = False
        if plugged:
            return "Cable in: the board's lights come on, the drives stay dark."
        return "Cable out."

    def power_gone(self) -> None:
        """Take note that the pack is out; without any power the board forgets that it hangs."""
        if not self.cable:
            self.hangs = False

    def connect(self, by: By, rate_bd: int, pack: bool, blank: bool) -> str:
        """Open a connection, or refuse with what is seen instead of one."""
        if by == "cable" and not self.cable:
            raise Refusal("No port is listed: the cable is not plugged in.", "cable_in")
        if by == "telemetry" and not pack:
            raise Refusal(
                "The radio's lamp blinks: it finds no partner, the aircraft has no power.",
                "powered",
            )
        if self.hangs or blank:
            raise Refusal(
                "The port opens, but nothing comes: no software runs on the board.", "software"
            )
        if rate_bd != RATE_BD[by]:
            self.by = None
            raise Refusal(
                f"Signs arrive at {rate_bd} Bd but make no sense; after ten seconds it gives up.",
                "other_rate",
            )
        self.by = by
        return "Connected: the settings come in."

    def disconnect(self) -> str:
        """Close the connection."""
        if self.by is None:
            raise Refusal("No connection is open.", "connected")
        self.by = None
        return "Connection closed."

    def load(self, pack: bool) -> str | None:
        """Load the software; return None if it went through, else what was seen; may refuse."""
        if not self.cable:
            raise Refusal("The load goes over the cable: plug it in.", "cable_in")
        if pack:
            raise Refusal(
                "Unplug the pack: nothing but the cable may be connected during a load.",
                "unplugged",
            )
        if self.by is not None:
            raise Refusal("Close the connection first: it holds the port.", "disconnected")
        if self.hangs:
            raise Refusal(
                "The board does not answer: unplug it, plug it in again, then repeat.", "restarted"
            )
        if self.failures < MOST_FAILURES and self.chance.random() < FAIL_CHANCE:
            self.failures += 1
            self.hangs = True
            return f"The bar stopped at {self.chance.integers(15, 90)} % and an error came up."
        self.failures = 0
        return None
