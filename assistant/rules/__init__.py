"""Readings and nameplate become verdicts, each with what was measured, what was expected and why."""
