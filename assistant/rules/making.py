"""Making a verdict: operands looked up, limits compared with the meter's own error in mind."""

from decimal import Decimal

from assistant.flow.judging import Operand, RuleModel, VerdictKind
from assistant.quantity import OverLimit, Quantity, format_for_eye, with_one_stop
from assistant.rules.verdict import Evidence, Verdict, band_text, digits, meter_error, spoken_limit

Band = tuple[Decimal | None, Decimal | None]
"""Lower and upper limit; None where there is none."""


class Missing(Exception):  # noqa: N818 - not an error of ours: it becomes a verdict
    """A value that the rule needs was never taken."""


def make_verdict(
    rule: RuleModel,
    evidence: Evidence,
    outcome: str,
    reason: str,
    expected: str,
    band: Band = (None, None),
) -> Verdict:
    """Make the verdict that an outcome of a rule stands for."""
    kind = rule.outcomes.get(outcome, VerdictKind.CANNOT_TELL)
    shown = format_for_eye(evidence.reading)
    return Verdict(kind, outcome, shown, expected, reason, band[0], band[1])


def number_of(operand: Operand, evidence: Evidence) -> Decimal:
    """Give an operand's number in the unit of the reading."""
    if isinstance(operand, Decimal):
        return operand
    reading = evidence.known.get(operand)
    if not isinstance(reading, Quantity):
        raise Missing(operand.replace("_", " "))
    return reading.to(evidence.unit).value


def plain_number_of(operand: Operand, evidence: Evidence) -> Decimal:
    """Give an operand's number whatever its unit, as a tolerance in percent."""
    if isinstance(operand, Decimal):
        return operand
    reading = evidence.known.get(operand)
    if not isinstance(reading, Quantity):
        raise Missing(operand.replace("_", " "))
    return reading.value


def judge_band(
    rule: RuleModel,
    evidence: Evidence,
    low: Decimal | None,
    high: Decimal | None,
    inside: str = "in_band",
) -> Verdict:
    """Judge against limits that are both included, the meter's error considered."""
    expected = band_text(low, high, evidence.unit)
    band = (low, high)
    reading = evidence.reading
    if isinstance(reading, OverLimit):
        reason = with_one_stop(f"Over limit; expected {expected}.")
        return make_verdict(rule, evidence, "over_limit", reason, expected, band)
    value, error = reading.value, meter_error(evidence.meter, reading)
    near = [limit for limit in (low, high) if limit is not None and abs(value - limit) < error]
    if near:
        limit = spoken_limit(near[0], evidence.unit)
        reason = f"{digits(reading)} is too close to the limit of {limit} for this meter to tell."
        return make_verdict(rule, evidence, "unsure", reason, expected, band)
    if low is not None and value < low:
        reason = f"{digits(reading)} is below {spoken_limit(low, evidence.unit)}."
        return make_verdict(rule, evidence, "low", reason, expected, band)
    if high is not None and value > high:
        reason = f"{digits(reading)} is above {spoken_limit(high, evidence.unit)}."
        return make_verdict(rule, evidence, "high", reason, expected, band)
    return make_verdict(
        rule, evidence, inside, _inside_reason(reading, evidence, band), expected, band
    )


def _inside_reason(reading: Quantity, evidence: Evidence, band: Band) -> str:
    low, high = band
    value = digits(reading)
    if low is not None and high is not None:
        limits = f"{spoken_limit(low, evidence.unit)} to {spoken_limit(high, evidence.unit)}"
        return f"{value} is within {limits}."
    if low is not None:
        return f"{value} is at least {spoken_limit(low, evidence.unit)}."
    return f"{value} is at most {spoken_limit(high or Decimal(0), evidence.unit)}."


def compare(
    rule: RuleModel, evidence: Evidence, target: Decimal, allowance: Decimal, agrees: str
) -> Verdict:
    """Judge against one number with an allowance that already holds the meter's error."""
    low, high = target - allowance, target + allowance
    expected = band_text(low, high, evidence.unit)
    reading = evidence.reading
    if isinstance(reading, OverLimit):
        reason = f"Over limit; expected about {spoken_limit(target, evidence.unit)}."
        return make_verdict(rule, evidence, "over_limit", reason, expected, (low, high))
    outcome = "low" if reading.value < low else "high" if reading.value > high else agrees
    words = {"low": "is less than", "high": "is more than", agrees: "agrees with"}
    reason = f"{digits(reading)} {words[outcome]} {spoken_limit(target, evidence.unit)}."
    return make_verdict(rule, evidence, outcome, reason, expected, (low, high))
