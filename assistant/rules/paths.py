"""Judges of a path: over limit or not, about zero or not."""

from collections.abc import Mapping

from assistant.flow.judging import IsOverLimit, NearZero, NotOverLimit, NotZero
from assistant.quantity import RESISTANCE_UNITS, OverLimit, Unit
from assistant.rules.making import make_verdict
from assistant.rules.verdict import (
    Evidence,
    Verdict,
    digits,
    meter_error,
    resolution,
    spoken_limit,
    with_words,
)

_ZERO_MEANS: Mapping[Unit, str] = {
    **dict.fromkeys(RESISTANCE_UNITS, ": a short"),
    Unit.VOLT: ": no voltage here",
    Unit.AMPERE: ": no current here",
    Unit.MICROFARAD: ": no capacitance",
}
"""What about nothing means where there should be something; of ohms alone it is a short."""


def judge_is_over_limit(rule: IsOverLimit, evidence: Evidence) -> Verdict:
    """Must read OL."""
    if isinstance(evidence.reading, OverLimit):
        return make_verdict(rule, evidence, "over_limit", "Over limit: no path.", "OL")
    reason = f"{with_words(evidence.reading)} is a path; it must read over limit."
    return make_verdict(rule, evidence, "reads", reason, "OL")


def judge_not_over_limit(rule: NotOverLimit, evidence: Evidence) -> Verdict:
    """Must show a number; one far above what such a path can have is as good as open."""
    if isinstance(evidence.reading, OverLimit):
        reason = "Over limit: the path is open."
        return make_verdict(rule, evidence, "over_limit", reason, "a reading")
    if evidence.is_above_plausible:
        shown = with_words(evidence.reading)
        reason = f"{shown} is far more than this path can have: as good as open."
        return make_verdict(rule, evidence, "over_limit", reason, "a reading")
    reason = f"{digits(evidence.reading)} is a path."
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
    reason = f"{digits(reading)} is more than zero."
    return make_verdict(rule, evidence, "reads", reason, expected, (None, rule.limit))


def judge_not_zero(rule: NotZero, evidence: Evidence) -> Verdict:
    """Must not be about zero."""
    reading = evidence.reading
    expected = f"more than {spoken_limit(rule.limit, evidence.unit)}"
    if isinstance(reading, OverLimit):
        return make_verdict(rule, evidence, "over_limit", "Over limit, not zero.", expected)
    if abs(reading.value) <= rule.limit:
        meaning = _ZERO_MEANS.get(evidence.unit, "")
        reason = f"{reading.value:f} is about zero{meaning}."
        return make_verdict(rule, evidence, "zero", reason, expected, (rule.limit, None))
    if abs(reading.value) - resolution(reading.value) * evidence.meter.counts <= rule.limit:
        reason = f"{reading.value:f} is too close to zero for this meter to tell."
        return make_verdict(rule, evidence, "unsure", reason, expected, (rule.limit, None))
    reason = f"{digits(reading)} is more than zero."
    return make_verdict(rule, evidence, "reads", reason, expected, (rule.limit, None))
