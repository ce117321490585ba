"""Sound with a rival is asked, whatever the rival is."""

from decimal import Decimal

import pytest

from assistant.quantity import Quantity, Unit
from assistant.spoken.decision import Verb, decide
from assistant.spoken.expectations import expectation_for_unit

OHMS = expectation_for_unit("ohm")


@pytest.mark.parametrize(
    "rival", ["forty seven point nine", "forty seven", "four point five", "o l", "scratch that"]
)
def test_a_rival_that_means_something_else_is_asked(rival: str) -> None:
    """A rival number is asked though it is an ordinary neighbour; so is a rival command."""
    said = "forty seven point five"
    assert decide(said, OHMS, (rival,), is_sound=True).decision is Verb.ASK
    assert decide(said, OHMS, (rival,), is_sound=False).decision is Verb.ACCEPT


@pytest.mark.parametrize("rival", ["it is forty seven point five", "mumble", ""])
def test_a_rival_that_means_the_same_or_nothing_is_not(rival: str) -> None:
    """The same number in other words, or no meaning at all, is no reason to ask."""
    found = decide("forty seven point five", OHMS, (rival,), is_sound=True)
    assert found.decision is Verb.ACCEPT
    assert Quantity(Decimal("47.5"), Unit.OHM) == found.value
