"""What is said and heard: choices apart, numbers that can be spoken, prompts fit for the ear."""

from assistant.checks import phrases, prompts, sayable
from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = (*phrases.CHECKS, *sayable.CHECKS, *prompts.CHECKS)
