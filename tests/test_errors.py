"""A refusal says all that stands in the way, in words and in codes."""

import pytest

from sim.errors import Objection, Refusal, refuse_for, sentence


def test_all_that_stands_in_the_way_is_said_at_once():
    both = [Objection("powered", "Plug it in."), Objection("linked", "Switch it on.")]
    with pytest.raises(Refusal, match=r"^No\. Plug it in\. Switch it on\.$") as refused:
        refuse_for(both, "No.", "will_not_arm")
    assert refused.value.reasons == {"will_not_arm", "powered", "linked"}
    with pytest.raises(Refusal, match=r"^Switch it on\.$") as refused:
        refuse_for(both[1:])
    assert refused.value.reasons == {"linked"}


def test_nothing_in_the_way_is_no_refusal():
    refuse_for([], "No.", "will_not_arm")


def test_a_rule_as_a_sentence():
    assert sentence("must be at most 6") == "Must be at most 6."
    assert sentence("It is gone.") == "It is gone."
