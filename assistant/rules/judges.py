"""The judges in one table, by the rule's declaration; each gives a verdict.

A margin smaller than the meter's own error is "cannot tell"; so is a rule that needs a value which
was never taken.
"""

from collections.abc import Callable
from typing import Any

from assistant.flow import judging
from assistant.flow.conditions import GOOD
from assistant.flow.judging import RuleModel
from assistant.quantity import Quantity
from assistant.rules import comparisons, limits, paths
from assistant.rules.making import Missing, make_verdict
from assistant.rules.verdict import Evidence, Verdict, with_words


def judge(rule: RuleModel, evidence: Evidence) -> Verdict:
    """Judge a reading by one rule; what no meter can show here proves nothing.

    Args:
        rule: the rule as the flow declares it.
        evidence: the reading, earlier values and the meter.

    Returns:
        The verdict; `cannot_tell` when a needed value is missing or the meter's error is larger
        than the margin, or it would pass with a reading that cannot be here.
    """
    try:
        verdict = _JUDGES[type(rule)](rule, evidence)
    except Missing as missing:
        reason = f"The {missing} was not taken, so this cannot be judged."
        return make_verdict(rule, evidence, "unsure", reason, "")
    reading, would_pass = evidence.reading, verdict.kind in GOOD and "unsure" in rule.outcomes
    if would_pass and evidence.is_implausible and isinstance(reading, Quantity):
        shown = with_words(reading)
        reason = f"{shown} cannot be here, so it proves nothing: look at meter and probes."
        return make_verdict(rule, evidence, "unsure", reason, verdict.expected)
    return verdict


_JUDGES: dict[type[RuleModel], Callable[[Any, Evidence], Verdict]] = {
    judging.WithinPercent: limits.judge_within_percent,
    judging.Within: limits.judge_within,
    judging.WithinVoltage: limits.judge_within_voltage,
    judging.AtLeast: limits.judge_at_least,
    judging.AtMost: limits.judge_at_most,
    judging.IsOverLimit: paths.judge_is_over_limit,
    judging.NotOverLimit: paths.judge_not_over_limit,
    judging.NearZero: paths.judge_near_zero,
    judging.NotZero: paths.judge_not_zero,
    judging.FallsInOrder: comparisons.judge_falls_in_order,
    judging.SumOfParts: comparisons.judge_sum_of_parts,
    judging.SameAs: comparisons.judge_same_as,
    judging.ReplacementAllowed: comparisons.judge_replacement_allowed,
}
