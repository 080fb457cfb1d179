"""When something learnt should come again, by the `fsrs` library's model of forgetting.

Its numbers were fitted to people who learn words. They are not known to hold for finding faults:
they put what is due in an order, and promise nothing. No interval is longer than half of what was
learnt is kept for.
"""

from datetime import datetime, timedelta

from fsrs import Card, Rating, Scheduler

KEPT = 0.9  # 1; own: due when one in ten would be lost, before gaps can hurt
LONGEST_DAYS = 198  # days; half of accuracy is lost after 6.5 months (reference run, meta-analysis)

SCHEDULER = Scheduler(
    desired_retention=KEPT,
    learning_steps=(),  # evenings lie days apart: no steps of minutes
    relearning_steps=(),
    maximum_interval=LONGEST_DAYS,
    enable_fuzzing=False,  # the same history gives the same day
)


def reviewed(card: str, right: bool, when: datetime) -> str:
    """Return what is kept of a memory after a trial at a time (with time zone); "" is never tried."""
    before = Card.from_json(card) if card else Card(card_id=1)
    after, _ = SCHEDULER.review_card(before, Rating.Good if right else Rating.Again, when)
    return str(after.to_json())


def due(card: str) -> datetime:
    """Return when a memory wants to come again."""
    when: datetime = Card.from_json(card).due
    return when


def kept(card: str, when: datetime) -> float:
    """Return how likely it is still there at a time, 0..1."""
    return float(SCHEDULER.get_card_retrievability(Card.from_json(card), when))


def overdue(card: str, when: datetime) -> timedelta:
    """Return how long it has been due; negative before."""
    return when - due(card)
