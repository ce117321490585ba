"""How steps hang together: every step reached, every path with an end."""

from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = ()
