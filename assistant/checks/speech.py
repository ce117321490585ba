"""What is said and heard: choices apart, numbers that can be spoken, prompts fit for the ear."""

from assistant.checks import expected, marks, phrases, prompts, sayable
from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = (
    *phrases.CHECKS,
    *sayable.CHECKS,
    *prompts.CHECKS,
    *marks.CHECKS,
    *expected.CHECKS,
)
