"""Which readings of volts show a conductor dead, and what each of them proves."""

from decimal import Decimal

from assistant.flow.judging import AtLeast, AtMost, NearZero, RuleModel, Within
from assistant.flow.linked import LinkedStep
from assistant.flow.model import MeasureStep, QuantityKind

MOST_VOLTS = Decimal(10)
"""Volts that still count as dead or bled; common practice, no source. Shipped flows allow 3."""
READ = "read "
"""Begins the name of a proof that was read: `read safe/line_1-line_2`."""


def shows_dead(step: LinkedStep) -> bool:
    """Whether a step reads volts and some rule of it lets only a few pass."""
    volts = {QuantityKind.VOLTAGE, QuantityKind.STORED_VOLTAGE}
    if not isinstance(step, MeasureStep) or step.quantity not in volts:
        return False
    return any(_lets_pass(rule) <= MOST_VOLTS for rule in step.judge)


LEAST_VOLTS = Decimal(50)
"""Volts from which a source counts as live; common practice, no source. Shipped flows ask 90."""


def shows_live(step: LinkedStep) -> bool:
    """Whether a step reads volts and some rule of it lets only a live source pass."""
    if not isinstance(step, MeasureStep) or step.quantity is not QuantityKind.VOLTAGE:
        return False
    limits = (getattr(rule, "limit", None) for rule in step.judge if isinstance(rule, AtLeast))
    return any(isinstance(one, Decimal) and one >= LEAST_VOLTS for one in limits)


def proof_of(name: str, step: LinkedStep) -> str:
    """Give the name of what a reading proves: where it was taken, in which include."""
    inside = name.rpartition("/")[0]
    if not isinstance(step, MeasureStep):
        return ""
    ends = sorted((step.from_, step.to or ""))
    return f"{READ}{inside}/{'-'.join(ends)}"


def _lets_pass(rule: RuleModel) -> Decimal:
    limit = {NearZero: "limit", AtMost: "limit", Within: "high"}.get(type(rule), "")
    most = getattr(rule, limit, None)
    return most if isinstance(most, Decimal) else Decimal("Infinity")
