"""Judges of limits: within a percentage of a rating, within limits, at least, at most."""

from decimal import Decimal

from assistant.flow.judging import (
    AtLeast,
    AtMost,
    Operand,
    RuleModel,
    Within,
    WithinPercent,
    WithinVoltage,
)
from assistant.quantity import OverLimit, Quantity
from assistant.rules.making import Missing, judge_band, make_verdict, number_of, plain_number_of
from assistant.rules.verdict import Evidence, Verdict, band_text, spoken_limit

_EDGE_SHARE = Decimal("0.8")
"""A value past this share of its tolerance is marginal: good today, worth noting."""

_NEAR_ZERO_SHARE = Decimal("0.05")
"""Below this share of its rating a capacitor or a supply is as good as absent."""


def judge_within_percent(rule: WithinPercent, evidence: Evidence) -> Verdict:
    """Within a percentage of a rating; the printed tolerance first, a stated default otherwise."""
    rating = number_of(rule.rating, evidence)
    if rating <= 0:
        return _no_rating(rule, evidence, rating)
    plus, plus_is_default = _tolerance(rule.plus, rule, evidence)
    minus, minus_is_default = _tolerance(rule.minus, rule, evidence)
    low, high = rating * (1 - minus / 100), rating * (1 + plus / 100)
    reading = evidence.reading
    if isinstance(reading, Quantity) and abs(reading.value) < rating * _NEAR_ZERO_SHARE:
        expected = band_text(low, high, evidence.unit)
        reason = f"{reading.value:f} is about zero against a rating of {rating:f}."
        return make_verdict(rule, evidence, "near_zero", reason, expected, (low, high))
    verdict = judge_band(rule, evidence, low, high)
    if verdict.outcome == "in_band" and isinstance(reading, Quantity):
        verdict = _at_edge(rule, evidence, verdict, rating, (minus, plus))
    if plus_is_default or minus_is_default:
        reason = f"{verdict.reason} No tolerance is printed, so {rule.default:f} percent is used."
        verdict = make_verdict(
            rule, evidence, verdict.outcome, reason, verdict.expected, (low, high)
        )
    return verdict


def _no_rating(rule: RuleModel, evidence: Evidence, rating: Decimal) -> Verdict:
    """Nothing is rated zero or less: a percentage of it judges nothing."""
    reason = f"A rating of {rating:f} cannot be right, so this cannot be judged."
    return make_verdict(rule, evidence, "unsure", reason, "")


def _tolerance(
    operand: Operand | None, rule: WithinPercent, evidence: Evidence
) -> tuple[Decimal, bool]:
    """Give the printed tolerance where there is one, else the default and that it is one."""
    if operand is None:
        return rule.default, True
    try:
        return plain_number_of(operand, evidence), False
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
    return make_verdict(
        rule, evidence, "edge", reason, verdict.expected, (verdict.low, verdict.high)
    )


def judge_within(rule: Within, evidence: Evidence) -> Verdict:
    """Within two limits."""
    return judge_band(rule, evidence, number_of(rule.low, evidence), number_of(rule.high, evidence))


def judge_within_voltage(rule: WithinVoltage, evidence: Evidence) -> Verdict:
    """Within the label's voltage window."""
    lower = number_of(rule.rating, evidence)
    if lower <= 0:
        return _no_rating(rule, evidence, lower)
    upper = lower
    if rule.upper is not None:
        try:
            upper = max(lower, number_of(rule.upper, evidence))
        except Missing:
            upper = lower
    low, high = lower * (1 - rule.percent / 100), upper * (1 + rule.percent / 100)
    reading = evidence.reading
    if isinstance(reading, Quantity) and abs(reading.value) < lower * _NEAR_ZERO_SHARE:
        expected = band_text(low, high, evidence.unit)
        reason = f"{reading.value:f} is about zero; the label says {lower:f} volts."
        return make_verdict(rule, evidence, "near_zero", reason, expected, (low, high))
    return judge_band(rule, evidence, low, high)


def judge_at_least(rule: AtLeast, evidence: Evidence) -> Verdict:
    """At least a limit; OL is more than any."""
    limit = number_of(rule.limit, evidence)
    if isinstance(evidence.reading, OverLimit):
        reason = f"Over limit, so more than {spoken_limit(limit, evidence.unit)}."
        expected = band_text(limit, None, evidence.unit)
        return make_verdict(rule, evidence, "over_limit", reason, expected, (limit, None))
    return judge_band(rule, evidence, limit, None, inside="enough")


def judge_at_most(rule: AtMost, evidence: Evidence) -> Verdict:
    """At most a limit, or a share of it."""
    limit = number_of(rule.limit, evidence) * rule.percent / 100
    return judge_band(rule, evidence, None, limit, inside="low_enough")
