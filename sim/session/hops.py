"""The hops of an evening: each with what it took off with, and what became of it."""

from dataclasses import replace

from sim.bench.rig import Rig
from sim.keys import FaultId
from sim.session.record import Hop
from sim.session.view import crash_words


class Hops:
    """Keeps the hops of one aircraft, and what it has been through since it was last picked up."""

    def __init__(self) -> None:
        self._hops: list[Hop] = []
        self.crashed = self.wrecked = False  # since then; wrecked: it has broken what it broke
        self._earlier = 0  # crash bits before it was last picked up, with no hop between

    @property
    def all(self) -> tuple[Hop, ...]:
        """Every hop so far."""
        return tuple(self._hops)

    @property
    def flown(self) -> bool:
        """Whether it has left the floor this evening."""
        return bool(self._hops)

    def began(self, takeoff_s: float, present: frozenset[FaultId]) -> None:
        """Begin a hop with the faults it takes off with."""
        self._hops.append(Hop(takeoff_s, present))

    def as_of(self, rig: Rig) -> tuple[Hop, ...]:
        """Return every hop, the last as it stands while it lasts."""
        if not self._hops or self._hops[-1].over_s is not None:
            return self.all
        return (*self._hops[:-1], self._became(rig))

    def over(self, rig: Rig) -> Hop:
        """End the hop under way; return it."""
        self._hops[-1] = replace(self._became(rig), over_s=rig.time_s)
        return self._hops[-1]

    def crash(self, rig: Rig) -> tuple[str, ...]:
        """Return what one says of the crash of the first hop, or of one before it."""
        return self.as_of(rig)[0].crash if self._hops else crash_words(self._bits(rig))

    def picked_up(self, rig: Rig) -> None:
        """Take it off the floor: what it came to lies behind it."""
        self._earlier = 0 if self.flown else self._bits(rig)
        self.crashed = self.wrecked = False
        rig.put("crash", 0.0)
        rig.put("touchdown_m_s", 0.0)

    def _bits(self, rig: Rig) -> int:
        return self._earlier | int(rig.value("crash"))

    def _became(self, rig: Rig) -> Hop:
        crash = crash_words(self._bits(rig))
        return replace(self._hops[-1], touchdown_m_s=rig.value("touchdown_m_s"), crash=crash)
