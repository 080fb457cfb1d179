"""What comes back of the aircraft's own wash in a closed room, as it meets discs and frame.

Four rotors together blow one turbulent jet with the kinematic momentum flux K = T/rho. A turbulent
jet forgets its nozzle: at a distance L every speed in it goes with sqrt(K)/L (Rajaratnam, Turbulent
Jets, 1976; from memory), and so does what has met the floor, run out to the walls and come round
again. That restless air has two lengths. Eddies of a disc's size meet each disc apart: four flows
down through the discs, without kinship. An eddy as large as the room carries the whole aircraft: a
horizontal flow. Both are Ornstein-Uhlenbeck processes. Next to floor and walls the stream has only
just turned and is livelier, by shares of the induced velocity v; a wall draws the aircraft, as the
air between is carried down and none comes from there. It takes its time: out to the walls and back,
two lags one after the other, so that a few seconds light on the legs go by in air nearly calm, and
the middle of a hop does not. Air that goes on moving after the rotors have stopped is left out. The mean flow down through the discs is left
out: rotor tables measured in rooms hold it.

Sizes are our own, from memory of small quadrotors that waver by a degree or two in a garage.
`tests/kernel/test_wash.py` says what comes of them.
"""

from math import exp, sqrt
from typing import NamedTuple

from sim.kernel import noise
from sim.kernel.clock import TICK_S, ticks
from sim.kernel.frames import Vec3
from sim.kernel.jit import compiled, inner
from sim.kernel.rotor import induced_velocity_m_s

SLOT_TICKS = ticks(0.002)  # own: one of four draws in turn, so each flow changes every 8 ms
SLOTS = 4  # 1; two pairs of discs, the whole aircraft, how far it has spread
RENEWED_S = SLOTS * SLOT_TICKS * TICK_S  # s; from one draw of a flow to its next
THROUGH_SHARE = 1.00  # 1; own: rms flow through one disc over sqrt(K)/L
ACROSS_SHARE = 0.18  # 1; own: rms flow along each horizontal axis over the same
NEAR_SHARE = 0.25  # 1; own: rms through a disc that a floor or wall adds at most, over v
PULL_SHARE = 0.10  # 1; own, sign from trade experience: flow to a wall at its face, over v
FLOOR_REACH = 3.0  # z/R; own: height of the discs at which half of the addition is left
WALL_REACH = 6.0  # distance/R; own: the same for a wall, from the middle of the aircraft
THROUGH_S = 0.25  # s; own: an eddy of a metre, four discs wide, carried at 4 m/s
ACROSS_TURNS = 0.5  # 1; own: of the time L^2/sqrt(K) in which a jet crosses the room
SPREAD_TURNS = 2.5  # 1; own: of the same, each way: two lengths and the height of the room


class Wash(NamedTuple):
    """Flow that came back: down through each disc (m/s), and horizontally (m/s, world).

    out, back : how much of the wash has come to the walls, and from there to the aircraft, 0..1.
    """

    through_m_s: tuple[float, float, float, float]
    across_m_s: Vec3
    out: float
    back: float


STILL = Wash((0.0, 0.0, 0.0, 0.0), Vec3(0.0, 0.0, 0.0), 0.0, 0.0)


@compiled
def jet_m2_s(thrust_n, density_kg_m3):
    """Return the square root of the kinematic momentum flux of a jet, sqrt(T/rho)."""
    return sqrt(thrust_n / density_kg_m3)


@compiled
def room_length_m(room):
    """Return half the side of a square floor of the room's area."""
    return 0.5 * sqrt((room.north_m - room.south_m) * (room.east_m - room.west_m))


@compiled
def closeness(distance_m, reach_m):
    """Return 1 at a surface, one half a reach away, 0 far off."""
    ratio = max(0.0, distance_m) / reach_m
    return 1.0 / (1.0 + ratio * ratio)


