"""Judges of a path: over limit or not, about zero or not."""

from assistant.flow.judging import IsOverLimit, NearZero, NotOverLimit, NotZero
from assistant.quantity import OverLimit, format_for_eye
from assistant.rules.making import make_verdict
from assistant.rules.verdict import Evidence, Verdict, meter_error, resolution, spoken_limit


def judge_is_over_limit(rule: IsOverLimit, evidence: Evidence) -> Verdict:
    """Must read OL."""
    if isinstance(evidence.reading, OverLimit):
        return make_verdict(rule, evidence, "over_limit", "Over limit: no path.", "OL")
    reason = f"{format_for_eye(evidence.reading)} is a path; it must read over limit."
    return make_verdict(rule, evidence, "reads", reason, "OL")


def judge_not_over_limit(rule: NotOverLimit, evidence: Evidence) -> Verdict:
    """Must show a number; one far above what such a path can have is as good as open."""
    if isinstance(evidence.reading, OverLimit):
        reason = "Over limit: the path is open."
        return make_verdict(rule, evidence, "over_limit", reason, "a reading")
    if evidence.is_above_plausible:
        shown = format_for_eye(evidence.reading)
        reason = f"{shown} is far more than this path can have: as good as open."
        return make_verdict(rule, evidence, "over_limit", reason, "a reading")
    reason = f"{evidence.reading.value:f} is a path."
    return make_verdict(rule, evidence, "reads", reason, "a reading")


def judge_near_zero(rule: NearZero, evidence: Evidence) -> Verdict:
    """Must be about zero, the leads allowed for."""
    reading = evidence.reading
    expected = f"about 0, at most {spoken_limit(rule.limit, evidence.unit)}"
    if isinstance(reading, OverLimit):
        reason = "Over limit, the opposite of zero."
        return make_verdict(rule, evidence, "over_limit", reason, expected, (None, rule.limit))
    if abs(reading.value) <= rule.limit:
        reason = f"{reading.value:f} is about zero."
        return make_verdict(rule, evidence, "zero", reason, expected, (None, rule.limit))
    if abs(reading.value) - meter_error(evidence.meter, reading) <= rule.limit:
        reason = f"{reading.value:f} may be zero and the leads; this meter cannot tell."
        return make_verdict(rule, evidence, "unsure", reason, expected, (None, rule.limit))
    reason = f"{reading.value:f} is more than zero."
    return make_verdict(rule, evidence, "reads", reason, expected, (None, rule.limit))


def judge_not_zero(rule: NotZero, evidence: Evidence) -> Verdict:
    """Must not be about zero."""
    reading = evidence.reading
    expected = f"more than {spoken_limit(rule.limit, evidence.unit)}"
    if isinstance(reading, OverLimit):
        return make_verdict(rule, evidence, "over_limit", "Over limit, not zero.", expected)
    if abs(reading.value) <= rule.limit:
        reason = f"{reading.value:f} is about zero: a short."
        return make_verdict(rule, evidence, "zero", reason, expected, (rule.limit, None))
    if abs(reading.value) - resolution(reading.value) * evidence.meter.counts <= rule.limit:
        reason = f"{reading.value:f} is too close to zero for this meter to tell."
        return make_verdict(rule, evidence, "unsure", reason, expected, (rule.limit, None))
    reason = f"{reading.value:f} is more than zero."
    return make_verdict(rule, evidence, "reads", reason, expected, (rule.limit, None))
