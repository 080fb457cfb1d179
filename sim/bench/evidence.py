"""What a line speaks for: measured bands and measured moves together."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property

from sim.aircraft import library
from sim.aircraft.design import world_of
from sim.aircraft.library import Design, Place, called
from sim.aircraft.site import Site
from sim.bench.bands import Bands, Edge, Side, bands
from sim.bench.bands import file_of as bands_file
from sim.bench.lines import measures
from sim.bench.moves import Move, Moves, moves
from sim.bench.moves import file_of as moves_file
from sim.errors import InputError, Problem
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId

FIELD_SIZES = ("field_ut", "standing_ut", "lifted_ut", "smallest_ut", "largest_ut", "site_ut")


@dataclass(frozen=True)
class Measured:
    """The measured tables of one airframe."""

    bands: Bands
    moves: Moves

    def outside(
        self, check: CheckKey, values: dict[str, float], key: str, edge: Edge = "inner"
    ) -> dict[str, Side]:
        """Return on which side of its band each measure of a line lies; those inside left out.

        A line the reading does not have, or that no sound aircraft has shown, is outside nothing.
        """
        if key not in values:
            return {}
        found: dict[str, Side] = {}
        for measure, value in measures(values, key).items():
            band = self.bands.get((check, measure))
            side = None if band is None else band.side(value, edge)
            if side is not None:
                found[measure] = side
        return found

    @cached_property
    def moving(self) -> frozenset[FaultId]:
        """Faults that move a line of a check that shows them.

        One that moves none is seen by who stands there, or not at all: what it leaves on other checks,
        as propellers on at the bench do in the drives' warmth, is no way to look for it.
        """
        return frozenset(
            move.fault
            for (check, _), moves in self.moves.items()
            for move in moves
            if check in CATALOGUE[move.fault].shown_by
        )

    def tells(self, check: CheckKey, measure: str) -> bool:
        """Tell whether sound aircraft differ on a measure, to both sides of the middle."""
        band = self.bands.get((check, measure))
        return band is not None and band.low_inner < band.middle < band.high_inner

    def telling(self, check: CheckKey, values: dict[str, float]) -> list[str]:
        """Return the lines of a reading that nobody could state without having read it."""
        return [key for key in values if any(self.tells(check, m) for m in measures(values, key))]

    def spoken(
        self, check: CheckKey, values: dict[str, float], key: str, edge: Edge = "inner"
    ) -> Iterator[tuple[str, Side, Move]]:
        """Give (measure, side, move) of each fault that moves a line to the side it lies outside its band."""
        for measure, side in self.outside(check, values, key, edge).items():
            for move in self.moves.get((check, measure), ()):
                if move.goes(side):
                    yield measure, side, move

    def spoken_for(
        self, check: CheckKey, values: dict[str, float], key: str, edge: Edge = "inner"
    ) -> frozenset[FaultId]:
        """Return the faults that move a line to the side it lies outside its band."""
        return frozenset(move.fault for _, _, move in self.spoken(check, values, key, edge))

    def speaks_for(
        self,
        fault: FaultId,
        check: CheckKey,
        values: dict[str, float],
        key: str,
        edge: Edge = "inner",
    ) -> bool:
        """Tell whether a line lies outside its band on a side to which a fault moves it."""
        return any(move.fault == fault for _, _, move in self.spoken(check, values, key, edge))

    def proves_gone(self, fault: FaultId, check: CheckKey, values: dict[str, float]) -> bool:
        """Tell whether a reading comes out inside: no line outside its outer edge speaks for a fault.

        Whether the check can show the fault at all is another question.
        """
        return not any(self.speaks_for(fault, check, values, line, "outer") for line in values)

    def past_limit(
        self, fault: FaultId, check: CheckKey, values: dict[str, float], key: str
    ) -> bool:
        """Tell whether a line is where the careful call a fault."""
        if key not in values:
            return False
        return any(
            move.fault == fault and move.called(value)
            for measure, value in measures(values, key).items()
            for move in self.moves.get((check, measure), ())
        )


def has_tables(airframe: Design) -> bool:
    """Tell whether sound aircraft of this kind have been measured."""
    return bands_file(airframe).is_file() and moves_file(airframe).is_file()


@cache
def measured(airframe: Design, place: Place = "") -> Measured:
    """Return the tables of an airframe at a site; raises InputError if there are none.

    They are measured in the smallest room for it, and meant there if no site is named.
    """
    if not has_tables(airframe):
        rule = "nothing is measured of sound aircraft like it yet"
        raise InputError((Problem("airframe", None, "", called(airframe), rule),))
    there, here = bands(airframe), moves(airframe)
    home = library.roomy_site(airframe)
    if place in ("", home):
        return Measured(there, here)
    return at_site(Measured(there, here), airframe, library.site(home), library.site(place))


def at_site(tables: Measured, airframe: Design, home: Site, site: Site) -> Measured:
    """Return tables measured at one site as they hold at another.

    The size of the Earth's field is another there, and what can't be there is no cause of anything.
    """
    larger = site.earth_field.strength_ut / home.earth_field.strength_ut
    world = world_of(library.airframe(airframe), site)
    impossible = {name for name, fault in CATALOGUE.items() if fault.cannot(world)}

    def scale(measure: str) -> float:
        return larger if measure.endswith(FIELD_SIZES) else 1.0

    bands_there = {where: band.scaled(scale(where[1])) for where, band in tables.bands.items()}
    moves_there = {
        where: tuple(move.scaled(scale(where[1])) for move in found if move.fault not in impossible)
        for where, found in tables.moves.items()
    }
    return Measured(bands_there, moves_there)
