"""The judges: one small function a rule, in a table by the rule's declaration.

Each takes the rule and the evidence and gives a verdict. A margin smaller than the meter's own
error is "cannot tell"; a value that a rule needs and that was never taken is "cannot tell" too.
"""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from assistant.flow.judging import (
    AtLeast,
    AtMost,
    FallsInOrder,
    IsOverLimit,
    NearZero,
    NotOverLimit,
    NotZero,
    Operand,
    ReplacementAllowed,
    RuleModel,
    SameAs,
    SumOfParts,
    VerdictKind,
    Within,
    WithinPercent,
    WithinVoltage,
)
from assistant.quantity import OverLimit, Quantity, format_for_eye
from assistant.rules.verdict import (
    Evidence,
    Verdict,
    band_text,
    meter_error,
    resolution,
    spoken_limit,
)

_EDGE_SHARE = Decimal("0.8")
"""A value past this share of its tolerance is marginal: good today, worth noting."""

_NEAR_ZERO_SHARE = Decimal("0.05")
"""Below this share of its rating a capacitor or a supply is as good as absent."""


class Missing(Exception):  # noqa: N818 - not an error of ours: it becomes a verdict
    """A value that the rule needs was never taken."""


def judge(rule: RuleModel, evidence: Evidence) -> Verdict:
    """Judge a reading by one rule.

    Args:
        rule: the rule as the flow declares it.
        evidence: the reading, earlier values and the meter.

    Returns:
        The verdict; `cannot_tell` when a needed value is missing or the meter's error is larger
        than the margin.
    """
    try:
        return _JUDGES[type(rule)](rule, evidence)
    except Missing as missing:
        reason = f"The {missing} was not taken, so this cannot be judged."
        return _verdict(rule, evidence, "unsure", reason, "")


def _verdict(
    rule: RuleModel,
    evidence: Evidence,
    outcome: str,
    reason: str,
    expected: str,
    band: tuple[Decimal | None, Decimal | None] = (None, None),
) -> Verdict:
    kind = rule.outcomes.get(outcome, VerdictKind.CANNOT_TELL)
    shown = format_for_eye(evidence.reading)
    return Verdict(kind, outcome, shown, expected, reason, band[0], band[1])


def _number(operand: Operand, evidence: Evidence) -> Decimal:
    """Give an operand's number in the unit of the reading."""
    if isinstance(operand, Decimal):
        return operand
    reading = evidence.known.get(operand)
    if not isinstance(reading, Quantity):
        raise Missing(operand.replace("_", " "))
    return reading.to(evidence.unit).value


def _plain_number(operand: Operand, evidence: Evidence) -> Decimal:
    """Give an operand's number whatever its unit, as a tolerance in percent."""
    if isinstance(operand, Decimal):
        return operand
    reading = evidence.known.get(operand)
    if not isinstance(reading, Quantity):
        raise Missing(operand.replace("_", " "))
    return reading.value