@compiled
def drawn(flow_m_s, towards_m_s, rms_m_s, time_s, normal):
    """Return an Ornstein-Uhlenbeck flow after RENEWED_S, exactly. normal : a unit normal."""
    kept = exp(-RENEWED_S / time_s)
    shaken = rms_m_s * sqrt(1.0 - kept * kept) * normal
    return towards_m_s + kept * (flow_m_s - towards_m_s) + shaken


@compiled
def walls(position_m, room, reach_m):
    """Return the closeness of the walls to north, south, east and west."""
    return (
        closeness(room.north_m - position_m.x, reach_m),
        closeness(position_m.x - room.south_m, reach_m),
        closeness(room.east_m - position_m.y, reach_m),
        closeness(position_m.y - room.west_m, reach_m),
    )


@compiled
def spread(wash, jet, length_m):
    """Return the wash RENEWED_S later, as far as it has spread."""
    share = min(1.0, RENEWED_S * jet / (SPREAD_TURNS * length_m * length_m))
    out = wash.out + share * (1.0 - wash.out)
    back = wash.back + share * (wash.out - wash.back)
    return Wash(wash.through_m_s, wash.across_m_s, out, back)


@inner
def crossed(random, wash, pull_m_s, near, rms_m_s, time_s):
    """Return (random state, wash) after a draw of the horizontal flow. near : as of `walls`."""
    random, one, other = noise.gaussian_pair(random)
    was = wash.across_m_s
    across = Vec3(
        drawn(was.x, pull_m_s * (near[0] - near[1]), rms_m_s, time_s, one),
        drawn(was.y, pull_m_s * (near[2] - near[3]), rms_m_s, time_s, other),
        0.0,
    )
    return random, Wash(wash.through_m_s, across, wash.out, wash.back)


@inner
def entered(random, wash, first, rms_m_s):
    """Return (random state, wash) after a draw of the flow through the first or last two discs."""
    random, one, other = noise.gaussian_pair(random)
    a, b, c, d = wash.through_m_s
    if first:
        a, b = drawn(a, 0.0, rms_m_s, THROUGH_S, one), drawn(b, 0.0, rms_m_s, THROUGH_S, other)
    else:
        c, d = drawn(c, 0.0, rms_m_s, THROUGH_S, one), drawn(d, 0.0, rms_m_s, THROUGH_S, other)
    return random, Wash((a, b, c, d), wash.across_m_s, wash.out, wash.back)


@inner
def washed(random, wash, state, craft):
    """Return (random state, wash) one tick later; still, and without chance, if nothing lifts."""
    r, air = state.rotors, craft.air
    thrust = r[0].thrust_n + r[1].thrust_n + r[2].thrust_n + r[3].thrust_n
    if air.wash == 0.0 or thrust <= 0.0:
        return random, STILL
    if state.tick % SLOT_TICKS != 0:
        return random, wash
    slot = (state.tick // SLOT_TICKS) % SLOTS
    jet, length = jet_m2_s(thrust, air.density_kg_m3), room_length_m(craft.room)
    if slot == SLOTS - 1:
        return random, spread(wash, jet, length)
    radius, where, here = 0.5 * craft.diameter_m, state.body.position_m, air.wash * wash.back
    v = induced_velocity_m_s(0.25 * thrust, air.density_kg_m3, radius)
    near = walls(where, craft.room, WALL_REACH * radius)
    if slot == SLOTS - 2:
        turn_s, rms = ACROSS_TURNS * length * length / jet, here * ACROSS_SHARE * jet / length
        return crossed(random, wash, here * PULL_SHARE * v, near, rms, turn_s)
    close = closeness(-where.z - craft.rotors[0].hub_m.z, FLOOR_REACH * radius)
    close = max(max(close, max(near[0], near[1])), max(near[2], near[3]))
    rms = here * (THROUGH_SHARE * jet / length + NEAR_SHARE * v * close)
    return entered(random, wash, slot == 0, rms)
