"""What the session does for connection, software load and settings, and for a powered pack."""

from pydantic import ValidationError

from sim.aircraft.changes import with_value
from sim.aircraft.fields import NO_OFFSET
from sim.aircraft.site import PlaceName
from sim.aircraft.world import World
from sim.bench.check import Check
from sim.bench.connection import Board, By
from sim.errors import Refusal
from sim.session import actions as act

REACH = "The cable reaches no further than the bench"
WARM_MIN = 5.0  # min; trade experience: powered this long, the board is as warm as it gets


def connect(board: Board, world: World, action: act.Connect) -> str:
    """Open the set-up connection; return what is seen."""
    pack, blank = world.conduct.pack_plugged, world.build.board_blank
    return board.connect(action.by, action.rate_bd, pack, blank)


def load(board: Board, world: World) -> tuple[World, str]:
    """Load the software; return (world, what is seen). A load that fails leaves the board blank."""
    if world.conduct.props_fitted:
        raise Refusal("Take the propellers off before a load.", "props_off")
    failed = board.load(world.conduct.pack_plugged)
    world = with_value(world, "build.board_blank", failed is not None)
    return world, failed or "Loaded and verified; the board starts."


def readable(board: Board, world: World) -> bool:
    """Tell whether the controller's settings can be read now."""
    try:
        refuse_unreached(board, world)
    except Refusal:
        return False
    return True


def carrier(board: Board, world: World) -> By | None:
    """Return what carries the controller's numbers to the display; None if nothing does.

    A board that was set up before answers the telemetry radio by itself as soon as it has the pack.
    """
    pack = world.conduct.pack_plugged
    if not pack or not readable(board, world):
        return None
    return board.by if board.connected(pack) else "telemetry"


def refuse_setting(board: Board, world: World, key: str) -> None:
    """Refuse a setting that can't be reached now; the transmitter's own can always be."""
    if not key.startswith("setup.transmitter"):
        refuse_unreached(board, world)


def shown_by(check: Check) -> bool:
    """Tell whether a check is read off what the controller sends over the set-up connection."""
    return "powered" in check.needs


def refuse_calibrating(board: Board, world: World) -> None:
    """Refuse a step of a calibration without the pack or without a connection.

    The cable feeds the board alone: receiver, compass and drives take their power from the pack.
    """
    if not world.conduct.pack_plugged:
        alone = "The cable feeds the board alone: p" if board.cable else "P"
        raise Refusal(f"{alone}lug the pack in first.", "powered")
    refuse_unreached(board, world)


def refuse_leaving(board: Board, place: PlaceName) -> None:
    """Refuse to carry the aircraft further than the cable reaches."""
    if board.cable and place != "bench":
        raise Refusal(f"{REACH}: pull it out first.", "cable_out")


def plug_cable(board: Board, world: World, plugged: bool) -> str:
    """Put the cable in, which reaches no further than the bench, or pull it out; return what is seen."""
    conduct = world.conduct
    if plugged and conduct.place != "bench":
        raise Refusal(f"{REACH}: bring the aircraft there first.", "at_bench")
    return board.plug_cable(plugged, conduct.pack_plugged)


def refuse_unreached(board: Board, world: World) -> None:
    """Refuse where the controller's settings are out of reach: no power, software or connection."""
    pack = world.conduct.pack_plugged
    if not board.powered(pack):
        raise Refusal("The controller has no power: plug the pack in first.", "powered")
    if world.build.board_blank:
        raise Refusal("The controller holds no software yet: load it first.", "software")
    if board.fresh and not board.connected(pack):
        raise Refusal("Connect to the controller first.", "connected")


def with_setting(world: World, key: str, value: object) -> World:
    """Return the world with a setting changed; raise Refusal with the reason if it can't be."""
    try:
        return with_value(world, key, value)
    except KeyError:
        raise Refusal(f"There is no setting called {key!r}.", "unknown") from None
    except ValidationError as error:
        said = "; ".join(problem["msg"] for problem in error.errors())
        reasons = said.replace("Input should be", "it must be")
        raise Refusal(f"{key} can't be {value!r}: {reasons}.", "value") from None


def warmed(world: World) -> World:
    """Return the world with a warm gyro: what it has drifted is left over until the next start."""
    built = world.build.sensors
    drifted = tuple(
        a + b for a, b in zip(built.gyro_warm_deg_s, built.gyro_moved_deg_s, strict=True)
    )
    world = with_value(world, "build.sensors.gyro_warm_deg_s", NO_OFFSET)
    return with_value(world, "build.sensors.gyro_moved_deg_s", drifted)


def plugged_wrong(world: World) -> World | None:
    """Return the world after plugging in the wrong way round, or None if it is the right way."""
    leads = world.build.leads
    if leads.destroyed:
        raise Refusal("Nothing happens: the electronics are dead.", "dead")
    return None if leads.polarity_right else with_value(world, "build.leads.destroyed", True)
