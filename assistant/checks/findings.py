"""Findings that are complete, and faults that some path finds."""

from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = ()
