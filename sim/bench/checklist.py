"""Every check by its key."""

from dataclasses import replace

from sim.bench.byhand import FORMS
from sim.bench.check import Check
from sim.bench.checks import (
    attitude,
    board,
    control,
    frame,
    handling,
    instruments,
    link,
    motors,
    pack,
    people,
    range_walk,
    stabiliser,
    supply,
)
from sim.keys import CheckKey

CHECKS: dict[CheckKey, Check] = {
    check.key: replace(check, by_hand=FORMS.get(check.key))
    for subject in (
        people,
        pack,
        link,
        attitude,
        control,
        handling,
        instruments,
        stabiliser,
        supply,
        range_walk,
        frame,
        motors,
        board,
    )
    for check in subject.CHECKS
}
