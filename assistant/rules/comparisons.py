"""Judges of several readings together: order of the taps, sums, sameness, replacement ratings."""

from decimal import Decimal
from itertools import pairwise

from assistant.flow.judging import FallsInOrder, ReplacementAllowed, SameAs, SumOfParts
from assistant.quantity import OverLimit, Quantity
from assistant.rules.making import compare, make_verdict, number_of
from assistant.rules.verdict import (
    Evidence,
    Verdict,
    band_text,
    lead_error,
    resolution,
    spoken_limit,
)


def judge_falls_in_order(rule: FallsInOrder, evidence: Evidence) -> Verdict:
    """Low first; each next speed must read less by more than what the meter cannot tell."""
    taken = [(name, evidence.known[name]) for name in rule.values if name in evidence.known]
    expected = "falling as speed rises"
    if any(isinstance(reading, OverLimit) for _, reading in taken):
        reason = "One of the taps reads over limit."
        return make_verdict(rule, evidence, "over_limit", reason, expected)
    numbers = [r.to(evidence.unit) for _, r in taken if isinstance(r, Quantity)]
    unsure = ""
    for slower, faster in pairwise(numbers):
        drop = slower.value - faster.value
        # Both readings share the meter and its leads, so only what differs can hide the order:
        # counts of the last digit and the percentage of the difference.
        error = evidence.meter.counts * max(resolution(slower.value), resolution(faster.value))
        error += abs(drop) * evidence.meter.percent / 100
        if drop < -error:
            reason = f"{faster.value:f} is above {slower.value:f}: it must fall as speed rises."
            return make_verdict(rule, evidence, "out_of_order", reason, expected)
        if drop <= error:
            unsure = f"{slower.value:f} and {faster.value:f} are too close for this meter to order."
    if unsure:
        return make_verdict(rule, evidence, "unsure", unsure, expected)
    if len(numbers) <= 1:
        reason = "There is no other tap to compare it with."
        return make_verdict(rule, evidence, "falls", reason, expected)
    listed = ", ".join(f"{number.value:f}" for number in numbers)
    return make_verdict(rule, evidence, "falls", f"{listed}: falling as speed rises.", expected)


def judge_sum_of_parts(rule: SumOfParts, evidence: Evidence) -> Verdict:
    """The sum of earlier readings, within the meter's error."""
    parts = [number_of(part, evidence) for part in rule.parts]
    total = sum(parts, Decimal(0))
    allowance = abs(total) * rule.percent / 100
    allowance += lead_error(evidence.meter, evidence.unit) * len(parts)
    allowance += evidence.meter.counts * max(resolution(part) for part in parts)
    verdict = compare(rule, evidence, total, allowance, "agrees")
    listed = " and ".join(f"{part:f}" for part in parts)
    reason = f"{verdict.reason} The parts are {listed}."
    return make_verdict(
        rule, evidence, verdict.outcome, reason, verdict.expected, (verdict.low, verdict.high)
    )


def judge_same_as(rule: SameAs, evidence: Evidence) -> Verdict:
    """The same as another reading."""
    other = number_of(rule.other, evidence)
    allowance = abs(other) * rule.percent / 100 + lead_error(evidence.meter, evidence.unit)
    allowance += evidence.meter.counts * resolution(other)
    return compare(rule, evidence, other, allowance, "same")


def judge_replacement_allowed(rule: ReplacementAllowed, evidence: Evidence) -> Verdict:
    """A capacitor is replaced by equal microfarads and equal or higher volts."""
    rating = number_of(rule.rating, evidence)
    is_equal = rule.kind == "equal"
    expected = band_text(rating, rating if is_equal else None, evidence.unit)
    reading = evidence.reading
    if isinstance(reading, OverLimit):
        return make_verdict(
            rule, evidence, "over_limit", "A rating cannot be over limit.", expected
        )
    band = (rating, rating if is_equal else None)
    if reading.value < rating:
        reason = f"{reading.value:f} is below the label's {spoken_limit(rating, evidence.unit)}."
        return make_verdict(rule, evidence, "low", reason, expected, band)
    if is_equal and reading.value > rating:
        reason = f"{reading.value:f} is above the label's {spoken_limit(rating, evidence.unit)}."
        return make_verdict(rule, evidence, "high", reason, expected, band)
    limit = spoken_limit(rating, evidence.unit)
    is_same = reading.value == rating
    words = f"is the same as the rating of {limit}" if is_same else f"may replace {limit}"
    reason = f"{reading.value:f} {words}."
    return make_verdict(rule, evidence, "allowed", reason, expected, band)
