"""Rungside: a spoken walk through finding a blower motor's fault."""

__version__ = "0.1.0"
