"""Readings and nameplate become verdicts: what was measured, what was expected, and why."""
