"""What a value comes to, and what a decision makes of it."""

from dataclasses import replace
from decimal import Decimal

import pytest
from talking import FLOWS

from assistant.flow.clauses import Compare, OutcomeIs, VerdictIs
from assistant.flow.conditions import first_conditions
from assistant.flow.library import open_flow
from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.walk.state import State, Taken, Turn
from assistant.walk.weighing import holds, weigh

HUB = open_flow(str(FLOWS / "hub.yaml"))
BARE = State("high", Turn.ANSWER, first_conditions(HUB.vocabulary))


def ohms(value: str) -> Reading:
    """Make a reading of digits, or of OL."""
    return OverLimit(Unit.OHM) if value == "OL" else Quantity(Decimal(value), Unit.OHM)


def with_values(**values: Reading) -> State:
    """Stand at the high tap with values taken."""
    return replace(BARE, values={name: Taken(reading) for name, reading in values.items()})


@pytest.mark.parametrize(
    ("x", "at_least", "below", "is_true"),
    [
        ("10", Decimal(10), None, True),
        ("9.99", Decimal(10), None, False),
        ("10", None, Decimal(10), False),
        ("9.99", None, Decimal(10), True),
        ("10", Decimal(10), Decimal(20), True),
        ("20", Decimal(10), Decimal(20), False),
        # over limit is more than any number
        ("OL", Decimal(10), None, True),
        ("OL", None, Decimal(10), False),
        ("OL", Decimal(10), Decimal(20), False),
        # against another value
        ("10", "y", None, True),
        ("10", None, "y", False),
        ("10", None, "z", True),
        ("10", "z", None, False),
        # a value that was never taken is compared with nothing, on either side
        ("10", "never", None, False),
        ("10", None, "never", False),
        ("10", Decimal(1), "never", False),
    ],
)
def test_values_are_compared(
    x: str, at_least: Decimal | str | None, below: Decimal | str | None, *, is_true: bool
) -> None:
    """At or above, and below; in the value's own unit; what was not taken holds nothing."""
    known = {"x": ohms(x), "y": Quantity(Decimal("0.01"), Unit.KILOHM), "z": ohms("OL")}
    clause = Compare(value="x", at_least=at_least, below=below)
    assert is_true is holds(clause, with_values(**known))
    assert not holds(clause, BARE)


@pytest.mark.parametrize(
    ("low", "high", "outcome", "word", "kind", "is_good"),
    [
        ("14", "9.87", "next", "falls", "pass", True),
        ("9.87", "14", "next", "out_of_order", "fail", False),
        ("4.6", "4.5", "next", "unsure", "cannot_tell", False),
        ("14", "OL", "rule0.over_limit", "over_limit", "fail", False),
    ],
)
def test_of_several_rules_the_worst_decides_and_of_equals_the_last(
    low: str, high: str, outcome: str, word: str, kind: str, *, is_good: bool
) -> None:
    """A decision sees what the last rule says where all passed, and the worst where not."""
    state = with_values(r_low=ohms(low))
    weighed = weigh(HUB, state, "high", ohms(high))
    assert weighed.deciding is not None
    assert (outcome, word) == (weighed.outcome, weighed.deciding.outcome)
    assert is_good is weighed.is_good
    after = replace(state, values={"r_high": Taken(ohms(high), weighed.deciding)})
    assert holds(OutcomeIs.model_validate({"outcome": "r_high", "is": [word]}), after)
    assert holds(VerdictIs.model_validate({"verdict": "r_high", "is": [kind]}), after)


def test_what_no_rule_judged_is_not_good() -> None:
    """A number without rules proves nothing, though nothing is wrong with it."""
    weighed = weigh(HUB, BARE, "amps", Quantity(Decimal(5), Unit.AMPERE))
    assert weighed.outcome == "next"
    assert weighed.deciding is None
    assert not weighed.is_good
