"""What the session does for cable, connection and software load, and for a pack plugged in."""

from sim.aircraft.changes import with_value
from sim.aircraft.world import World
from sim.bench.connection import Board
from sim.errors import Refusal
from sim.session import actions as act


def connect(board: Board, world: World, action: act.Connect) -> str:
    """Open the set-up connection; return what is seen."""
    pack, blank = world.conduct.pack_plugged, world.build.board_blank
    return board.connect(action.by, action.rate_bd, pack, blank)


def load(board: Board, world: World) -> tuple[World, str]:
    """Load the software; return (world, what is seen). A load that fails leaves the board blank."""
    if world.conduct.props_fitted:
        raise Refusal("Take the propellers off before a load.")
    failed = board.load(world.conduct.pack_plugged)
    world = with_value(world, "build.board_blank", failed is not None)
    return world, failed or "Loaded and verified; the board starts."


def refuse_setting(board: Board, world: World, key: str) -> None:
    """Refuse a setting that can't be reached now; the transmitter's own can always be."""
    if key.startswith("setup.transmitter"):
        return
    pack = world.conduct.pack_plugged
    if not board.powered(pack):
        raise Refusal("The controller has no power: plug the pack in first.")
    if world.build.board_blank:
        raise Refusal("The controller holds no software yet: load it first.")
    if board.fresh and not board.connected(pack):
        raise Refusal("Connect to the controller first.")


def plugged_wrong(world: World) -> World | None:
    """Return the world after plugging in the wrong way round, or None if it is the right way."""
    leads = world.build.leads
    if leads.destroyed:
        raise Refusal("Nothing happens: the electronics are dead.")
    return None if leads.polarity_right else with_value(world, "build.leads.destroyed", True)
