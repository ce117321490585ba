"""Decisions that are complete, without contradiction, and ask only for what can be."""

from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = ()
