"""Values taken before they are used, in units that fit, judged by limits a meter can resolve."""

from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = ()
