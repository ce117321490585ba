"""Hands kept safe on every path: dead when it must be, warned before it, closed up after it."""

from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = ()
