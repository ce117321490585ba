"""Putting a walk together for a command: flow, journal, ears and voice, as the options say.

What a command prints goes through here; what it means is decided in the rooms below.
"""
