"""Every check by its key."""

from sim.bench.check import Check
from sim.bench.checks import attitude, control, link, pack, people

CHECKS: dict[str, Check] = {
    check.key: check
    for subject in (people, pack, link, attitude, control)
    for check in subject.CHECKS
}
