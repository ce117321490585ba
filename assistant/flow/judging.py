"""What a flow may ask of a reading: one declaration a rule, with its outcomes.

The judging itself is in the room `rules`; here stands what a flow file can write and which outcomes
it has to answer. Adding a rule: declare it here, judge it in `rules/judges.py`.
"""

from collections.abc import Iterator
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field


class VerdictKind(StrEnum):
    """What a rule says of a reading."""

    PASS = "pass"  # noqa: S105 - a verdict, not a secret
    MARGINAL = "marginal"
    FAIL = "fail"
    CANNOT_TELL = "cannot_tell"


Operand = Decimal | str
"""A number as written in the flow, or the name of a value taken earlier."""

CONTINUE = "continue"
"""The target that goes on with the step's next rule."""


class RuleModel(BaseModel):
    """Common to all rules.

    Args:
        go: where an outcome (or every outcome of a verdict) leads; `continue` goes on to the
            step's next rule. A pass goes on by itself, and so does a marginal one.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)
    outcomes: ClassVar[dict[str, VerdictKind]] = {}
    go: dict[str, str] = Field(default_factory=dict)

    def operands(self) -> tuple[Operand, ...]:
        """Give every operand, so that names can be checked when the flow loads."""
        return tuple(operand for _, operand in self.placed_operands())

    def placed_operands(self) -> Iterator[tuple[tuple[str | int, ...], Operand]]:
        """Give every operand with the way to it inside the rule."""
        for name in type(self).model_fields:
            if name in {"rule", "go", "kind"}:
                continue
            value = getattr(self, name)
            if isinstance(value, tuple):
                yield from (((name, place), one) for place, one in enumerate(value))
            elif isinstance(value, Decimal | str):
                yield (name,), value

    def target(self, outcome: str) -> str | None:
        """Give where an outcome leads; None where the flow does not say."""
        kind = self.outcomes[outcome]
        if outcome in self.go:
            return self.go[outcome]
        if kind.value in self.go:
            return self.go[kind.value]
        return CONTINUE if kind in {VerdictKind.PASS, VerdictKind.MARGINAL} else None


_P, _M, _F, _C = VerdictKind.PASS, VerdictKind.MARGINAL, VerdictKind.FAIL, VerdictKind.CANNOT_TELL


class WithinPercent(RuleModel):
    """Within a percentage of a rating.

    Args:
        rating: the rating.
        plus: printed plus tolerance in percent, or the name of the value asked for.
        minus: printed minus tolerance in percent.
        default: tolerance used, and said as such, where none is printed.
    """

    rule: Literal["within_percent"]
    outcomes = {
        "in_band": _P,
        "edge": _M,
        "low": _F,
        "high": _F,
        "near_zero": _F,
        "over_limit": _F,
        "unsure": _C,
    }
    rating: Operand
    plus: Operand | None = None
    minus: Operand | None = None
    default: Decimal = Decimal(6)


class Within(RuleModel):
    """Within two limits, both included."""

    rule: Literal["within"]
    outcomes = {"in_band": _P, "low": _F, "high": _F, "over_limit": _F, "unsure": _C}
    low: Operand
    high: Operand


class WithinVoltage(RuleModel):
    """Within the motor's voltage window: plus or minus a percentage of its label.

    Args:
        rating: label volts, lower one on a two-voltage label.
        upper: the upper label volts where the label has two, as 208-230.
        percent: 10 by NEMA MG 1-12.44.
    """

    rule: Literal["within_voltage"]
    outcomes = {
        "in_band": _P,
        "low": _F,
        "high": _F,
        "near_zero": _F,
        "over_limit": _F,
        "unsure": _C,
    }
    rating: Operand
    upper: Operand | None = None
    percent: Decimal = Decimal(10)


class AtLeast(RuleModel):
    """At least a limit."""

    rule: Literal["at_least"]
    outcomes = {"enough": _P, "low": _F, "over_limit": _P, "unsure": _C}
    limit: Operand


class AtMost(RuleModel):
    """At most a limit, as a share of it where stated.

    Args:
        limit: the limit.
        percent: share of the limit that is allowed; 100 where not stated.
    """

    rule: Literal["at_most"]
    outcomes = {"low_enough": _P, "high": _F, "over_limit": _F, "unsure": _C}
    limit: Operand
    percent: Decimal = Decimal(100)


class IsOverLimit(RuleModel):
    """Must read OL, as every lead to the frame."""

    rule: Literal["is_over_limit"]
    outcomes = {"over_limit": _P, "reads": _F}


class NotOverLimit(RuleModel):
    """Must show a number, as every winding."""

    rule: Literal["not_over_limit"]
    outcomes = {"reads": _P, "over_limit": _F}


class NearZero(RuleModel):
    """Must be about zero, allowing for lead resistance.

    Args:
        limit: the most that still counts as zero, in the step's unit.
    """

    rule: Literal["near_zero"]
    outcomes = {"zero": _P, "reads": _F, "over_limit": _F, "unsure": _C}
    limit: Decimal = Decimal("0.5")


class NotZero(RuleModel):
    """Must not be about zero, as a winding or a healthy capacitor."""

    rule: Literal["not_zero"]
    outcomes = {"reads": _P, "over_limit": _P, "zero": _F, "unsure": _C}
    limit: Decimal = Decimal("0.5")


class FallsInOrder(RuleModel):
    """Falls strictly from the first named value to the last, with the meter's error considered.

    Args:
        values: value names in rising order of speed, low first; those not taken are left out.
    """

    rule: Literal["falls_in_order"]
    outcomes = {"falls": _P, "out_of_order": _F, "over_limit": _F, "unsure": _C}
    values: tuple[str, ...]


class SumOfParts(RuleModel):
    """The reading equals the sum of earlier ones within the meter's error.

    Args:
        parts: names of the values to add.
        percent: further allowance, in percent of the sum.
    """

    rule: Literal["sum_of_parts"]
    outcomes = {"agrees": _P, "low": _F, "high": _F, "over_limit": _F, "unsure": _C}
    parts: tuple[str, ...]
    percent: Decimal = Decimal(3)


class SameAs(RuleModel):
    """The same as another reading, within a percentage and the meter's error."""

    rule: Literal["same_as"]
    outcomes = {"same": _P, "low": _F, "high": _F, "over_limit": _F, "unsure": _C}
    other: Operand
    percent: Decimal = Decimal(5)


class ReplacementAllowed(RuleModel):
    """A new part's rating may replace the old one's.

    Args:
        rating: what the label asks for.
        kind: `equal` (microfarads: the same), `equal_or_higher` (volts).
    """

    rule: Literal["replacement_allowed"]
    outcomes = {"allowed": _P, "low": _F, "high": _F, "over_limit": _F, "unsure": _C}
    rating: Operand
    kind: Literal["equal", "equal_or_higher"]


Rule = Annotated[
    WithinPercent
    | Within
    | WithinVoltage
    | AtLeast
    | AtMost
    | IsOverLimit
    | NotOverLimit
    | NearZero
    | NotZero
    | FallsInOrder
    | SumOfParts
    | SameAs
    | ReplacementAllowed,
    Field(discriminator="rule"),
]