def _in_band(
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
        reason = f"Over limit; expected {expected}."
        return _verdict(rule, evidence, "over_limit", reason, expected, band)
    value, error = reading.value, meter_error(evidence.meter, reading)
    near = [limit for limit in (low, high) if limit is not None and abs(value - limit) < error]
    if near:
        limit = spoken_limit(near[0], evidence.unit)
        reason = f"{value:f} is too close to the limit of {limit} for this meter to tell."
        return _verdict(rule, evidence, "unsure", reason, expected, band)
    if low is not None and value < low:
        reason = f"{value:f} is below {spoken_limit(low, evidence.unit)}."
        return _verdict(rule, evidence, "low", reason, expected, band)
    if high is not None and value > high:
        reason = f"{value:f} is above {spoken_limit(high, evidence.unit)}."
        return _verdict(rule, evidence, "high", reason, expected, band)
    return _verdict(rule, evidence, inside, _inside_reason(value, evidence, band), expected, band)


def _inside_reason(
    value: Decimal, evidence: Evidence, band: tuple[Decimal | None, Decimal | None]
) -> str:
    low, high = band
    if low is not None and high is not None:
        limits = f"{spoken_limit(low, evidence.unit)} to {spoken_limit(high, evidence.unit)}"
        return f"{value:f} is within {limits}."
    if low is not None:
        return f"{value:f} is at least {spoken_limit(low, evidence.unit)}."
    return f"{value:f} is at most {spoken_limit(high or Decimal(0), evidence.unit)}."


def _within_percent(rule: WithinPercent, evidence: Evidence) -> Verdict:
    rating = _number(rule.rating, evidence)
    plus, plus_is_default = _tolerance(rule.plus, rule, evidence)
    minus, minus_is_default = _tolerance(rule.minus, rule, evidence)
    low, high = rating * (1 - minus / 100), rating * (1 + plus / 100)
    reading = evidence.reading
    if isinstance(reading, Quantity) and abs(reading.value) < rating * _NEAR_ZERO_SHARE:
        expected = band_text(low, high, evidence.unit)
        reason = f"{reading.value:f} is about zero against a rating of {rating:f}."
        return _verdict(rule, evidence, "near_zero", reason, expected, (low, high))
    verdict = _in_band(rule, evidence, low, high)
    if verdict.outcome == "in_band" and isinstance(reading, Quantity):
        verdict = _at_edge(rule, evidence, verdict, rating, (minus, plus))
    if plus_is_default or minus_is_default:
        reason = f"{verdict.reason} No tolerance is printed, so {rule.default:f} percent is used."
        verdict = _verdict(rule, evidence, verdict.outcome, reason, verdict.expected, (low, high))
    return verdict


def _tolerance(
    operand: Operand | None, rule: WithinPercent, evidence: Evidence
) -> tuple[Decimal, bool]:
    """Give the printed tolerance where there is one, else the default and that it is one."""
    if operand is None:
        return rule.default, True
    try:
        return _plain_number(operand, evidence), False
    except Missing:
        return rule.default, True


def _at_edge(
    rule: RuleModel,
    evidence: Evidence,
    verdict: Verdict,
    rating: Decimal,
    tolerances: tuple[Decimal, Decimal],
) -> Verdict:
    """Call a value in the last fifth of its tolerance marginal."""
    reading = evidence.reading
    if not isinstance(reading, Quantity):
        return verdict
    off = (reading.value - rating) / rating * 100
    tolerance = tolerances[0] if off < 0 else tolerances[1]
    if abs(off) <= tolerance * _EDGE_SHARE:
        return verdict
    reason = f"{verdict.reason} It is close to the edge."
    return _verdict(rule, evidence, "edge", reason, verdict.expected, (verdict.low, verdict.high))


def _within(rule: Within, evidence: Evidence) -> Verdict:
    return _in_band(rule, evidence, _number(rule.low, evidence), _number(rule.high, evidence))


def _within_voltage(rule: WithinVoltage, evidence: Evidence) -> Verdict:
    lower = _number(rule.rating, evidence)
    upper = lower
    if rule.upper is not None:
        try:
            upper = max(lower, _number(rule.upper, evidence))
        except Missing:
            upper = lower
    low, high = lower * (1 - rule.percent / 100), upper * (1 + rule.percent / 100)
    reading = evidence.reading
    if isinstance(reading, Quantity) and abs(reading.value) < lower * _NEAR_ZERO_SHARE:
        expected = band_text(low, high, evidence.unit)
        reason = f"{reading.value:f} is about zero; the label says {lower:f} volts."
        return _verdict(rule, evidence, "near_zero", reason, expected, (low, high))
    return _in_band(rule, evidence, low, high)


def _at_least(rule: AtLeast, evidence: Evidence) -> Verdict:
    limit = _number(rule.limit, evidence)
    if isinstance(evidence.reading, OverLimit):
        reason = f"Over limit, so more than {spoken_limit(limit, evidence.unit)}."
        expected = band_text(limit, None, evidence.unit)
        return _verdict(rule, evidence, "over_limit", reason, expected, (limit, None))
    return _in_band(rule, evidence, limit, None, inside="enough")


def _at_most(rule: AtMost, evidence: Evidence) -> Verdict:
    limit = _number(rule.limit, evidence) * rule.percent / 100
    return _in_band(rule, evidence, None, limit, inside="low_enough")


def _is_over_limit(rule: IsOverLimit, evidence: Evidence) -> Verdict:
    if isinstance(evidence.reading, OverLimit):
        return _verdict(rule, evidence, "over_limit", "Over limit: no path.", "OL")
    reason = f"{format_for_eye(evidence.reading)} is a path; it must read over limit."
    return _verdict(rule, evidence, "reads", reason, "OL")


def _not_over_limit(rule: NotOverLimit, evidence: Evidence) -> Verdict:
    if isinstance(evidence.reading, OverLimit):
        reason = "Over limit: the path is open."
        return _verdict(rule, evidence, "over_limit", reason, "a reading")
    reason = f"{evidence.reading.value:f} is a path."
    return _verdict(rule, evidence, "reads", reason, "a reading")


def _near_zero(rule: NearZero, evidence: Evidence) -> Verdict:
    reading = evidence.reading
    expected = f"about 0, at most {band_text(None, rule.limit, evidence.unit)[8:]}"
    if isinstance(reading, OverLimit):
        reason = "Over limit, the opposite of zero."
        return _verdict(rule, evidence, "over_limit", reason, expected, (None, rule.limit))
    if abs(reading.value) <= rule.limit:
        reason = f"{reading.value:f} is about zero."
        return _verdict(rule, evidence, "zero", reason, expected, (None, rule.limit))
    if abs(reading.value) - meter_error(evidence.meter, reading) <= rule.limit:
        reason = f"{reading.value:f} may be zero and the leads; this meter cannot tell."
        return _verdict(rule, evidence, "unsure", reason, expected, (None, rule.limit))
    reason = f"{reading.value:f} is more than zero."
    return _verdict(rule, evidence, "reads", reason, expected, (None, rule.limit))


def _not_zero(rule: NotZero, evidence: Evidence) -> Verdict:
    reading = evidence.reading
    expected = f"more than {band_text(None, rule.limit, evidence.unit)[8:]}"
    if isinstance(reading, OverLimit):
        return _verdict(rule, evidence, "over_limit", "Over limit, not zero.", expected)
    if abs(reading.value) <= rule.limit:
        reason = f"{reading.value:f} is about zero: a short."
        return _verdict(rule, evidence, "zero", reason, expected, (rule.limit, None))
    if abs(reading.value) - resolution(reading.value) * evidence.meter.counts <= rule.limit:
        reason = f"{reading.value:f} is too close to zero for this meter to tell."
        return _verdict(rule, evidence, "unsure", reason, expected, (rule.limit, None))
    reason = f"{reading.value:f} is more than zero."
    return _verdict(rule, evidence, "reads", reason, expected, (rule.limit, None))


def _falls_in_order(rule: FallsInOrder, evidence: Evidence) -> Verdict:
    """Low first; each next speed must read less by more than what the meter cannot tell."""
    taken = [(name, evidence.known[name]) for name in rule.values if name in evidence.known]
    expected = "falling as speed rises"
    if any(isinstance(reading, OverLimit) for _, reading in taken):
        reason = "One of the taps reads over limit."
        return _verdict(rule, evidence, "over_limit", reason, expected)
    numbers = [r.to(evidence.unit) for _, r in taken if isinstance(r, Quantity)]
    unsure = ""
    for slower, faster in zip(numbers, numbers[1:], strict=False):
        drop = slower.value - faster.value
        # Both readings share the meter and its leads, so only what differs can hide the order:
        # counts of the last digit and the percentage of the difference.
        error = evidence.meter.counts * max(resolution(slower.value), resolution(faster.value))
        error += abs(drop) * evidence.meter.percent / 100
        if drop < -error:
            reason = f"{faster.value:f} is above {slower.value:f}: it must fall as speed rises."
            return _verdict(rule, evidence, "out_of_order", reason, expected)
        if drop <= error:
            unsure = f"{slower.value:f} and {faster.value:f} are too close for this meter to order."
    if unsure:
        return _verdict(rule, evidence, "unsure", unsure, expected)
    listed = ", ".join(f"{number.value:f}" for number in numbers)
    return _verdict(rule, evidence, "falls", f"{listed}: falling as speed rises.", expected)


def _sum_of_parts(rule: SumOfParts, evidence: Evidence) -> Verdict:
    parts = [_number(part, evidence) for part in rule.parts]
    total = sum(parts, Decimal(0))
    allowance = abs(total) * rule.percent / 100 + evidence.meter.lead_ohms * len(parts)
    allowance += evidence.meter.counts * max(resolution(part) for part in parts)
    verdict = _compare(rule, evidence, total, allowance, "agrees")
    listed = " and ".join(f"{part:f}" for part in parts)
    reason = f"{verdict.reason} The parts are {listed}."
    return _verdict(
        rule, evidence, verdict.outcome, reason, verdict.expected, (verdict.low, verdict.high)
    )


def _same_as(rule: SameAs, evidence: Evidence) -> Verdict:
    other = _number(rule.other, evidence)
    allowance = abs(other) * rule.percent / 100 + evidence.meter.lead_ohms
    allowance += evidence.meter.counts * resolution(other)
    return _compare(rule, evidence, other, allowance, "same")


def _compare(
    rule: RuleModel, evidence: Evidence, target: Decimal, allowance: Decimal, agrees: str
) -> Verdict:
    """Judge against one number with an allowance that already holds the meter's error."""
    low, high = target - allowance, target + allowance
    expected = band_text(low, high, evidence.unit)
    reading = evidence.reading
    if isinstance(reading, OverLimit):
        reason = f"Over limit; expected about {spoken_limit(target, evidence.unit)}."
        return _verdict(rule, evidence, "over_limit", reason, expected, (low, high))
    outcome = "low" if reading.value < low else "high" if reading.value > high else agrees
    words = {"low": "is less than", "high": "is more than", agrees: "agrees with"}
    reason = f"{reading.value:f} {words[outcome]} {spoken_limit(target, evidence.unit)}."
    return _verdict(rule, evidence, outcome, reason, expected, (low, high))


def _replacement_allowed(rule: ReplacementAllowed, evidence: Evidence) -> Verdict:
    """A capacitor is replaced by equal microfarads and equal or higher volts."""
    rating = _number(rule.rating, evidence)
    is_equal = rule.kind == "equal"
    expected = band_text(rating, rating if is_equal else None, evidence.unit)
    reading = evidence.reading
    if isinstance(reading, OverLimit):
        return _verdict(rule, evidence, "over_limit", "A rating cannot be over limit.", expected)
    band = (rating, rating if is_equal else None)
    if reading.value < rating:
        reason = f"{reading.value:f} is below the label's {spoken_limit(rating, evidence.unit)}."
        return _verdict(rule, evidence, "low", reason, expected, band)
    if is_equal and reading.value > rating:
        reason = f"{reading.value:f} is above the label's {spoken_limit(rating, evidence.unit)}."
        return _verdict(rule, evidence, "high", reason, expected, band)
    reason = f"{reading.value:f} may replace {spoken_limit(rating, evidence.unit)}."
    return _verdict(rule, evidence, "allowed", reason, expected, band)


_JUDGES: dict[type[RuleModel], Callable[[Any, Evidence], Verdict]] = {
    WithinPercent: _within_percent,
    Within: _within,
    WithinVoltage: _within_voltage,
    AtLeast: _at_least,
    AtMost: _at_most,
    IsOverLimit: _is_over_limit,
    NotOverLimit: _not_over_limit,
    NearZero: _near_zero,
    NotZero: _not_zero,
    FallsInOrder: _falls_in_order,
    SumOfParts: _sum_of_parts,
    SameAs: _same_as,
    ReplacementAllowed: _replacement_allowed,
}
