"""The room: size, air, magnetic field and steel, places, people."""

from math import sqrt
from typing import Annotated, Literal

from pydantic import Field

from sim.aircraft.fields import Line, NotNegative, Positive, Strict, Text, Vector

PlaceName = Literal["bench", "pad", "open_floor", "steel_cupboard"]
BEHIND_M = 3.05  # m; own: how far south of the pad the pilot stands where there is room
OPEN_M = 20.0  # m; own: no hall is higher
FROM_WALL_M = 0.40  # m; own: a person's back against the wall


class Room(Strict):
    """Walls from the pad, m, and ceiling height."""

    north_m: Positive
    south_m: Annotated[float, Field(lt=0)]
    east_m: Positive
    west_m: Annotated[float, Field(lt=0)]
    ceiling_m: Positive

    @property
    def half_side_m(self) -> float:
        """Half the side of a square floor as large."""
        return 0.5 * sqrt((self.north_m - self.south_m) * (self.east_m - self.west_m))

    @property
    def pilot_north_m(self) -> float:
        """Where the pilot stands, in the middle of the room's width: behind the pad, south of it."""
        return max(-BEHIND_M, self.south_m + FROM_WALL_M)


class EarthField(Strict):
    """Field vector of the World Magnetic Model for the place and date stated."""

    north_ut: float
    east_ut: float
    down_ut: float
    model: Line

    @property
    def strength_ut(self) -> float:
        """The size of the field."""
        return sqrt(self.north_ut**2 + self.east_ut**2 + self.down_ut**2)


class Steel(Strict):
    """A piece of steel as a point dipole: where it stands and its moment."""

    what: Line
    position_m: Vector
    moment_ut_m3: Vector


class Standing(Strict):
    """Where a person holds or sets the aircraft: position in the room, hand height, heading."""

    north_m: float
    east_m: float
    height_m: NotNegative
    heading_deg: float


class Places(Strict):
    """The four places of the drill."""

    bench: Standing
    pad: Standing
    open_floor: Standing
    steel_cupboard: Standing


class Site(Strict):
    """A garage or hall."""

    name: Line
    about: Text
    origin: Literal["invented"]
    room: Room
    earth_field: EarthField
    pad_steel: NotNegative = 0.0  # a steel plate under the pad; 1 is a plain one
    steel: Annotated[tuple[Steel, ...], Field(max_length=2)] = ()
    places: Places
    height_above_sea_m: float = 0.0
    temperature_degc: float = 20.0
    wind_north_m_s: float = 0.0
    wind_east_m_s: float = 0.0
    gust_m_s: NotNegative = 0.0
    gust_s: Positive = 1.0
    wash: NotNegative = 1.0  # 1: the aircraft's own wash comes back as from such walls; 0: never

    @property
    def open_air(self) -> bool:
        """Whether there is no roof."""
        return self.room.ceiling_m >= OPEN_M
