"""What a phone does to a card: it is taken up again one item further down than it was left."""

from math import exp

from sim.bench.check import Check
from sim.bench.person import Subject, senses
from sim.bench.rig import Rig
from sim.keys import CheckKey
from sim.procedure.cards import CARDS

SKIPS = 0.3  # 1; training practice: how often an interruption costs an item


def after(check: CheckKey) -> CheckKey | None:
    """Return the check of the item that follows on the first card a check stands on."""
    for card in CARDS:
        checks = [item.check for item in card.items]
        if check in checks:
            return next(iter(checks[checks.index(check) + 1 :]), None)
    return None


def ticked_unread(ticked: set[CheckKey], check: Check, rig: Rig) -> set[CheckKey]:
    """Return what stands ticked on the cards and nobody did, now that a check has been done."""
    left = ticked - {check.key}
    following = after(check.key)
    interrupted = 1.0 - exp(-rig.world.conduct.rings_per_min * check.minutes)
    if following is None or interrupted == 0.0:
        return left
    skipped = float(senses(rig, Subject.INTERRUPTION).random()) < SKIPS * interrupted
    return left | {following} if skipped else left
