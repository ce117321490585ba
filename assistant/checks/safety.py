"""Hands kept safe on every path: dead when it must be, warned before it, closed up after it."""

from assistant.checks import (
    answers,
    cautions,
    endings,
    forbidden,
    holds,
    paths,
    proofs,
    settings,
    touching,
)
from assistant.checks.check import Check

CHECKS: tuple[Check, ...] = (
    *paths.CHECKS,
    *proofs.CHECKS,
    *cautions.CHECKS,
    *holds.CHECKS,
    *endings.CHECKS,
    *settings.CHECKS,
    *touching.CHECKS,
    *answers.CHECKS,
    *forbidden.CHECKS,
)
